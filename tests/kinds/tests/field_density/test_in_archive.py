"""Field densities beside their reference, project and the tests around them."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from buildsite.archive.archive import Archive
from buildsite.kinds.field_answers import FieldTestFacts, PlaceFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.tests.field_density.rules.references import (
    compaction_above_usual,
    reference_of_another_method,
)
from buildsite.pages.report.parts import parties
from buildsite.record.flags import Severity
from tests.archives import Changes, archive_of, changed

TESTS = "marsh-lane/tests/"
ONE = f"{TESTS}FD-01.yaml"
TARGET = (
    "target: {maximum_dry_density: 1.732, optimum_water_content: 17.7, source: report "
    "of another laboratory}"
)
REFERENCE = "reference: ML-101\nreference_basis: source\nreference_by: T07"
JUDGED: Changes = {ONE: [[TARGET, REFERENCE]]}


def archive(changes: Changes, *issued: str) -> Archive:
    issues: list[Mapping[str, Any]] = [{"test": f"{TESTS}{one}"} for one in issued]
    return archive_of(changed(changes, issues, ("field-density",)))


def outcome(records: Archive, id: str = "FD-01") -> Outcome:
    made = records.outcome(f"records/{TESTS}{id}.yaml")
    assert made is not None
    return made


def test_the_reference_is_named_with_its_revision() -> None:
    made = outcome(archive(JUDGED, "ML-101"))

    told = made.detail()
    assert told["acceptance"]["reference"] == "ML-101.issued.yaml#0"
    assert told["field"]["reference_revision"] == "ML-101 r0"
    assert told["acceptance"]["verdict"] == "pass"
    # 108.1 lb/ft³ and 17.7 %, as reported: a pound is 0.45359237 kg, a foot 0.3048 m.
    maximum = 108.1 * 0.45359237 / 0.3048**3
    assert told["field"]["target"]["maximum_dry_density"] == pytest.approx(maximum)
    dry = made.results["dry_density"].value
    percent = made.results["percent_compaction"].value
    assert percent == pytest.approx(100 * dry / maximum)


def test_a_working_reference_is_named_by_its_id() -> None:
    made = outcome(archive(JUDGED))

    assert made.detail()["acceptance"]["reference"] == "ML-101"
    assert "reference-not-issued" in [flag.flag for flag in made.flags]


def test_another_effort_gives_no_verdict() -> None:
    other = ["AASHTO T 99, method: A", "AASHTO T 180, method: A"]
    changes: Changes = {**JUDGED, "marsh-lane/project.yaml": [other]}

    made = outcome(archive(changes, "ML-101"))

    told = made.detail()["acceptance"]
    assert (told["verdict"], told["criteria"]) == ("none", [])
    assert "another effort" in told["why"]
    assert "percent_compaction" in made.results


def of_an_older_report(made: Outcome, percent: float) -> Any:
    """Return a case of which the reference names neither method nor effort."""
    values = made.case.values
    facts = replace(values.reference, designation="", effort="")
    return replace(made.case, values=replace(values, reference=facts, percent=percent))


def test_a_report_that_names_no_method_is_no_proof_of_one() -> None:
    case = of_an_older_report(outcome(archive(JUDGED, "ML-101")), 98.0)

    (found,) = reference_of_another_method.check(case)
    assert found.found == "ML-101 r0, whose kept result names no method"
    assert found.expected == "AASHTO T 99, Method A"
    assert found.severity is Severity.NOTE


@pytest.mark.parametrize(
    ("required", "percent", "flagged"),
    [("T 180", 103.2, True), ("T 180", 102.8, False), ("T 99", 103.2, False)],
)
def test_where_a_report_names_no_effort_that_required_has_the_limit(
    required: str, percent: float, *, flagged: bool
) -> None:
    # 103 % of modified, 105 % of standard effort: common practice.
    other = ["AASHTO T 99, method: A", f"AASHTO {required}, method: A"]
    changes: Changes = {**JUDGED, "marsh-lane/project.yaml": [other]}
    case = of_an_older_report(outcome(archive(changes, "ML-101")), percent)

    assert bool(list(compaction_above_usual.check(case))) is flagged


def test_a_whole_soil_without_a_split_meets_the_corrected_result() -> None:
    two = f"{TESTS}FD-02.yaml"
    target = TARGET.replace("1.732", "1.889").replace("17.7", "12.2")
    named = REFERENCE.replace("ML-101", "ML-102")
    split = (
        "coarse: {sieve: No. 4, wet_retained: 560, wet_passing: 3900, water_retained: "
        "1.5, water_passing: 11.0, specific_gravity: {value: 2.62, basis: oven-dry}}\n"
    )
    made = outcome(archive({two: [[target, named], [split, ""]]}, "ML-102"), "FD-02")

    # The report of ML-102 states 122.1 lbf/ft³ corrected, 10.8 %.
    told = made.detail()["field"]
    maximum = 122.1 * 0.45359237 / 0.3048**3
    assert told["target"]["maximum_dry_density"] == pytest.approx(maximum)
    assert told["target"]["optimum_water_content"] == pytest.approx(10.8)


def test_its_own_split_corrects_the_uncorrected_result() -> None:
    two = f"{TESTS}FD-02.yaml"
    target = TARGET.replace("1.732", "1.889").replace("17.7", "12.2")
    changes: Changes = {two: [[target, REFERENCE.replace("ML-101", "ML-102")]]}
    made = outcome(archive(changes, "ML-102"), "FD-02")

    # ASTM D4718: volumes added, of 117.9 lbf/ft³ and 12.2 %, as ML-102 reports them.
    share = 560 / 1.015 / (560 / 1.015 + 3900 / 1.11)
    fine = 117.9 * 0.45359237 / 0.3048**3
    maximum = 1 / ((1 - share) / fine + share / 2620)
    told = made.detail()["field"]["target"]
    assert told["maximum_dry_density"] == pytest.approx(maximum)
    water = 12.2 * (1 - share) + 1.5 * share
    assert told["optimum_water_content"] == pytest.approx(water)


def test_what_it_tells_to_others() -> None:
    records = archive(JUDGED, "ML-101", "FD-03")
    made, failed = outcome(records), outcome(records, "FD-03")

    place = made.kind.answers(made.case, Ref(PlaceFacts, (), "FD-01", ()))
    told = failed.kind.answers(failed.case, Ref(FieldTestFacts, (), "FD-03", ()))

    assert isinstance(place, PlaceFacts)
    assert isinstance(told, FieldTestFacts)
    assert (place.zone, place.lift, place.verdict) == ("embankment", "3", "pass")
    assert place.place == "station 10+50, 2.0 m left"
    assert dict(place.coordinates)["station"] == "10+50"
    assert (told.verdict, told.percent, told.water) == ("fail", "94.2 %", "17.0 %")
    assert (told.purpose, told.apparatus) == ("acceptance", "drive-cylinder")
    assert str(told.tested_on) == "2026-04-13"


def test_it_was_not_tested_in_the_laboratory() -> None:
    rows = {
        label: text
        for label, text, _ in parties(outcome(archive(JUDGED)), contact=True)
    }

    assert rows["Tested at"] == "zone embankment, lift 3, station 10+50, 2.0 m left"
    assert rows["Laboratory"] == "Sedge Hollow"


def test_the_report_has_results_verdict_and_reference_first() -> None:
    sheet = outcome(archive(JUDGED, "ML-101")).sheet()

    names = [block.name for block in sheet.blocks]
    assert names[:5] == ["results", "measured", "verdict", "place", "reference"]
    results = sheet.table("results")
    assert results is not None
    # The verdict before all figures, then what it judged.
    assert [(row.cells[0].text, row.mark) for row in results.rows] == [
        ("Verdict", "pass"),
        ("Percent compaction", "percent_compaction"),
        ("Moisture content from optimum", "water_content_deviation"),
    ]
    verdict, facts = sheet.table("verdict"), sheet.table("reference")
    assert verdict is not None
    assert facts is not None
    assert results.rows[0].cells[2].text == "Meets the requirement"
    assert verdict.title == "Criteria of the verdict"
    cells = {row.cells[0].text: row.cells[1].text for row in facts.rows}
    assert cells["Reference"] == "ML-101 r0"
    assert cells["Matched by"] == "source, T07"


def test_a_gauges_report_keeps_serial_licence_and_leak_test_in_house() -> None:
    sheet = outcome(archive({}), "FD-05").sheet()

    text = repr(sheet)
    assert "00472" not in text
    assert "XX-0002" not in text
    assert "leak" not in text
    assert "radiation safety officer" in text
