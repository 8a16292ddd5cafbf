"""The volumes of a mold over time, as a figure."""

from calendar import isleap
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import count
from math import ceil, floor

from buildsite.kinds.equipment.calibrations import Calibrated, in_force, true_since
from buildsite.kinds.equipment.mold.volumes import Volume
from buildsite.kinds.sheet import Axis, Dot, Line, Plot


def year_of(day: date) -> float:
    """
    Return a date in years.

    >>> year_of(date(2026, 1, 1)), round(year_of(date(2026, 7, 2)), 3)
    (2026.0, 2026.499)
    """
    days = 366 if isleap(day.year) else 365
    return day.year + (day - date(day.year, 1, 1)).days / days


FINEST = 0.5
"""Least step between labelled ticks of the volume. [cm³]"""

PAST_LAST = 0.4
"""Length of the axis beyond its last tick. [years]"""

TICKS = 8
"""Greatest number of steps."""


def coarse(span: float) -> float:
    """
    Return the finest round step that divides a span into at most `TICKS` steps.

    >>> coarse(7.0), coarse(3.0), coarse(900.0)
    (1.0, 0.5, 200.0)
    """
    steps = (digit * 10.0**power for power in count(-1) for digit in (1, 2, 5))
    return next(step for step in steps if step >= FINEST and span / step <= TICKS)


def axes(days: Sequence[date], volumes: Sequence[float]) -> tuple[Axis, Axis]:
    """Return axes for every calibration, and some time after the last."""
    low = floor(year_of(min(days)))
    span = max(ceil(year_of(max(days)) - low - PAST_LAST + 0.15), 1)
    years = ceil(span / TICKS)
    high = low + ceil(span / years) * years + PAST_LAST
    step = coarse(max(volumes) - min(volumes))
    bottom = floor(min(volumes) / step - 0.3)
    top = max(ceil(max(volumes) / step + 0.3), bottom + 4)
    return (
        Axis("Year", "", low, high, years, 0),
        Axis(
            "Volume",
            "cm³",
            round(bottom * step, 6),
            round(top * step, 6),
            step,
            1 if step < 1 else 0,
        ),
    )


def steps(used: Sequence[tuple[date, float]], end: float) -> Line:
    """Return the line of the volume in force."""
    xs: list[float] = []
    ys: list[float] = []
    for day, volume in used:
        if ys:
            xs.append(year_of(day))
            ys.append(ys[-1])
        xs.append(year_of(day))
        ys.append(volume)
    return Line("curve", (*xs, end), (*ys, ys[-1]), "in force")


def volumes_in_force(
    calibrations: Sequence[Calibrated], found: Sequence[Volume]
) -> Iterator[tuple[date, float]]:
    """Yield each day since which another volume is in force, and the volume. [cm³]"""
    for day in sorted({true_since(one) for one in calibrations}):
        index = in_force(calibrations, day)
        volume = found[index].used if index is not None else None
        if volume is not None:
            yield day, volume * 1e6


def volumes_figure(
    id: str, calibrations: Sequence[Calibrated], found: Sequence[Volume]
) -> Plot | None:
    """Return the figure of a mold's volumes over time; None where there are none."""
    dated = sorted(found, key=lambda one: one.on)
    used = list(volumes_in_force(calibrations, found))
    if not used:
        return None
    both = [
        (kind, one.on, volume * 1e6)
        for one in dated
        for kind, volume in (("point", one.by_water), ("second", one.by_dimensions))
        if volume is not None
    ]
    volumes = [volume for _, volume in used] + [volume for _, _, volume in both]
    x, y = axes([day for day, _ in used] + [one.on for one in dated], volumes)
    texts = [f"{volume:.1f} cm³ from {day}" for day, volume in used]
    return Plot(
        name="volumes",
        title="Volume over time",
        x=x,
        y=y,
        lines=(steps(used, x.high),),
        dots=tuple(Dot(kind, year_of(day), volume) for kind, day, volume in both),
        alt=f"Volume of mold {id} in force: {'; '.join(texts)}.",
        caption="Line: the volume in force. Dots: by water. Squares: by dimensions.",
    )
