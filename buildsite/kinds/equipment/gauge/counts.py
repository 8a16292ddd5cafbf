"""Standard counts of a gauge, each judged by the mean of the last good ones."""

from collections.abc import Sequence
from datetime import date
from math import fsum

from buildsite.kinds.equipment.calibrations import in_force
from buildsite.kinds.equipment.due import after
from buildsite.kinds.equipment.field_limits import field_limit
from buildsite.kinds.equipment.found_changed import EXACT
from buildsite.kinds.equipment.gauge.model import (
    NUCLEAR,
    Gauge,
    StandardCounts,
    leak_test_interval,
)
from buildsite.kinds.field_answers import CountsOfDay
from buildsite.standards.cells import Cell
from buildsite.values import dataclass

COUNTS = ("density", "water")


@dataclass(frozen=True)
class Limit:
    """How far a count may be off the mean: the maker's limit, else the standard's."""

    percent: float
    words: str
    basis: str


def limit_of(record: Gauge, name: str) -> Limit:
    """Return the limit of a count."""
    own = getattr(record.makers_limits, name)
    if own is not None:
        return Limit(float(own), f"{own} %", "limit stated by the gauge's maker")
    cell = field_limit(NUCLEAR, f"{name}_count_within")
    return Limit(cell.si, str(cell), cell.basis)


def mean_of() -> Cell:
    """Return of how many counts the mean is taken."""
    return field_limit(NUCLEAR, "counts_mean_of")


@dataclass(frozen=True)
class Judged:
    """
    One set of counts, and how far it is off the mean of the last good ones.

    `off` has the difference of each count, of the mean [%]; it is empty where too few
    were taken before. `repeated`: taken again on its day.
    """

    index: int
    counts: StandardCounts
    off: tuple[float, ...]
    is_good: bool
    repeated: bool


def judged(record: Gauge) -> tuple[Judged, ...]:
    """
    Judge every set of counts, by date.

    Those outside the limits count in no mean. A gauge that was put back into service
    begins anew, for a repair may change its counts.
    """
    most = [limit_of(record, name).percent for name in COUNTS]
    many = int(mean_of().si)
    returns = sorted(one.on for one in record.service if one.state == "back")
    order = sorted(range(len(record.counts)), key=lambda i: (record.counts[i].on, i))
    good: dict[date, StandardCounts] = {}
    found: list[Judged] = []
    for i in order:
        one = record.counts[i]
        start = max((day for day in returns if day <= one.on), default=date.min)
        before = [good[day] for day in sorted(good) if start <= day < one.on][-many:]
        off = differences(one, before) if len(before) == many else ()
        within = all(
            abs(each) <= limit * EXACT for each, limit in zip(off, most, strict=False)
        )
        repeated = bool(found) and found[-1].counts.on == one.on
        found.append(Judged(i, one, off, within, repeated))
        if within:
            good[one.on] = one
    return tuple(found)


def differences(
    one: StandardCounts, before: Sequence[StandardCounts]
) -> tuple[float, ...]:
    """Return how far each count is off the mean of others, of the mean. [%]"""
    means = [
        fsum(float(getattr(each, name)) for each in before) / len(before)
        for name in COUNTS
    ]
    return tuple(
        (float(getattr(one, name)) / mean - 1) * 100
        for name, mean in zip(COUNTS, means, strict=True)
    )


def counts_until(record: Gauge, on: date | None) -> tuple[CountsOfDay, ...]:
    """Return the counts of a day, the last first, then those its mean is taken of."""
    every = judged(record)
    day = on or max((one.on for one in record.counts), default=date.min)
    returns = [one.on for one in record.service if one.state == "back"]
    start = max((back for back in returns if back <= day), default=date.min)
    of_day = [one for one in every if one.counts.on == day]
    last_good = {
        one.counts.on: one
        for one in every
        if one.is_good and start <= one.counts.on < day
    }
    before = [last_good[when] for when in sorted(last_good)][-int(mean_of().si) :]
    return tuple(
        CountsOfDay(
            on=one.counts.on,
            density=float(one.counts.density),
            water=float(one.counts.water),
            repeated=one.repeated,
        )
        for one in (*reversed(of_day), *reversed(before))
    )


def leak_test_due(record: Gauge, on: date | None) -> date | None:
    """Return when the next leak test was due, by those made until a day."""
    index = in_force(record.leak_tests, on)
    if index is None:
        return None
    one = record.leak_tests[index]
    return one.next_due or after(one.on, leak_test_interval())
