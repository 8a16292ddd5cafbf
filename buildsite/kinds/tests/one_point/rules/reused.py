"""Checks of a full test, for one specimen by the method of the curves."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

from buildsite.kinds.tests.moisture_density.rules import moisture, readings
from buildsite.kinds.tests.one_point.compute import Test
from buildsite.kinds.tests.shared.completeness import gap_severity
from buildsite.record.flags import Doubt, Field, Rule


def by_effort(case: Test) -> Any:
    """Return the case as one of the standard of the curves: T 99 or T 180."""
    return replace(case, method=case.values.effort)


def at_point(field: Field) -> Field:
    """
    Return the place of a reading in this record.

    >>> at_point(("points", 0, "mold_and_wet_soil")), at_point(("mold_mass",))
    (('point', 'mold_and_wet_soil'), ('mold_mass',))
    """
    if field[:1] != ("points",):
        return field
    return ("point", *field[2:])


def moved(doubts: Iterable[Doubt]) -> Iterator[Doubt]:
    """Yield doubts with their places in this record."""
    for doubt in doubts:
        yield replace(doubt, field=at_point(doubt.field))


def of_point(rule: Rule[Any]) -> Rule[Test]:
    """Return a check of a full test as one of a one-point."""

    def check(case: Test) -> Iterator[Doubt]:
        yield from moved(rule.check(by_effort(case)))

    check.__doc__ = rule.check.__doc__
    return Rule(rule.flag, rule.severity, rule.basis, check)


def missing_reading(case: Test) -> Iterator[Doubt]:
    """A specimen without the readings for its density or water content."""
    if case.record.point is None:
        yield Doubt(
            field=("point",),
            found="not stated",
            expected="the readings of the specimen",
            mend="enter the bench sheet, or set the status to in-progress",
            severity=gap_severity(case),
        )
        return
    transcribed = bool(case.record.members) or case.record.point.mold_and_wet_soil
    for doubt in moved(readings.missing_reading(by_effort(case))):
        if doubt.field == ("mold_mass",) and not transcribed:
            continue
        yield doubt


def containers_disagree(case: Test) -> Iterator[Doubt]:
    """Containers of one soil that differ by over 10 % of their mean, or 1 point."""
    yield from moved(moisture.containers_disagree(by_effort(case)))


def no_container(case: Test) -> Iterator[Field]:
    """Yield the containers without a number."""
    for line in case.record.container_lines:
        if line.part.container is None:
            yield (*line.field, "container")


def nothing(case: Test) -> Iterator[Field]:
    """Yield nothing: one point has no water added."""
    yield from ()


AT_POINT = {"container": no_container, "water_added_ml": nothing}
"""Laboratory requirements that are checked at the point."""
