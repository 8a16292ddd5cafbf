"""Checks of what a field test stands for: place, retests, rework, dispositions."""

from collections.abc import Iterator

from buildsite.kinds.field_answers import PlaceFacts
from buildsite.kinds.field_control.same_place import at_one_place, lift_key
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.holes import apparatus_facts
from buildsite.kinds.tests.field_density.places import position_texts
from buildsite.kinds.tests.field_density.stations import is_mistyped
from buildsite.kinds.tests.field_density.water import gauge_readings
from buildsite.kinds.tests.shared.columns import whole_record
from buildsite.kinds.tests.shared.completeness import gap_severity, is_complete
from buildsite.kinds.tests.shared.rules.columns import given_twice, taken_over
from buildsite.record.flags import Doubt, Rule, Severity, error, note, warning

COMMON = "common practice"


@warning("place-missing", COMMON)
def place_missing(case: Test) -> Iterator[Doubt]:
    """An acceptance test without its zone, its lift or its position."""
    record = case.record
    if record.purpose != "acceptance" or case.inputs.alone:
        return
    missing = [name for name in ("zone", "lift") if getattr(record, name) is None]
    if not {*position_texts(record)} - {"unit"}:
        missing.append("position")
    if missing:
        yield Doubt(
            field=(missing[0],),
            found=f"no {', no '.join(missing)}",
            expected="zone, lift and position: a test counts for one lift",
            mend="enter them from the field sheet",
            severity=None if is_complete(case) else Severity.NOTE,
        )


@warning("station-mistyped", COMMON)
def station_mistyped(case: Test) -> Iterator[Doubt]:
    """A station with a letter for a digit, or with another sign than its plus."""
    place = case.record.position
    if place is not None and place.station and is_mistyped(place.station):
        yield Doubt(
            field=("position", "station"),
            found=place.station,
            expected="digits, a plus and digits: 12+40",
            mend="correct the station: another text is another place, which no retest "
            "closes and no figure shows",
        )


def failure_of(case: Test) -> PlaceFacts | None:
    """Return the test that this one retests."""
    id = case.record.retest_of
    return case.inputs.get(PlaceFacts, id) if id is not None else None


@error("retest-without-rework", COMMON)
def retest_without_rework(case: Test) -> Iterator[Doubt]:
    """A retest without rework between the failure and itself."""
    record, work, before = case.record, case.record.rework, failure_of(case)
    if record.retest_of is None:
        return
    missing = [
        name for name in ("what", "on") if work is None or getattr(work, name) is None
    ]
    on = work.on if work is not None else None
    failed = before.tested_on if before is not None else None
    found = f"no {' and no '.join(missing)} of the rework" if missing else ""
    severity = gap_severity(case)
    if on is not None and record.tested.on is not None and on > record.tested.on:
        found, severity = f"reworked on {on}, after the test", Severity.ERROR
    elif on is not None and failed is not None and on < failed:
        found, severity = f"reworked on {on}, before the failure", Severity.ERROR
    if found:
        yield Doubt(
            field=("rework",),
            found=found,
            expected=f"what was done to the lift after {record.retest_of}, and when",
            mend="enter the rework; if there was none, this is check_of, not retest_of",
            severity=severity,
        )


@warning("retest-at-another-place", COMMON)
def retest_at_another_place(case: Test) -> Iterator[Doubt]:
    """A retest, or a check, at another place than the test it names."""
    record = case.record
    for name in ("retest_of", "check_of"):
        id = getattr(record, name)
        other = case.inputs.get(PlaceFacts, id) if id is not None else None
        if other is None:
            continue
        there = dict(other.coordinates)
        here = position_texts(record)
        own = lift_key(record.zone or "", record.lift or "")
        level = own == lift_key(other.zone, other.lift)
        if not level or not at_one_place(here, there):
            yield Doubt(
                field=(name,),
                found=f"{id}, of zone {other.zone}, lift {other.lift}, {other.place}",
                expected="a test at this very place",
                mend="correct the id or the place: a test elsewhere answers nothing",
            )


@warning("retest-of-no-failure", COMMON)
def retest_of_no_failure(case: Test) -> Iterator[Doubt]:
    """A retest of a test that did not fail."""
    before = failure_of(case)
    if before is not None and before.verdict != "fail":
        state = "passed" if before.verdict == "pass" else "has no verdict"
        yield Doubt(
            field=("retest_of",),
            found=f"{before.id}, which {state}",
            expected="a test that failed",
            mend="check the id; if it is right, this is check_of",
        )


@error("disposition-not-by-engineer", COMMON)
def disposition_not_by_engineer(case: Test) -> Iterator[Doubt]:
    """A failure was disposed of by somebody who isn't an engineer of record."""
    gone, project = case.record.disposition, case.values.project
    if gone is None or gone.by is None or project is None:
        return
    names = {one.partition(",")[0].strip() for one in project.engineers}
    if gone.by not in {*project.engineers, *names}:
        yield Doubt(
            field=("disposition", "by"),
            found=gone.by,
            expected=f"an engineer of record: {'; '.join(project.engineers) or 'none'}",
            mend="have an engineer of record decide, and enter that code or name; "
            "project.yaml states who they are",
        )


@error("disposition-incomplete", COMMON)
def disposition_incomplete(case: Test) -> Iterator[Doubt]:
    """A disposition without its document, its date or its name."""
    gone = case.record.disposition
    if gone is None:
        return
    missing = [name for name in ("document", "by", "on") if getattr(gone, name) is None]
    if missing:
        yield Doubt(
            field=("disposition", missing[0]),
            found=f"no {', no '.join(missing)}",
            expected="the document of the decision, who made it, and when",
            mend="enter them from the engineer's letter",
            severity=gap_severity(case),
        )


@warning("disposition-of-no-failure", COMMON)
def disposition_of_no_failure(case: Test) -> Iterator[Doubt]:
    """A disposition of a test that did not fail."""
    if case.record.disposition is not None and case.values.verdict.verdict != "fail":
        yield Doubt(
            field=("disposition",),
            found=f"a disposition, and the verdict is {case.values.verdict.verdict}",
            expected="a failure to dispose of",
            mend="delete it; if the record was corrected since, say so in a remark",
        )


@error("two-forms-of-one-value", "record format 1")
def two_forms(case: Test) -> Iterator[Doubt]:
    """A value given twice: stated here and on file, or in two ways."""
    record, values = case.record, case.values
    line = whole_record(record)[0]
    if record.wet_soil is not None and record.container_and_wet_soil is not None:
        yield given_twice(line, "wet_soil and container_and_wet_soil")
    if record.containers and record.water_content is not None:
        yield given_twice(line, "containers and water_content")
    if values.reference is not None and record.target is not None:
        yield on_file("target", f"a target beside {values.reference.id}")
    project, zone = values.project, record.zone or ""
    asked = project.of_zone(zone) if project is not None else None
    if asked is not None and record.requirement is not None:
        yield on_file("requirement", "a requirement beside the project's")
    if apparatus_facts(record, case.inputs) is not None:
        for name in ("sand", "cylinder"):
            if getattr(record, name) is not None:
                yield on_file(name, f"{name} as stated beside its calibration")


def on_file(name: str, found: str) -> Doubt:
    """Return the doubt of a value stated although it is on file, where it counts."""
    mend = "delete it here: what is on file counts"
    return Doubt((name,), found, "one of the two", mend)


@note("values-transcribed", "ISO/IEC 17025:2017, 7.5.1")
def values_transcribed(case: Test) -> Iterator[Doubt]:
    """Values are from a report, not from observations on file."""
    record = case.record
    found = [name for name in ("wet_density", "dry_density") if getattr(record, name)]
    by_mass = record.water_content_by in (None, "oven", "microwave", "stove")
    if record.water_content is not None and by_mass and not gauge_readings(record):
        found.append("water_content")
    for name in found:
        yield taken_over((name,), name)


RULES: tuple[Rule[Test], ...] = (
    place_missing,
    station_mistyped,
    retest_without_rework,
    retest_at_another_place,
    retest_of_no_failure,
    disposition_not_by_engineer,
    disposition_incomplete,
    disposition_of_no_failure,
    two_forms,
    values_transcribed,
)
