"""Which record is where, who asks whom, and how little is read for it."""

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest

from buildsite.archive import identity
from buildsite.archive.across import flags_across, traces_of
from buildsite.archive.archive import Archive
from buildsite.kinds import kind_named
from buildsite.kinds.answers import SpecificGravityFact
from buildsite.kinds.kind import Case, Ref
from buildsite.record.flags import Flag
from tests.archives import sound
from tests.kinds.making import FILE, PROJECT, SAMPLE, archive, kind, text_of

POUNDS = "records/marsh-lane/tests/ML-101.yaml"


def told(found: Archive, file: str = FILE) -> list[tuple[str, str]]:
    return [(flag.flag, flag.found) for flag in found.flags(file)]


def names(flags: tuple[Flag, ...]) -> set[str]:
    return {flag.flag for flag in flags}


class Counted(dict[str, bytes]):
    """Files that count how often each is read."""

    def __init__(self, files: dict[str, bytes]) -> None:
        super().__init__(files)
        self.reads: Counter[str] = Counter()

    def __getitem__(self, name: str) -> bytes:
        self.reads[name] += 1
        return super().__getitem__(name)


def test_one_test_reads_itself_and_what_it_names_each_once() -> None:
    files = Counted(dict(sound()))
    found = Archive(sorted(files), files.__getitem__)

    outcome = found.outcome(POUNDS)
    found.outcome(POUNDS)
    found.flags(POUNDS)

    assert outcome is not None
    assert files.reads == dict.fromkeys(outcome.inputs, 1)
    assert "records/marsh-lane/tests/ML-102.yaml" not in files.reads
    assert "records/marsh-lane/samples/ML-S2.yaml" not in files.reads


def test_names_alone_read_nothing() -> None:
    files = Counted(dict(sound()))
    found = Archive(sorted(files), files.__getitem__)

    assert found.ids("test") == ["ML-101", "ML-102"]
    assert found.find("equipment", "M-04") == "records/equipment/M-04.yaml"
    assert found.files("project") == ["records/marsh-lane/project.yaml"]
    assert not files.reads


@pytest.mark.parametrize(
    ("file", "group", "name"),
    [
        ("records/lab.yaml", "laboratory", "lab"),
        ("records/equipment/M-04.yaml", "equipment", "M-04"),
        ("records/equipment/molds/M-04.yaml", "equipment", "M-04"),
        ("records/p/project.yaml", "project", "p"),
        ("records/p/samples/S-1.yaml", "sample", "S-1"),
        ("records/p/tests/2026/T-1.yaml", "test", "T-1"),
        ("records/p/families/embankment.yaml", "family", "embankment"),
        ("records/p/lab.yaml", "", "lab"),
        ("records/p/letters/L-1.yaml", "", "L-1"),
        ("records/stray.yaml", "", "stray"),
    ],
)
def test_a_files_place_says_what_it_is_about(file: str, group: str, name: str) -> None:
    assert identity.group_of(file) == group
    assert identity.name_of(file) == name


def test_an_id_is_found_as_it_is_written() -> None:
    found = archive({})

    assert found.find("sample", "S-1") == "records/p/samples/S-1.yaml"
    assert found.find("sample", "s-1") is None
    assert found.find("test", "S-1") is None


POINTLESS = "points: []\n"


def test_a_name_of_nothing_offers_the_nearest() -> None:
    text = text_of(POINTLESS).replace("sample: S-1", "sample: S-2")
    found = archive({FILE: text})

    (flag,) = (f for f in found.flags(FILE) if f.flag == "reference-to-nothing")
    assert flag.field == ("sample",)
    assert "S-1" in flag.mend
    assert flag.line == 4


def test_a_record_of_the_wrong_sort_is_not_asked() -> None:
    oven = {"records/equipment/O-1.yaml": "kind: oven\nid: O-1\n"}
    found = archive({FILE: text_of(POINTLESS + "equipment: {mold: O-1}\n"), **oven})

    assert ("reference-of-wrong-kind", "O-1, an oven") in told(found)
    outcome = found.outcome(FILE)
    assert outcome is not None
    assert "records/equipment/O-1.yaml" not in outcome.inputs


def test_what_a_record_names_but_cannot_be_read_is_told_where_it_stands() -> None:
    found = archive(
        {FILE: text_of(POINTLESS), "records/p/samples/S-1.yaml": "kind: sample\n"}
    )

    assert "reference-to-nothing" not in names(found.flags(FILE))
    assert names(found.flags("records/p/samples/S-1.yaml")) == {"missing-field"}
    outcome = found.outcome(FILE)
    assert outcome is not None
    assert "records/p/samples/S-1.yaml" not in outcome.inputs


@pytest.fixture
def gravities(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let compaction tests state a specific gravity: so that circles can be drawn."""
    was = kind("moisture-density")

    def answers(case: Case[Any, Any], ref: Ref) -> object | None:
        return case.values.gravity if ref.asks is SpecificGravityFact else None

    now = replace(was, answers=answers)
    monkeypatch.setattr(
        identity,
        "kind_named",
        lambda name: now if name == was.name else kind_named(name),
    )


def of(id: str, rest: str) -> dict[str, str]:
    text = text_of(POINTLESS + rest).replace("id: T-1", f"id: {id}")
    return {f"records/p/tests/{id}.yaml": text}


@pytest.mark.usefixtures("gravities")
def test_a_value_comes_through_a_chain_with_every_file_of_it() -> None:
    found = archive(
        of("A", "specific_gravity: {test: B}\n")
        | of("B", "specific_gravity: {test: C}\n")
        | of("C", "specific_gravity: {value: 2.7}\n")
    )
    outcome = found.outcome("records/p/tests/A.yaml")

    assert outcome is not None
    assert str(outcome.case.values.gravity.value) == "2.7"
    tests = [name for name in outcome.inputs if "/tests/" in name]
    assert tests == [f"records/p/tests/{id}.yaml" for id in "ABC"]


@pytest.mark.usefixtures("gravities")
@pytest.mark.parametrize("first", ["A", "B", "C"])
def test_a_circle_is_told_at_each_record_of_it_whichever_is_asked_first(
    first: str,
) -> None:
    found = archive(
        of("A", "specific_gravity: {test: B}\n")
        | of("B", "specific_gravity: {test: A}\n")
        | of("C", "specific_gravity: {test: A}\n")
    )
    found.outcome(f"records/p/tests/{first}.yaml")

    for id in "AB":
        flags = found.flags(f"records/p/tests/{id}.yaml")
        assert "reference-cycle" in names(flags)
    # C looks into the circle and is none of it.
    assert "reference-cycle" not in names(found.flags("records/p/tests/C.yaml"))


@pytest.mark.usefixtures("gravities")
def test_a_record_that_names_itself_is_a_circle() -> None:
    found = archive(of("A", "specific_gravity: {test: A}\n"))

    assert "reference-cycle" in names(found.flags("records/p/tests/A.yaml"))


def test_one_id_twice_is_told_of_the_second_whatever_its_case_or_project() -> None:
    found = archive(
        {
            FILE: text_of(POINTLESS),
            "records/q/project.yaml": PROJECT.replace("id: p", "id: q"),
            "records/q/tests/t-1.yaml": text_of(POINTLESS)
            .replace("project: p", "project: q")
            .replace("id: T-1", "id: t-1"),
        }
    )

    assert "id-taken-twice" not in names(found.flags(FILE))
    assert "id-taken-twice" in names(found.flags("records/q/tests/t-1.yaml"))


@pytest.mark.parametrize(
    ("file", "text", "flag"),
    [
        ("records/p/tests/T-2.yaml", text_of(POINTLESS), "name-differs-from-id"),
        ("records/p/samples/T-1.yaml", text_of(POINTLESS), "record-in-wrong-folder"),
        ("records/q/samples/S-1.yaml", SAMPLE, "record-in-wrong-folder"),
        ("records/q/project.yaml", PROJECT, "name-differs-from-id"),
        ("records/equipment/S-1.yaml", SAMPLE, "record-in-wrong-folder"),
        ("records/stray.yaml", PROJECT, "record-in-wrong-folder"),
        ("records/p/tests/X.yaml", "id: X\n", "missing-field"),
        ("records/p/tests/X.yaml", "kind: moisture-densty\nid: X\n", "unknown-kind"),
        ("records/p/tests/X.yaml", "kind: {a: b}\nid: X\n", "unknown-kind"),
        ("records/p/tests/X.yaml", "kind: [sample]\nid: X\n", "unknown-kind"),
        ("records/p/tests/X.yaml", "a: [1\n", "yaml-syntax"),
        ("records/p/tests/X.yaml", "", "not-a-mapping"),
    ],
)
def test_a_record_that_does_not_stand_right_is_told(
    file: str, text: str, flag: str
) -> None:
    found = archive({file: text})

    flags = found.flags(file)

    assert flag in names(flags)
    assert list(flags) == sorted(flags, key=lambda one: one.order)
    assert {one.file for one in flags} == {file}


def test_an_unknown_kind_offers_the_nearest() -> None:
    found = archive({FILE: "kind: moisture-densty\nid: T-1\n"})
    (flag,) = found.flags(FILE)

    assert flag.mend == "did you mean moisture-density?"
    assert found.outcome(FILE) is None


def test_what_is_seen_across_records_joins_a_tests_own_flags() -> None:
    weighed = (
        "units: {compacted: g}\nequipment: {mold: M-1}\nmold_mass: {}\n"
        "weighed_with: mold\npoints: [{{mold_and_wet_soil: 3800}}]\n"
    )
    mold = "kind: mold\nid: M-1\nnominal: 4 in\ncalibrations: [{on: 2026-01-01}]\n"
    first = text_of(
        weighed.replace("{}", "2000", 1).replace("{{", "{").replace("}}", "}")
    )
    second = first.replace("2000", "2050").replace("id: T-1", "id: T-2")
    other = "records/p/tests/T-2.yaml"
    found = archive({FILE: first, other: second, "records/equipment/M-1.yaml": mold})

    found.across_flags = flags_across(found, traces_of(found, found.files("test")))

    assert "mold-mass-changed" in names(found.flags(other))
    assert "mold-mass-changed" not in names(found.flags(FILE))


def test_only_a_test_that_claims_to_be_complete_claims() -> None:
    for status, claims in [
        ("complete", True),
        ("in-progress", False),
        ("withdrawn", False),
        ("nonsense", True),
    ]:
        text = text_of(POINTLESS).replace("status: complete", f"status: {status}")
        assert archive({FILE: text}).claims(FILE) is claims


@pytest.mark.parametrize("slip", ["remarks: a\tb\n", "remarks: a\r\n", "odd: 1\n"])
def test_a_fault_of_a_file_is_flagged_once(slip: str) -> None:
    flags = archive({FILE: text_of(slip)}).flags(FILE)

    faults = [(flag.flag, flag.line) for flag in flags if flag.severity == "error"]
    assert faults
    assert len(faults) == len(set(faults))
