"""Particulars of a record are asked for, judged and kept as readings are."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any, get_args, get_origin

import pytest
from pydantic import BaseModel

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import new_record
from buildsite.entering.answer_check import WorkingRecord
from buildsite.entering.session import Session
from buildsite.kinds import all_kinds
from buildsite.kinds.particulars.field_by_name import BY_NAME
from buildsite.record.source import read_source
from tests.archives import sound
from tests.entering.session import SEPARATE, Held, begun, hold, session

SAMPLE = "records/marsh-lane/samples/ML-S1.yaml"
LAB = "records/lab.yaml"
MOLD = "records/equipment/M-04.yaml"
PROJECT = "records/marsh-lane/project.yaml"


def at(
    file: str, about: str = "", text: str | None = None, beside: tuple[str, ...] = ()
) -> Session:
    """Sit down at a record of the sound archive, as committed, for its particulars."""
    data = sound(beside)
    if text is not None:
        data = {**data, file: text.encode()}
    archive = Archive(sorted(data), data.__getitem__)
    record = WorkingRecord(file, archive, "T07", date(2026, 3, 10), about)
    return Session(record, record.state(data[file]), data[file])


def says(file: str, about: str, answers: list[str], text: str | None = None) -> Held:
    return hold(at(file, about, text), answers)


def tree(held: Held) -> dict[str, Any]:
    source = read_source("x.yaml", held.text.encode())
    assert source.whole
    return source.tree


BARE = """format: 1
kind: sample
id: ML-S1
project: marsh-lane
"""


def test_the_log_in_of_a_sample_is_asked_for_in_order() -> None:
    answers = [
        *("2026-03-09", "T07", "moist, two bags"),
        *("2026-03-08", "customer", "shovel", "pit 1"),
        *("lean clay", "CL", "2", "A-6", "north pit", ""),
        *("0", "0.4", "1.3", "customer", "8.6", "2.70 measured"),
        *(
            "",
            "",
            "BP-1",
            "",
            "",
            "",
            "",
            "0.6",
            "1.5",
            "2027-01-31",
            "",
            "",
            "one bag torn",
        ),
    ]
    held = says(SAMPLE, "", answers, BARE)

    assert tree(held) | read_source("x", BARE.encode()).tree == tree(held)
    assert tree(held)["received"] == {
        "on": "2026-03-09",
        "by": "T07",
        "condition": "moist, two bags",
    }
    assert tree(held)["sampled"]["by"] == "customer"
    assert tree(held)["soil"] == {
        "name": "lean clay",
        "class": "CL",
        "class_basis": "visual",
        "group": "A-6",
        "source": "north pit",
    }
    assert tree(held)["gradation"]["retained_no_4"] == "1.3"
    assert tree(held)["gradation"]["given_by"] == "customer"
    assert tree(held)["as_received_water_content"] == "8.6"
    assert tree(held)["specific_gravity"] == {"value": "2.70", "basis": "measured"}
    assert tree(held)["retained_until"] == "2027-01-31"
    assert tree(held)["remarks"] == "one bag torn"
    assert [(one.by, one.reason) for one in held.commits] == [
        ("T07", "particulars entered")
    ]


def test_each_answer_is_judged_by_the_checks_of_the_record() -> None:
    answers = ["", "XX", "CL", "", "", ""]  # a class that nobody knows, read again
    held = says(SAMPLE, "soil", answers, BARE)

    assert "a group symbol such as CL" in held.words
    assert tree(held)["soil"] == {"class": "CL"}


def test_a_value_that_stands_is_shown_kept_and_changed_only_with_who_and_why() -> None:
    text = BARE + "soil: {name: lean clay, class: CL}\n"
    held = says(SAMPLE, "soil", ["", "ML", "hydrometer test", ""], text)

    assert any("now lean clay" in prompt for prompt in held.asked)
    (commit,) = held.commits
    assert commit.subject == "ML-S1: class by astm d2487, such as cl: CL to ML"
    assert (commit.by, commit.reason) == ("T07", "hydrometer test")
    assert tree(held)["soil"] == {"name": "lean clay", "class": "ML"}

    kept = says(SAMPLE, "soil", ["", "ML", "", ""], text)
    assert (kept.text, kept.commits) == (text, [])


def test_a_value_is_made_blank_by_that_word_and_a_needed_one_is_not() -> None:
    text = BARE + "soil: {name: lean clay, class: CL}\n"
    held = says(SAMPLE, "soil", ["", "blank", "never classified", ""], text)
    assert tree(held)["soil"] == {"name": "lean clay", "class": None}

    kept = says(PROJECT, "", ["blank"])
    assert kept.text.encode() == sound()[PROJECT]
    assert "  ! " in kept.words


def test_oversize_is_by_a_test_or_by_its_figures_and_no_more_is_asked() -> None:
    by_test = says(SAMPLE, "oversize", ["ML-104"], BARE)
    assert len(by_test.asked) >= 1
    none = says(SAMPLE, "oversize", ["", ""], BARE)
    assert len(none.asked) == 2  # a test, a percentage: neither
    held = says(
        SAMPLE, "oversize", ["", "12.4", "No. 4", "1", "2.62", "1.1", "0.9", ""], BARE
    )
    assert tree(held)["oversize"] == {
        "percent_retained": "12.4",
        "sieve": "No. 4",
        "bulk_specific_gravity": "2.62",
        "bulk_basis": "oven-dry",
        "water_content": "1.1",
        "absorption": "0.9",
    }


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("2.70 a", {"value": "2.70", "basis": "assumed"}),
        ("2.70 assumed", {"value": "2.70", "basis": "assumed"}),
        ("2.70 m", {"value": "2.70", "basis": "measured"}),
        (
            "2.70 measured customer",
            {"value": "2.70", "basis": "measured", "given_by": "customer"},
        ),
    ],
)
def test_a_specific_gravity_is_one_answer(typed: str, kept: dict[str, str]) -> None:
    held = says(SAMPLE, "gravity", [typed], BARE)
    assert tree(held)["specific_gravity"] == kept


@pytest.mark.parametrize("typed", ["two", "2.7 maybe", "2.7 m x", "2,70 x y"])
def test_what_is_no_specific_gravity_is_refused_with_what_is(typed: str) -> None:
    held = says(SAMPLE, "gravity", [typed], BARE)
    assert "  ! " in held.words
    assert held.text == BARE


@pytest.mark.parametrize("typed", ["3", "2.70", "2.70 customer"])
def test_a_specific_gravity_without_its_basis_is_asked_for_it(typed: str) -> None:
    held = says(SAMPLE, "gravity", [typed], BARE)
    assert "measured or assumed?" in held.words
    assert held.text == BARE


def test_a_whole_number_is_doubted_as_a_specific_gravity() -> None:
    held = says(SAMPLE, "gravity", ["3 measured", "2.70 measured"], BARE)
    assert "3 is a whole number; expected: a value such as 2.70" in held.words
    assert "Reread and retype specific gravity, or say why it is right: " in held.asked
    assert tree(held)["specific_gravity"] == {"value": "2.70", "basis": "measured"}


def test_a_number_alone_that_takes_an_offered_test_is_doubted() -> None:
    file = "records/marsh-lane/samples/GS-S1.yaml"
    bare = BARE.replace("ML-S1", "GS-S1")
    talk = at(file, "gravity", bare, ("specific-gravity",))
    held = hold(talk, ["1", "2.70 measured"])
    assert "1 takes test GS-1; expected: its id, or a value and its basis" in (
        held.words
    )
    assert tree(held)["specific_gravity"] == {"value": "2.70", "basis": "measured"}

    held = hold(at(file, "gravity", bare, ("specific-gravity",)), ["GS-1"])
    assert "takes test" not in held.words
    assert tree(held)["specific_gravity"] == {"test": "GS-1"}


def test_a_new_colleague_gets_a_line_on_the_staff_list() -> None:
    answers = ["technician", "1", "2026-03-01", "", "", "t12@lab.example"]
    held = says(LAB, "T12", answers)

    assert tree(held)["staff"]["T12"] == {
        "roles": ["technician"],
        "may": ["test"],
        "from": "2026-03-01",
        "emails": ["t12@lab.example"],
    }
    before = read_source("x", sound()[LAB]).tree
    after = tree(held)
    del after["staff"]["T12"]
    assert after == before


def test_the_laboratory_asks_for_people_at_its_end() -> None:
    walked = hold(at(LAB), lambda prompt: "" if "Staff code" not in prompt else "/")
    assert "Staff code of a person to add or change (" in walked.asked[-1]


def test_equipment_has_its_particulars_in_the_units_of_its_record() -> None:
    held = says(MOLD, "out", ["2026-03-09", "dropped on the floor"])
    assert tree(held)["out_of_use"] == {
        "on": "2026-03-09",
        "reason": "dropped on the floor",
    }
    balance = next(name for name in sound() if "/B-" in name)
    asked = hold(at(balance), lambda prompt: "").asked
    assert any(prompt.startswith("Readability (") for prompt in asked)


LATER = [""] * 9
"""Blanks for what few specifications state."""


def test_a_bag_of_sand_is_set_aside() -> None:
    file = "records/equipment/SC-01.yaml"
    text = sound(("field-apparatus",))[file].decode()

    held = says(file, "bags", ["", "", "2026-03-20", "empty", "/"], text)

    first = tree(held)["bags"][0]
    assert first["out_of_use"] == {"on": "2026-03-20", "reason": "empty"}
    assert first["bag"] == "14"


def test_a_project_gets_a_requirement_line_by_line() -> None:
    text = "format: 1\nkind: project\nid: marsh-lane\nname: N\ncustomer: {name: C}\n"
    answers = ["yes", "t180", "B", "A", "", "95", "", "-2 2", *LATER, "no"]
    held = says(PROJECT, "req", answers, text)
    assert tree(held)["requirements"] == [
        {
            "zone": "A",
            "standard": {"designation": "AASHTO T 180", "method": "B"},
            "least_percent_compaction": "95",
            "water_content": {"from": "-2", "to": "2", "as": "points"},
        }
    ]


def test_a_requirement_is_asked_for_whole() -> None:
    text = "format: 1\nkind: project\nid: marsh-lane\nname: N\ncustomer: {name: C}\n"
    answers = [
        *("yes", "t99", "A", "embankment", "203.3", "95", "105.0 lb/ft3", "-20 20 %"),
        *("percent r, water a", "3 each lift", "4 100 95", "guarded 2026-01-05"),
        *("reported", "laboratory-to-field", "yes", "10", "", "no"),
    ]
    held = says(PROJECT, "req", answers, text)
    assert tree(held)["requirements"] == [
        {
            "zone": "embankment",
            "clause": "203.3",
            "standard": {"designation": "AASHTO T 99", "method": "A", "edition": "10"},
            "least_percent_compaction": "95",
            "least_dry_density": {"value": "105.0", "unit": "lb/ft3"},
            "water_content": {"from": "-20", "to": "20", "as": "percent of optimum"},
            "compare": {"percent_compaction": "rounded", "water_content": "absolute"},
            "tests_required": {"each": "lift", "number": "3"},
            "lot": {"average_of": "4", "average": "100", "each": "95"},
            "decision": {"rule": "guarded", "agreed_on": "2026-01-05"},
            "reference_values": "reported",
            "oversize": "laboratory-to-field",
            "oven_check": "yes",
        }
    ]


@pytest.mark.parametrize(
    ("number", "typed", "words"),
    [
        (6, "105", "type the density and its unit"),
        (8, "as usual", "type rounded, or absolute"),
        (9, "three", "type the number and of what"),
        (10, "some", "type how many tests"),
        (11, "guarded", "only for where it was agreed"),
        (11, "strict", "type simple, or guarded"),
    ],
)
def test_what_is_no_part_of_a_requirement_is_refused_with_an_example(
    number: int, typed: str, words: str
) -> None:
    text = "format: 1\nkind: project\nid: marsh-lane\nname: N\ncustomer: {name: C}\n"
    answers = ["yes", "t99", "A", "B", "", "95", *[""] * (number - 6), typed, "/"]
    assert words in says(PROJECT, "req", answers, text).words


def test_an_engineer_of_record_may_be_of_another_party() -> None:
    text = "format: 1\nkind: project\nid: marsh-lane\nname: N\ncustomer: {name: C}\n"
    held = says(PROJECT, "engineer", ["E02; R. Alder, Harbour Works"], text)
    assert tree(held)["engineer_of_record"] == [
        "E02",
        {"name": "R. Alder", "party": "Harbour Works"},
    ]


def test_a_requirement_that_is_left_early_names_the_standard_that_was_typed() -> None:
    text = "format: 1\nkind: project\nid: marsh-lane\nname: N\ncustomer: {name: C}\n"
    held = says(PROJECT, "req", ["yes", "d1557", "/"], text)
    (begun_one,) = tree(held)["requirements"]
    assert begun_one["standard"]["designation"] == "ASTM D1557"


def test_a_class_and_a_sieve_are_kept_as_they_are_usually_written() -> None:
    assert tree(says(SAMPLE, "soil", ["", "cl"], BARE))["soil"] == {"class": "CL"}
    held = says(SEPARATE, "oversize", ["", "12.4", "#4", "/"], begun(2))
    assert held.tree["oversize"]["sieve"] == "No. 4"


def test_a_requirement_may_begin_at_its_standard() -> None:
    text = "format: 1\nkind: project\nid: marsh-lane\nname: N\ncustomer: {name: C}\n"
    held = says(
        PROJECT, "req", ["yes", "t180", "d", "", "", "95", "", "", *LATER, "no"], text
    )
    assert tree(held)["requirements"] == [
        {
            "zone": "whole project",
            "standard": {"designation": "AASHTO T 180", "method": "D"},
            "least_percent_compaction": "95",
        }
    ]


def test_a_test_has_its_standard_equipment_gravity_oversize_and_remarks() -> None:
    asked = hold(at(SEPARATE, "", begun(2)), lambda prompt: "").asked
    words = "\n".join(asked)
    for name in (
        *("Standard, now", "Edition", "Method, now", "Mold", "Rammer no.", "Oven"),
        *("Specific gravity", "Oversize by", "Remarks", "Prepared by", "Curve form"),
        *("Add deviation 1", "Material passing", "Sample, now"),
    ):
        assert name in words
    assert "Container" not in words.replace("Balance for containers", "")


def test_at_the_bench_a_sign_leads_to_a_particular_and_back() -> None:
    held = hold(session(begun(2)), ["=remarks", "crumbles", "4002", "/"])

    assert held.tree["remarks"] == "crumbles"
    assert held.tree["points"][2] == {"mold_and_wet_soil": "4002"}
    first, second, third = held.asked[:3]
    assert first == third
    assert second.startswith("Remarks")


def test_a_tared_balance_is_said_once_and_its_containers_then_read_zero() -> None:
    held = hold(session(begun(2)), ["=containers", "yes", "4002", "29", "0.0", "143.1"])

    assert tree(held)["balance_tared"] == "yes"
    assert "container-mass-zero" not in held.words
    assert tree(held)["points"][2]["container_mass"] == "0.0"


def test_remarks_are_added_to_with_a_plus_and_need_no_reason() -> None:
    text = begun(2) + 'remarks: "dark"\n'
    held = hold(session(text), ["=rem", "+crumbles", "/"])
    assert held.tree["remarks"] == "dark; crumbles"


def test_at_the_bench_a_part_that_is_not_there_is_refused_with_the_list() -> None:
    held = hold(session(begun(2)), ["=zzz", "/"])
    assert "no particulars called 'zzz'" in held.words
    assert "oversize" in held.words
    assert held.saved == []


def test_leaving_in_the_midst_of_particulars_keeps_what_was_entered() -> None:
    held = hold(session(begun(2)), ["=oversize", "", "12.4"])
    assert held.tree["oversize"] == {"percent_retained": "12.4"}
    assert len(held.commits) == 1


@pytest.mark.parametrize("kind", all_kinds(), ids=lambda kind: kind.name)
def test_every_kind_has_particulars(kind: Any) -> None:
    assert kind.particulars is not None


def test_a_record_that_was_never_committed_needs_no_reason() -> None:
    new = replace(at(SAMPLE, "soil", BARE), base=None)
    held = hold(new, ["lean clay", "", "", "", ""])
    assert tree(held)["soil"] == {"name": "lean clay"}
    assert held.commits[0].subject == "ML-S1: new record"


def test_a_standard_and_its_method_are_taken_as_people_type_them() -> None:
    held = says(SEPARATE, "standard", ["t180", "wrong form", "", "b", "as asked"])
    assert [one.subject for one in held.commits] == [
        "ML-102: standard: ASTM D698 to AASHTO T 180",
        "ML-102: method: A to B",
    ]

    refused = says(SEPARATE, "standard", ["t181", ""])
    assert "AASHTO T 99" in refused.words
    assert refused.text.encode() == sound()[SEPARATE]


def test_a_mapping_of_blanks_is_no_answer_and_needs_no_reason() -> None:
    text = BARE + "specific_gravity: {value: , basis: }\n"
    held = says(SAMPLE, "gravity", ["2.70 a"], text)
    assert "now" not in held.asked[0]
    assert len(held.asked) == 1  # no reason, and no oversize, which has a gravity too
    assert tree(held)["specific_gravity"] == {"value": "2.70", "basis": "assumed"}


def test_standards_are_listed_as_people_type_them() -> None:
    held = says(LAB, "procedures", ["t180, d 698"])
    assert tree(held)["procedures"]["standards"] == ["AASHTO T 180", "ASTM D698"]


REPEATABILITY = (
    *("method", "density_unit", "maximum_dry_density"),
    *("optimum_water_content", "repeats"),
)
STATED_CURVE = ("name", "maximum_dry_density", "optimum_water_content", "points")
ELSEWHERE = {
    # by `review`, `issue --withdraw` and the end of `enter`; by a move of the file
    *("reviewed", "withdrawn", "status", "format", "kind", "id", "project"),
    # by `calibrate`
    *("calibrations", "determinations", "leak_tests", "counts", "service"),
    *("equipment.pycnometer",),  # each determination names its own
    *("accepted.*.by", "accepted.*.reason"),  # with their warning, by who enters it
    *("curve.by",),  # with the drawn peak, by who enters it
    # with their standard, in one answer
    *(f"procedures.repeatability.*.{name}" for name in REPEATABILITY),
    *("confirmed",),  # by `confirm`
    *(f"members.*.{name}" for name in STATED_CURVE),  # of a record alone, by hand
}


def leaves(model: type[BaseModel], at: tuple[str, ...] = ()) -> Iterator[str]:
    """Yield every scalar of a model, with `*` for a line of a list."""
    for name, one in model.model_fields.items():
        way = (*at, one.alias or name)
        inner = list(parts_in(one.annotation))
        for part, listed in inner:
            yield from leaves(part, (*way, *("*",) * listed))
        if not inner:
            yield ".".join(way)


def parts_in(annotation: Any) -> Iterator[tuple[type[BaseModel], bool]]:
    """Yield the models in an annotation, and whether they are lines of a list."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation, False
    for inner in get_args(annotation):
        for part, listed in parts_in(inner):
            yield part, listed or get_origin(annotation) in (tuple, list, dict)


def blank_of(kind: Any) -> tuple[str, bytes]:
    """Return the file and text of a new record of a kind."""
    if kind.blank is None:
        return LAB, sound()[LAB]
    told = {
        **{ask.name: ask.default for ask in kind.blank.asks},
        **{"project": "marsh-lane", "sample": "ML-S1", "on": "2026-03-10"},
        **{"by": "T07", "edition": "22", "name": "N", "customer": "C"},
        **{"opening": "No. 4", "readability": "1", "moisture_unit": "g"},
        **{"members": "ML-101", "zone": "embankment", "lift": "7"},
    }
    new = new_record(kind, "ML-201", told)
    return new.file, new.text.encode()


@pytest.mark.parametrize("kind", all_kinds(), ids=lambda kind: kind.name)
def test_every_field_of_a_record_is_asked_for_somewhere(kind: Any) -> None:
    file, text = blank_of(kind)
    data = {**sound(), file: text}
    made = Archive(sorted(data), data.__getitem__).outcome(file)
    assert made is not None
    words = ["", "gradation", "each", *(["T99"] if file == LAB else [])]
    words += [part.title for _, part in BY_NAME]
    benches = [kind.particulars(made.case, word) for word in words]
    benches += [kind.bench(made.case)] if kind.bench is not None else []
    asked = set()
    for part in (part for bench in benches for part in bench.parts):
        for one in part.readings:
            at = ["*" if step == "T99" else str(step) for step in part.at]
            lines = [] if part.once else ["*"]
            within = [one.within, "*"] if one.within else []
            asked.add(".".join([*at, *lines, *one.path]))
            asked.add(".".join([*at, *lines, *within, *one.path]))

    def is_asked(field: str) -> bool:
        steps = field.split(".")
        starts = {".".join(steps[:n]) for n in range(1, len(steps) + 1)}
        return bool(starts & (asked | ELSEWHERE)) or bool(set(steps) & ELSEWHERE)

    assert [field for field in leaves(kind.model) if not is_asked(field)] == []


def test_what_is_rarely_said_of_a_point_is_asked_for_by_name() -> None:
    answers = ["", "", "", "", "", "", "yes", "", "", "", "/"]
    held = says(SEPARATE, "points", answers, begun(2))
    assert tree(held)["points"][0]["bleeding"] == "yes"
    assert "Did water bleed" not in "\n".join(hold(at(SEPARATE), lambda p: "").asked)


def test_a_point_is_rejected_with_who_and_why_and_counts_again_when_blank() -> None:
    blank = [""] * 10
    by_engineer = at(SEPARATE, "points", begun(2))
    by_engineer.record = replace(by_engineer.record, by="E02")
    held = hold(by_engineer, [*blank, "12", "mold was loose", "/"])
    assert tree(held)["points"][0]["rejected"] == {
        "by": "E02",
        "reason": "mold was loose",
    }
    assert "'12' is no reason" in held.words

    # Of a rejected point only what stands is asked.
    answers = ["", "", "blank", "it was not", "/"]
    again = says(SEPARATE, "points", answers, held.text)
    assert tree(again)["points"][0]["rejected"] is None

    refused = says(SEPARATE, "points", [*blank, "mold was loose", "/"], begun(2))
    assert "a person authorized to review or authorize" in refused.words
    assert refused.text == begun(2)


def test_an_edition_not_on_file_is_doubted_and_a_newer_one_may_be_kept() -> None:
    first = says(SEPARATE, "standard", ["", "t 180", "-"])
    assert "  ? t 180; expected: an edition on file: " in first.words
    assert first.text.encode() == sound()[SEPARATE]

    newer = ["", "31", "the edition of 2031", "new edition bought", "/"]
    kept = says(SEPARATE, "standard", newer)
    assert tree(kept)["standard"]["edition"] == "31"


def test_who_else_is_on_the_staff_list_is_shown_beside_a_code() -> None:
    assert "Staff list, T12 (others: " in says(LAB, "T12", ["technician"]).words


def test_a_warning_is_accepted_by_who_may_with_the_reason() -> None:
    text = sound()[SEPARATE].decode().replace("edition: 12(2021)", "edition: 07e1")
    by_engineer = at(SEPARATE, "accepted", text)
    by_engineer.record = replace(by_engineer.record, by="E02")
    answers = ["yes", "edition-superseded", "edition-superseded: contract asks for it"]
    held = hold(by_engineer, [*answers, "no"])

    assert "type the warning, a colon, and why" in held.words
    assert tree(held)["accepted"] == [
        {
            "flag": "edition-superseded",
            "by": "E02",
            "reason": "contract asks for it",
        }
    ]

    refused = says(SEPARATE, "accepted", ["yes", answers[2], "/"], text)
    assert "authorized to" in refused.words
    assert "accepted" not in tree(refused)


def test_the_question_for_a_test_says_how_to_come_to_its_figures() -> None:
    asked = hold(at(SEPARATE, "oversize", begun(2)), lambda prompt: "").asked

    assert asked[0] == "Oversize by coarse-fraction test no. (Enter: its figures): "
    assert asked[1].startswith("Oversize: retained, dry mass")


def test_a_peak_drawn_by_hand_is_one_answer_with_who_and_why() -> None:
    drawn = "117.8 lb/ft3 12.2 % points 3 and 4 tie"
    without, other = "117.8 12.2 points 3 and 4 tie", "1887 kg/m3 12.2 3 and 4 do tie"
    by_engineer = at(SEPARATE, "curve")
    by_engineer.record = replace(by_engineer.record, by="E02")
    held = hold(by_engineer, ["", "117.8", without, drawn])

    assert "type the density, the water content, and why it was drawn" in held.words
    assert "type the unit behind the density" in held.words
    assert tree(held)["units"]["density"] == "lb/ft3"
    assert tree(held)["curve"] == {
        "drawn": {"maximum_dry_density": "117.8", "optimum_water_content": "12.2"},
        "by": "E02",
        "reason": "points 3 and 4 tie",
    }

    refused = says(SEPARATE, "curve", ["", "", other, "/"], held.text)
    assert "densities of this test are in lb/ft3" in refused.words
    blank = ["", "", "blank", "the form fits"]
    again = says(SEPARATE, "curve", blank, held.text)
    assert tree(again)["curve"] is None

    # By a person who may not review it is an error of the record.
    refused = says(SEPARATE, "curve", ["", drawn, "/"])
    assert "expected: a person authorized to review or authorize" in refused.words
    assert "curve" not in tree(refused)


def test_the_laboratory_s_repeatability_is_entered_in_one_answer() -> None:
    answers = ["yes", "t99, A, 0.9, 0.4", "t99, A, 0.9 lb/ft3, 0.4, 12", "no"]
    held = says(LAB, "repeatability", answers)

    assert held.asked[1].endswith("(as in AASHTO T 99, A, 0.9 lb/ft3, 0.4, 12): ")
    assert "separated by commas: AASHTO T 99, A, 0.9 lb/ft3, 0.4, 12" in held.words
    assert tree(held)["procedures"]["repeatability"] == [
        {
            "standard": "AASHTO T 99",
            "method": "A",
            "density_unit": "lb/ft3",
            "maximum_dry_density": "0.9",
            "optimum_water_content": "0.4",
            "repeats": "12",
        }
    ]


def test_keys_and_the_published_branch_are_asked_for() -> None:
    keys = "ssh-ed25519 AAAAone T04, ssh-ed25519 AAAAtwo"
    held = hold(at(LAB, "T04"), lambda prompt: keys if "keys" in prompt else "")
    assert tree(held)["staff"]["T04"]["keys"] == [
        "ssh-ed25519 AAAAone T04",
        "ssh-ed25519 AAAAtwo",
    ]

    branch = hold(at(LAB, "procedures"), lambda p: "issued" if "Branch" in p else "")
    assert tree(branch)["procedures"]["published_branch"] == "issued"

    where = "https://soils.example/reports/"
    site = hold(at(LAB, "procedures"), lambda p: where if "site, printed" in p else "")
    assert tree(site)["procedures"]["published_at"] == where
