"""The compaction curve as a plot: points, curve, peak, zero air voids."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import count
from math import ceil, floor
from typing import TypeVar

from buildsite.kinds.reporting import density_in, result_word
from buildsite.kinds.sheet import Axis, Dot, Line, Plot
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.record.units import unit
from buildsite.soil.curves import Curve, Solids, sample
from buildsite.soil.lines import water_content_at_zero_air_voids, zero_air_voids_density
from buildsite.standards.method import Method

STEPS = {
    "kg/m3": (50.0, 0),
    "Mg/m3": (0.05, 2),
    "lb/ft3": (5.0, 0),
    "lbf/ft3": (5.0, 0),
    "kN/m3": (0.5, 1),
}
"""Step between labelled ticks of the density axis, and its decimals: fixed, so that
an amended curve can be laid over the one before (common practice)."""

NARROWEST = 8.0
"""Least span of the water content axis. [%]"""

LEAST_STEPS = 4
"""Least span of the density axis, in its steps."""

MOST_STEPS = 20
"""Steps of an axis that no sound test needs more of."""

T = TypeVar("T", int, float)

AIR_VOIDS_LABEL = "zero air voids"
CURVE_POINTS = 60
LINE_POINTS = 30


def plotted_points(case: Test) -> list[PointValues]:
    """Points that have a place on the figure, rejected ones included."""
    return [
        point
        for point in case.values.points
        if point.dry_density is not None and point.water_content is not None
    ]


def coarser_step(step: T, span: float) -> T:
    """
    Give the step, or the first of 2, 5, 10, 20 … times it, that makes few enough ticks.

    Without this a reading with a digit too many would be drawn with a million ticks.
    """
    times: Iterator[int] = (
        digit * 10**power for power in count() for digit in (1, 2, 5)
    )
    return next(step * many for many in times if span <= MOST_STEPS * step * many)


def water_axis(waters: Sequence[float], label: str, *, centred: bool) -> Axis:
    """Whole percents around the points, 8 at least: more on both sides, or above."""
    low, high = max(floor(min(waters) - 0.6), 0), ceil(max(waters) + 0.6)
    while high - low < NARROWEST:
        high += 1
        if centred and high - low < NARROWEST and low > 0:
            low -= 1
    step = 1 if high - low <= 10 else coarser_step(2, high - low)
    low, high = low - low % step, high + -high % step
    return Axis(label, "%", low, high, step, 0)


def density_axis(
    densities: Sequence[float], name: str, label: str, *, centred: bool
) -> Axis:
    """Whole steps of a unit around the points, 4 at least, likewise."""
    step, decimals = STEPS[name]
    step = coarser_step(step, max(densities) - min(densities))
    low = floor(min(densities) / step - 0.3)
    high = ceil(max(densities) / step + 0.5)
    while high - low < LEAST_STEPS:
        odd = (high - low) % 2
        low, high = (low - 1, high + odd) if centred else (low, high + 1)
    ends = round(low * step, 6), round(high * step, 6)
    return Axis(label, unit(name).shown, *ends, step, decimals)


def raised_for_air_voids(solids: Solids | None, name: str, x: Axis, y: Axis) -> Axis:
    """
    Raise the figure's top to where zero air voids comes in at its right.

    Reports are to show that line (ASTM D698-00, 12.1.11), but not at the price of a
    curve pressed flat: where it lies above by more than half of the figure, it is
    left out.

    Parameters
    ----------
    solids
        What the line rests on, where it is known.
    name
        Unit of the density axis.
    x, y
        The axes that hold the points.
    """
    if solids is None:
        return y
    factor = density_in(1.0, name)
    reach = zero_air_voids_density(x.high - x.step, *solids) * factor
    steps = ceil((reach - y.high) / y.step - 1e-9)
    if steps <= 0 or reach - y.high > (y.high - y.low) / 2:
        return y
    return replace(y, high=round(y.high + steps * y.step, 6))


def zero_air_voids_line(
    solids: Solids, name: str, x: Axis, y: Axis, label: str
) -> Line | None:
    """
    Draw the zero-air-voids line over the part of the figure that it crosses.

    Parameters
    ----------
    solids
        What it rests on.
    name
        Unit of the density axis.
    x, y
        The axes.
    label
        What stands at the line.
    """
    factor = density_in(1.0, name)
    first = water_content_at_zero_air_voids(y.high / factor, *solids)
    first, last = max(first, x.low), x.high
    if y.low > 0:  # at no density at all the line lies infinitely far to the right
        last = min(last, water_content_at_zero_air_voids(y.low / factor, *solids))
    if last - first < x.step / 4:
        return None
    waters = [first + (last - first) * i / LINE_POINTS for i in range(LINE_POINTS + 1)]
    return Line(
        "air-voids",
        tuple(waters),
        tuple(zero_air_voids_density(w, *solids) * factor for w in waters),
        label,
    )


def air_voids_label(method: Method | None) -> str:
    """What the standard calls the line."""
    return (
        method.words.get("saturation_line", AIR_VOIDS_LABEL)
        if method is not None
        else AIR_VOIDS_LABEL
    )


def air_voids_line(case: Test, x: Axis, y: Axis) -> Line | None:
    """The zero-air-voids line of a test; none without a specific gravity."""
    solids, gravity = case.values.solids, case.values.gravity
    if solids is None or gravity is None:
        return None
    label = f"{air_voids_label(case.method)}, Gs {gravity.value}"
    return zero_air_voids_line(solids, case.values.density_unit, x, y, label)


def drop_lines(x: Axis, y: Axis, water: float, dry: float) -> tuple[Line, ...]:
    """Lines from the peak to both axes."""
    return (
        Line("drop", (water, water), (dry, y.low)),
        Line("drop", (water, x.low), (dry, dry)),
    )


def alt_text(case: Test, points: list[PointValues], reported: str) -> str:
    """The figure in words, for those who can't see it."""
    waters = [point.water_content or 0.0 for point in points]
    kept = sum(not point.rejected for point in points)
    parts = [
        f"{kept} points from {min(waters):.1f} to {max(waters):.1f} % water content"
    ]
    if kept < len(points):
        parts.append(f"{len(points) - kept} rejected")
    parts.append(reported)
    gravity = case.values.gravity
    if gravity is not None:
        parts.append(f"zero-air-voids line for specific gravity {gravity.value}")
    return "; ".join(parts) + "."


def figure(case: Test, density: str, water: str, moved: str) -> Plot | None:
    """
    Draw the test; nothing where no point has a density.

    Parameters
    ----------
    case
        The test.
    density, water
        The reported peak, for labels; empty where there is none.
    moved
        How far the result moves with the form of curve.
    """
    points = plotted_points(case)
    if not points:
        return None
    values, name = case.values, case.values.density_unit
    peak, optimum = values.maximum_dry_density, values.optimum_water_content
    factor = density_in(1.0, name)
    x = water_axis(
        [point.water_content or 0.0 for point in points],
        result_word(case.method, "water_content", name).capitalize(),
        centred=True,
    )
    shown = [
        density_in(point.dry_density, name) for point in points if point.dry_density
    ]
    y = density_axis(
        [*shown, *([density_in(peak, name)] if peak is not None else ())],
        name,
        result_word(case.method, "dry_density", name).capitalize(),
        centred=True,
    )
    y = raised_for_air_voids(values.solids, name, x, y)
    lines: list[Line] = []
    drawn = values.curve.line
    if drawn is not None and not values.is_drawn:
        path = sample(drawn, CURVE_POINTS)
        lines.append(
            Line("curve", tuple(w for w, _ in path), tuple(d * factor for _, d in path))
        )
    dots = [
        Dot(
            "rejected" if point.rejected else "point",
            point.water_content or 0.0,
            (point.dry_density or 0.0) * factor,
            point.number,
        )
        for point in points
    ]
    reported = "no peak is reported"
    if peak is not None and optimum is not None:
        lines += drop_lines(x, y, optimum, peak * factor)
        dots.append(Dot("peak", optimum, peak * factor, label=f"{density} at {water}"))
        how = "a drawn curve peaks" if values.is_drawn else "the curve peaks"
        reported = f"{how} at {density} and {water}"
    voids = air_voids_line(case, x, y)
    if voids is not None:
        lines.append(voids)
    return Plot(
        name="curve",
        title="Compaction curve",
        x=x,
        y=y,
        lines=tuple(lines),
        dots=tuple(dots),
        alt=alt_text(case, points, reported),
        caption=f"{caption(case)} {moved}".rstrip(),
    )


def caption(case: Test) -> str:
    """How the curve was drawn."""
    values = case.values
    if values.is_drawn:
        curve = case.record.curve
        by = curve.by if curve is not None else None
        return f"Peak drawn by {by or 'hand'}."
    if isinstance(values.curve, Curve):
        return f"Curve: {values.curve.form.replace('-', ' ')}."
    return f"No peak: {values.curve.words}."
