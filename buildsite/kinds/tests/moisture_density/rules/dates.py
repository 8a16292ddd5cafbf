"""Checks of days and times: their order, standing time, drying time."""

from collections.abc import Iterator
from datetime import timedelta

from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.specimens import compacted_on
from buildsite.kinds.tests.shared.completeness import sample_of
from buildsite.kinds.tests.shared.rules.dates import DATED, undated
from buildsite.kinds.tests.shared.rules.oven import Drying, hours_text, moment_doubts
from buildsite.kinds.tests.shared.rules.oven import rules_of as oven_rules
from buildsite.record.flags import Doubt, Field, Rule, error, warning
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method

LONGEST_DAY_H = 10
"""From the first work of a day to the last: two dates cannot tell more."""


@error("compaction-undated", DATED)
def compaction_undated(case: Test) -> Iterator[Doubt]:
    """No date of compaction: the calibrations in force cannot be looked up."""
    yield from undated.check(case)


def hours_of_points(case: Test) -> Iterator[Doubt]:
    """Yield doubts about the times at the points and in the oven."""
    record, oven = case.record, case.record.oven
    for i, point in enumerate(record.points):
        yield from moment_doubts(
            ("wetted", point.wetted_at),
            ("compacted", point.compacted_at),
            ("points", i, "compacted_at"),
        )
    together = [one for one in record.points if one.oven is None]
    made = [one.compacted_at for one in together if one.compacted_at is not None]
    if oven is not None:
        yield from moment_doubts(
            ("compacted", min(made, default=None)),
            ("put into the oven", oven.in_),
            ("oven", "in"),
        )
    for i, point in enumerate(record.points):
        if point.oven is not None:
            yield from moment_doubts(
                ("compacted", point.compacted_at),
                ("put into the oven", point.oven.in_),
                ("points", i, "oven", "in"),
            )


@warning("compacted-on-another-day", "common practice")
def compacted_on_another_day(case: Test) -> Iterator[Doubt]:
    """A time of compaction on another day than the point's date."""
    for i, point in enumerate(case.record.points):
        at, on = point.compacted_at, compacted_on(case.record, point)
        if at is not None and on is not None and at.date() != on:
            yield Doubt(
                field=("points", i, "compacted_at"),
                found=f"{at:%Y-%m-%dT%H:%M}",
                expected=f"a time on {on}, the day of compaction",
                mend="correct the time, or enter compacted: {on: …, by: …} there",
            )


def standing_cell(method: Method, sample: SampleFacts) -> Cell | None:
    """Return the standing time of this soil: by its class, else by its group."""
    if sample.soil_class:
        cell = method.standing(sample.soil_class)
        if cell is not None:
            return cell
    if sample.soil_group:
        cell = method.standing(sample.soil_group)
        if cell is not None and sample.soil_group in cell.soils:
            return cell
    return None


@warning("standing-too-short", "the method's standing time after wetting")
def standing_too_short(case: Test) -> Iterator[Doubt]:
    """Soil that stood for less than the standing time of its class."""
    method, sample = case.method, sample_of(case)
    cell = standing_cell(method, sample) if method and sample else None
    if cell is None or sample is None:
        return
    soil = sample.soil_class or sample.soil_group
    least = timedelta(hours=cell.si)
    timed = False
    for i, point in enumerate(case.record.points):
        start, end = point.wetted_at, point.compacted_at
        if start is None or end is None:
            continue
        timed = True
        if timedelta(0) <= end - start < least:
            yield standing_doubt(
                ("points", i, "compacted_at"), hours_text(end - start), cell, soil
            )
    prepared, day = case.record.prepared, case.record.compacted.on
    if timed or prepared is None or prepared.on is None or day is None:
        return
    most = timedelta(days=(day - prepared.on).days, hours=LONGEST_DAY_H)
    if prepared.on <= day and most < least:
        yield standing_doubt(
            ("compacted", "on"),
            f"prepared {prepared.on}, compacted {day}",
            cell,
            soil,
        )


def standing_doubt(field: Field, found: str, cell: Cell, soil: str) -> Doubt:
    """Return the doubt about a standing time."""
    return Doubt(
        field=field,
        found=found,
        expected=f"at least {cell} after wetting, for {soil}",
        mend="let the wetted soil stand covered: dry clods lower the optimum",
        basis=cell.basis,
    )


def is_weighed_again(case: Test, drying: Drying) -> bool:
    """Return whether every container was weighed dry more than once."""
    dried = [
        one.container_and_dry
        for i, point in enumerate(case.record.points)
        if (drying.line == i if point.oven is not None else drying.line is None)
        for one in point.all_containers
        if one.container_and_dry
    ]
    return bool(dried) and all(len(masses) > 1 for masses in dried)


RULES: tuple[Rule[Test], ...] = (
    compacted_on_another_day,
    standing_too_short,
    *oven_rules(is_weighed_again, "container_and_dry", hours_of_points),
)
