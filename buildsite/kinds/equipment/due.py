"""When equipment, and each part that is calibrated by itself, falls due or is out."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from buildsite.kinds.equipment.calibrations import Series, in_force, series_of
from buildsite.standards.cells import Cell
from buildsite.standards.tables import limit
from buildsite.values import dataclass


def out_since(record: Any, on: date, parts: Sequence[str] = ()) -> date | None:
    """Return since when equipment, or a part of it, was out of service on a day."""
    gone = [record.out_of_use]
    gone += [one.out_of_use for one in series_of(record) if one.part in parts]
    days = [one.on for one in gone if one is not None and one.on <= on]
    away = getattr(record, "away_since", None)
    since = away(on) if away is not None else None
    return min([*days, *([since] if since else [])], default=None)


@dataclass(frozen=True)
class Due:
    """The next calibration of a series. `on`: None where there was none yet."""

    on: date | None
    last: date | None
    why: str  # the source: the calibration record, or the interval
    series: Series

    @property
    def words(self) -> str:
        """What falls due, where it is not the equipment itself."""
        return self.series.words


def months_later(day: date, months: int) -> date:
    """
    Return the same day of a later month, or that month's last.

    >>> months_later(date(2026, 1, 31), 13).isoformat()
    '2027-02-28'
    """
    from calendar import monthrange  # not needed by `check`

    years, month = divmod(day.month - 1 + months, 12)
    year, month = day.year + years, month + 1
    if year > date.max.year:
        return date.max
    return date(year, month, min(day.day, monthrange(year, month)[1]))


DAYS = "days"
"""Unit of an interval that is counted in days: others are in months."""


def after(day: date, interval: Cell) -> date:
    """Return the day when an interval ends."""
    if interval.unit == DAYS:
        return day + timedelta(days=int(interval.si))
    return months_later(day, int(interval.si))


def usual_interval(series: Series) -> Cell:
    """Return the interval where a calibration states no due date."""
    if series.interval is not None:
        return series.interval()
    return limit("calibration_interval")


def due(series: Series) -> Due | None:
    """Return when a series is due; None if what it is of is out of service."""
    if series.out_of_use is not None:
        return None
    index = in_force(series.calibrations, None)
    if index is None:
        return Due(None, None, "no calibration on file", series)
    one = series.calibrations[index]
    if one.next_due is not None:
        return Due(one.next_due, one.on, "calibration record", series)
    interval = usual_interval(series)
    later = after(one.on, interval)
    return Due(later, one.on, f"{interval} after calibration: {interval.basis}", series)


def dues(record: Any) -> tuple[Due, ...]:
    """Return when each series is due; none of equipment out of service."""
    if record.out_of_use is not None:
        return ()
    found = (due(one) for one in series_of(record))
    return tuple(one for one in found if one is not None)


def usual_due(series: Series, on: date) -> date:
    """Return when a series falls due after a calibration: the interval it had."""
    last = in_force(series.calibrations, None)
    one = series.calibrations[last] if last is not None else None
    if usual_interval(series).unit == DAYS or one is None or one.next_due is None:
        return after(on, usual_interval(series))
    days = (one.next_due - one.on).days
    return months_later(on, max(1, round(days / DAYS_A_MONTH)))


DAYS_A_MONTH = 30.4369
