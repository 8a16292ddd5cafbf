"""The compaction curve as a plot: points, curve, peak, zero air voids."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import count
from math import ceil, floor
from typing import TypeVar

from buildsite.kinds.reporting import result_label, result_word
from buildsite.kinds.sheet import Axis, Dot, Line, Plot
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.sheet.facts import curve_type
from buildsite.kinds.tests.moisture_density.sheet.pairs import (
    CURVE_POINTS,
    corrected_dot,
    drawn_curve,
    pair_marks,
    pairs_in_words,
)
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.record.units import from_si, unit
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
"""Step between labeled ticks of the density axis, and its decimals: fixed, so that an
amended curve can be laid over the previous one (common practice)."""

NARROWEST = 8.0
"""Least span of the water content axis. [%]"""

LEAST_STEPS = 4
"""Least span of the density axis, in its steps."""

MOST_STEPS = 20
"""Greatest number of steps of an axis."""

T = TypeVar("T", int, float)

AIR_VOIDS_LABEL = "zero air voids"
LINE_POINTS = 30


def plotted_points(case: Test) -> list[PointValues]:
    """Return the points that can be plotted, rejected ones included."""
    return [
        point
        for point in case.values.points
        if point.dry_density is not None and point.water_content is not None
    ]


def coarser_step(step: T, span: float) -> T:
    """
    Return the step, or the first of 2, 5, 10, 20 … times it, with few enough ticks.

    A reading with a digit too many must not give a million ticks.
    """
    times: Iterator[int] = (
        digit * 10**power for power in count() for digit in (1, 2, 5)
    )
    return next(step * many for many in times if span <= MOST_STEPS * step * many)


def water_axis(waters: Sequence[float], label: str, *, centred: bool) -> Axis:
    """Return the axis in whole percents: at least 8, added on both sides or above."""
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
    """Return the axis in whole steps: at least 4, added on both sides or above."""
    step, decimals = STEPS[name]
    step = coarser_step(step, max(densities) - min(densities))
    low = floor(min(densities) / step - 0.3)
    high = ceil(max(densities) / step + 0.5)
    while high - low < LEAST_STEPS:
        odd = (high - low) % 2
        low, high = (low - 1, high + odd) if centred else (low, high + 1)
    ends = round(low * step, 6), round(high * step, 6)
    return Axis(label, unit(name).shown, *ends, step, decimals)


COMPARED_STEPS = {
    "kg/m3": (20.0, 0),
    "Mg/m3": (0.02, 2),
    "lb/ft3": (2.0, 0),
    "lbf/ft3": (2.0, 0),
    "kN/m3": (0.2, 1),
}
"""Step and decimals where curves are compared: as fine as their difference asks for."""


def compared_density_axis(densities: Sequence[float], name: str, label: str) -> Axis:
    """Return the axis for curves that are compared, close around them."""
    step, decimals = COMPARED_STEPS[name]
    step = coarser_step(step, 2 * (max(densities) - min(densities)))
    low, high = floor(min(densities) / step - 0.3), ceil(max(densities) / step + 0.5)
    high = max(high, low + LEAST_STEPS)
    ends = round(low * step, 6), round(high * step, 6)
    return Axis(label, unit(name).shown, *ends, step, decimals)


def raised_for_air_voids(solids: Solids | None, name: str, x: Axis, y: Axis) -> Axis:
    """
    Raise the top of the figure so that the zero-air-voids line enters at the right.

    Reports are to show that line (ASTM D698-00, 12.1.11). It is left out where it would
    need more than half of the figure's height again and flatten the curve.
    """
    if solids is None:
        return y
    factor = from_si(1.0, name)
    reach = zero_air_voids_density(x.high - x.step, *solids) * factor
    steps = ceil((reach - y.high) / y.step - 1e-9)
    if steps <= 0 or reach - y.high > (y.high - y.low) / 2:
        return y
    return replace(y, high=round(y.high + steps * y.step, 6))


def zero_air_voids_line(
    solids: Solids, name: str, x: Axis, y: Axis, label: str
) -> Line | None:
    """Return the zero-air-voids line where it crosses the figure, if it does."""
    factor = from_si(1.0, name)
    first = water_content_at_zero_air_voids(y.high / factor, *solids)
    first, last = max(first, x.low), x.high
    if y.low > 0:  # at zero density the line is infinitely far to the right
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
    """Return the standard's word for the line."""
    return (
        method.words.get("saturation_line", AIR_VOIDS_LABEL)
        if method is not None
        else AIR_VOIDS_LABEL
    )


def air_voids_line(case: Test, x: Axis, y: Axis) -> Line | None:
    """Return the zero-air-voids line; None without a specific gravity."""
    solids, gravity = case.values.solids, case.values.gravity
    if solids is None or gravity is None:
        return None
    label = f"{air_voids_label(case.method)}, Gs {gravity.value}"
    return zero_air_voids_line(solids, case.values.density_unit, x, y, label)


def alt_text(case: Test, points: list[PointValues], reported: str) -> str:
    """Return the figure in words, for screen readers."""
    waters = [point.water_content or 0.0 for point in points]
    kept = sum(not point.rejected for point in points)
    word = result_word(case.method, "water_content", case.values.density_unit)
    parts = [f"{kept} points from {min(waters):.1f} to {max(waters):.1f} % {word}"]
    if kept < len(points):
        parts.append(f"{len(points) - kept} rejected")
    parts.append(reported)
    gravity = case.values.gravity
    if gravity is not None:
        parts.append(
            f"{air_voids_label(case.method)} for specific gravity {gravity.value}"
        )
    return "; ".join(parts) + "."


def figure(case: Test, density: str, water: str, moved: str) -> Plot | None:
    """
    Return the figure, or None where no point has a density.

    `density` and `water` are the reported peak, for labels; `moved` is the sentence
    about the curve types.
    """
    points = plotted_points(case)
    if not points:
        return None
    values, name = case.values, case.values.density_unit
    peak, whole = values.maximum_dry_density, corrected_dot(case)
    factor = from_si(1.0, name)
    waters = [point.water_content or 0.0 for point in points]
    x = water_axis(
        [*waters, *([whole.x] if whole is not None else ())],
        result_label(case.method, "water_content", name),
        centred=True,
    )
    shown = [from_si(point.dry_density, name) for point in points if point.dry_density]
    tops = [from_si(peak, name)] if peak is not None else []
    tops += [whole.y] if whole is not None else []
    y = density_axis(
        [*shown, *tops],
        name,
        result_label(case.method, "dry_density", name),
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
    reported = f"{density} at {water}"
    marks = list(pair_marks(case, x, y, reported))
    lines += [mark for mark in marks if isinstance(mark, Line)]
    dots += [mark for mark in marks if isinstance(mark, Dot)]
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
        alt=alt_text(case, points, pairs_in_words(case, reported)),
        caption=f"{caption(case)} {moved}".rstrip(),
        curve=drawn_curve(case),
    )


def caption(case: Test) -> str:
    """Return the figure's caption: how the curve was drawn."""
    values = case.values
    if values.is_drawn:
        curve = case.record.curve
        by = curve.by if curve is not None else None
        return f"Peak drawn by {by or 'hand'}."
    if isinstance(values.curve, Curve):
        return f"Curve type: {curve_type(case)}."
    return f"No peak: {values.curve.words}."
