"""One record and its answers become results, flags and two digests."""

import json
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from hashlib import sha256
from typing import Any

import pytest

from buildsite.archive.archive import Archive
from buildsite.kinds.kind import Result
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.used import canonical, plain
from buildsite.record.flags import Severity
from tests.archives import changed, sound

POUNDS = "records/marsh-lane/tests/ML-101.yaml"
OVERSIZED = "records/marsh-lane/tests/ML-102.yaml"
TEST, PROJECT = "marsh-lane/tests/ML-101.yaml", "marsh-lane/project.yaml"
MOLD = "equipment/M-04.yaml"

Files = Mapping[str, bytes]


def outcome(files: Files, file: str = POUNDS) -> Outcome:
    names = sorted(name for name in files if name.endswith(".yaml"))
    archive = Archive(names, files.__getitem__)
    made = archive.outcome(file)
    assert made is not None, "\n".join(map(str, archive.flags(file)))
    return made


def test_the_canonical_form_is_json_without_any_freedom() -> None:
    value = {
        "b": 0.1 + 0.2,  # ten digits: 0.3
        "a": [Decimal("13.10"), None, True, -0.0],
        "ü": date(2026, 3, 10),
        "t": datetime(2026, 3, 10, 8, 5),  # noqa: DTZ001  a laboratory's own clock
        "r": Result(1944.7, "kg/m3", "121.4 lb/ft3"),
    }

    text = canonical(value).decode("utf-8")

    assert text == (
        '{"a":["13.10",null,true,0.0],"b":0.3,'
        '"r":{"reported":"121.4 lb/ft3","unit":"kg/m3","value":1944.7},'
        '"t":"2026-03-10 08:05:00","ü":"2026-03-10"}'
    )


@pytest.mark.parametrize("value", [float("inf"), float("nan")])
def test_what_is_no_number_has_no_canonical_form(value: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        canonical({"a": value})


def spoken_parts(value: Any) -> Any:
    """Leave out, from the inside out, whatever is absent or empty."""
    if not isinstance(value, dict):
        return [spoken_parts(part) for part in value] if type(value) is list else value
    parts = ((key, spoken_parts(part)) for key, part in value.items())
    return {key: part for key, part in parts if part not in (None, "", [], {})}


def test_used_is_the_digest_of_record_and_answers() -> None:
    # Put together again from the documented form.
    made = outcome(sound())
    tree = {k: v for k, v in made.source.tree.items() if k not in ("format",)}
    answers = {" ".join(k): plain(v) for k, v in made.case.inputs.answers.items()}

    spoken = {"record": tree, "answers": spoken_parts(answers)}
    expected = sha256(canonical(spoken)).hexdigest()

    assert made.used == f"sha256:{expected}"


Change = tuple[str, str, str]
"""A file, a text to find in it, and the text to put there."""

UNMOVED: dict[str, Change] = {
    "a comment": (TEST, "layers: 3", "layers: 3  # as always"),
    "the order of keys": (
        TEST,
        "layers: 3\nblows_per_layer: 25",
        "blows_per_layer: 25\nlayers: 3",
    ),
    "another way to write a mapping": (
        TEST,
        "dried: {on: 2026-03-11, by: T04}",
        "dried:\n  by: T04\n  on: 2026-03-11",
    ),
    "quotes": (TEST, "layers: 3", 'layers: "3"'),
    "lines above": (TEST, "format: 1\n", "\n\n# moved\nformat: 1\n"),
    "no format": (TEST, "format: 1\n", ""),
    "a blank": (TEST, "layers: 3", "layers: 3\nremarks:"),
    "a mapping of blanks": (
        TEST,
        "layers: 3",
        "layers: 3\nexternal: {laboratory: , report: }",
    ),
    "a new colleague": (
        "lab.yaml",
        "  E02:",
        "  T09: {may: [test], from: 2026-01-01}\n  E02:",
    ),
    "a new e-mail of a person": (
        "lab.yaml",
        "T07: {roles: [technician]",
        "T07: {emails: [a@b.example], roles: [technician]",
    ),
    "a later calibration of the mold": (
        MOLD,
        "calibrations:\n",
        "calibrations:\n  - {on: 2027-01-12, volume: 950}\n",
    ),
    "a later calibration of the rammer": (
        "equipment/R-02.yaml",
        "calibrations:\n",
        "calibrations:\n  - {on: 2027-01-12}\n",
    ),
    "another sample": ("marsh-lane/samples/ML-S2.yaml", "value: 2.66", "value: 2.68"),
    "another test": ("marsh-lane/tests/ML-102.yaml", "layers: 3", "layers: 4"),
}


def after(change: Change) -> Outcome:
    file, was, now = change
    return outcome(changed({file: [[was, now]]}))


@pytest.mark.parametrize("what", UNMOVED)
def test_used_is_not_moved_by(what: str) -> None:
    before, now = outcome(sound()), after(UNMOVED[what])

    assert now.used == before.used
    assert now.results == before.results


MOVED: dict[str, Change] = {
    "an acceptance": (
        TEST,
        "layers: 3",
        "layers: 3\naccepted: [{flag: no-oven, by: E02, reason: fine}]",
    ),
    "a mass in the mold": (TEST, "wet_soil: 8.49", "wet_soil: 8.50"),
    "a container": (TEST, "container_mass: 31.77", "container_mass: 31.78"),
    "a wet mass": (TEST, "and_wet: 166.39", "and_wet: 166.40"),
    "a dry mass": (TEST, "and_dry: 143.60", "and_dry: 143.61"),
    "the last place of a reading": (TEST, "mold_mass: 4.41", "mold_mass: 4.410"),
    "who compacted": (
        TEST,
        "compacted: {on: 2026-03-10, by: T07}",
        "compacted: {on: 2026-03-10, by: T04}",
    ),
    "a rejection": (TEST, "143.60", "143.60, rejected: {by: E02, reason: torn}"),
    "the calibration in force": (MOLD, "4052.5", "4052.6"),
    "an earlier calibration that is now in force": (
        MOLD,
        "calibrations:\n",
        "calibrations:\n  - {on: 2026-03-01, volume: 944.0}\n",
    ),
    "the balance's readability": (
        "equipment/B-11.yaml",
        "readability: 1\n",
        "readability: 2\n",
    ),
    "the specific gravity": (
        "marsh-lane/samples/ML-S1.yaml",
        "value: 2.69",
        "value: 2.70",
    ),
    "a procedure used": ("lab.yaml", "curve: auto", "curve: quadratic"),
    "the unit of the report": (
        PROJECT,
        "format: 1",
        "format: 1\nreport_density: kg/m3",
    ),
    "the customer's name": (PROJECT, "does not exist", "is not there"),
    "the authority of one who acted": (
        "lab.yaml",
        "T07: {roles: [technician], may: [test]",
        "T07: {roles: [technician], may: []",
    ),
}


@pytest.mark.parametrize("what", MOVED)
def test_used_is_moved_by(what: str) -> None:
    assert after(MOVED[what]).used != outcome(sound()).used


def requiring(limits: str, more: str = "") -> Outcome:
    """The test in a project that requires this of a test by its method."""
    standard = "standard: {designation: AASHTO T 99, method: A}"
    asked = f"requirements: [{{zone: B, {standard}, {limits}}}]{more}"
    return after((PROJECT, "format: 1", f"format: 1\n{asked}"))


def test_what_the_project_requires_is_used_since_form_3() -> None:
    # Its report prints the target; an item of an earlier form did not.
    before, now = outcome(sound()), requiring("least_percent_compaction: 95")
    stricter = requiring("least_percent_compaction: 98")

    assert len({made.used_in(3) for made in (before, now, stricter)}) == 3
    for form in (1, 2):
        assert now.used_in(form) == before.used_in(form)
    assert now.results == before.results


@pytest.mark.parametrize(
    ("limits", "more"),
    [
        ("tests_required: {each: lift, number: 3}", ""),
        ("oven_check: yes", ""),
        ("clause: ", "\nengineer_of_record: [E02]"),
    ],
)
def test_what_says_nothing_of_the_target_is_not_used(limits: str, more: str) -> None:
    limit = "least_percent_compaction: 95"

    assert requiring(f"{limit}, {limits}", more).used == requiring(limit).used


def test_a_requirement_of_another_method_is_used_where_it_is_the_only_one() -> None:
    other = "{zone: C, standard: {designation: AASHTO T 180, method: D}}"
    serving = "{zone: B, standard: {designation: AASHTO T 99, method: A}}"

    def used(*requirements: str) -> str:
        text = f"format: 1\nrequirements: [{', '.join(requirements)}]"
        return after((PROJECT, "format: 1", text)).used

    assert used(serving, other) == used(serving)
    assert used(other) not in (used(serving), outcome(sound()).used)


def test_inputs_are_the_files_that_gave_answers_and_the_record() -> None:
    files = sound()
    named = ["M-04", "R-02", "B-11", "B-03", "O-01", "S-04"]

    made = outcome(files)

    assert dict(made.inputs) == {
        name: "sha256:" + sha256(files[name]).hexdigest()
        for name in sorted(
            [
                POUNDS,
                "records/lab.yaml",
                "records/marsh-lane/project.yaml",
                "records/marsh-lane/samples/ML-S1.yaml",
                *(f"records/equipment/{id}.yaml" for id in named),
            ]
        )
    }
    assert list(made.inputs) == sorted(made.inputs)


def test_a_file_that_gave_no_answer_is_no_input() -> None:
    # No kind of test gives a specific gravity yet: ML-102 is named and can't answer.
    made = after((TEST, "layers: 3", "layers: 3\nspecific_gravity: {test: ML-102}"))

    assert OVERSIZED not in made.inputs
    assert "reference-without-answer" in {flag.flag for flag in made.flags}


def accepted(flag: str, *more: list[str]) -> Outcome:
    line = f"layers: 3\naccepted: [{{flag: {flag}, by: E02, reason: seen}}]"
    return outcome(changed({TEST: [["layers: 3", line], *more]}))


def test_a_warning_that_a_person_accepted_says_who_and_why() -> None:
    hot = ["temperature_c: 110", "temperature_c: 160"]
    raised = outcome(changed({TEST: [hot]})).flags
    warning = next(f for f in raised if f.severity is Severity.WARNING)

    flags = accepted(warning.flag, hot).flags

    assert not warning.accepted_by
    mine = [flag for flag in flags if flag.flag == warning.flag]
    assert [(f.accepted_by, f.accepted_reason) for f in mine] == [("E02", "seen")]
    assert {"nothing-to-accept", "error-accepted"}.isdisjoint(f.flag for f in flags)


def test_an_error_cannot_be_accepted() -> None:
    made = accepted("dry-heavier-than-wet", ["143.60", "173.60"])

    error = next(f for f in made.flags if f.flag == "dry-heavier-than-wet")
    assert error.severity is Severity.ERROR
    assert not error.accepted_by
    doubt = next(f for f in made.flags if f.flag == "error-accepted")
    assert doubt.field == ("accepted", 0)
    assert made.blocked


def test_an_acceptance_of_nothing_is_noted() -> None:
    made = accepted("no-such-thing")

    assert [(f.flag, f.severity) for f in made.flags] == [
        ("nothing-to-accept", Severity.NOTE)
    ]
    assert not made.blocked


@pytest.mark.parametrize("status", ["in-progress", "withdrawn"])
def test_a_test_that_claims_nothing_is_not_blocked(status: str) -> None:
    change = [["status: complete", f"status: {status}"], ["143.60", "173.60"]]

    made = outcome(changed({TEST: change}))

    assert any(flag.severity is Severity.ERROR for flag in made.flags)
    assert not made.blocked


def test_flags_come_in_the_order_of_the_file() -> None:
    made = accepted("no-such-thing", ["143.60", "173.60"], ["8.49", "4.49"])

    assert list(made.flags) == sorted(made.flags, key=lambda flag: flag.order)
    assert len({flag.line for flag in made.flags}) > 2


def test_a_place_is_that_of_the_field() -> None:
    made = outcome(changed({TEST: [["143.60", "173.60"]]}))
    flag = next(f for f in made.flags if f.flag == "dry-heavier-than-wet")
    lines = made.source.text.splitlines()

    assert lines[flag.line - 1][flag.column - 1 :].startswith("173.60")


def test_an_outcome_is_the_same_every_time() -> None:
    first, second = outcome(sound(), OVERSIZED), outcome(sound(), OVERSIZED)

    assert first.used == second.used
    assert json.dumps(first.detail()) == json.dumps(second.detail())
    assert first.sheet() == second.sheet()
