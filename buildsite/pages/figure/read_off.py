"""
What a page's script is told of a figure: its axes, its curves, its points.

The figure is a picture. A place on it is turned into values by the ends of its axes,
and snaps to the curves given here, in the units that are shown.
"""

import json
from collections.abc import Iterator
from typing import Any

from buildsite.kinds.sheet import DrawnCurve, Plot
from buildsite.pages.figure.offered_boxes import AXES, HEIGHT, WIDTH
from buildsite.record.units import from_si, names, unit

Pairs = tuple[tuple[str, str], ...]
"""Names of data attributes with their texts."""


def axes_of(*plots: Plot | None) -> dict[str, Pairs]:
    """Return what the script is told of figures, by the figure's name."""
    return {plot.name: figure_data(plot) for plot in plots if plot is not None}


def figure_data(plot: Plot) -> Pairs:
    """Return the data of one figure."""
    curves = [curve_data(name, curve, plot) for name, curve in curves_of(plot)]
    points = [
        [dot.number, rounded(dot.x), rounded(dot.y)] for dot in plot.dots if dot.number
    ]
    parts = (("curves", curves), ("points", points))
    return (
        *axes_data(plot),
        *((name, compact(part)) for name, part in parts if part),
    )


def axes_data(plot: Plot) -> Pairs:
    """Return where the axes of a figure are, and what they reach from and to."""
    share = (
        ("left", AXES.left / WIDTH),
        ("right", AXES.right / WIDTH),
        ("top", 1 - AXES.top / HEIGHT),
        ("bottom", 1 - AXES.bottom / HEIGHT),
    )
    ends = (
        ("x0", plot.x.low),
        ("x1", plot.x.high),
        ("y0", plot.y.low),
        ("y1", plot.y.high),
    )
    return (
        *((name, f"{value:.6g}") for name, value in (*share, *ends)),
        ("xname", plot.x.label),
        ("yname", plot.y.label),
        ("xunit", plot.x.unit),
        ("yunit", plot.y.unit),
        ("ydecimals", str(plot.y.decimals + 1)),
    )


def curves_of(plot: Plot) -> Iterator[tuple[str, DrawnCurve]]:
    """Return the curves that are read off a figure, each with its name."""
    if plot.curve is not None and plot.curve.line:
        yield "", plot.curve
    yield from plot.several


def curve_data(name: str, curve: DrawnCurve, plot: Plot) -> dict[str, Any]:
    """
    Return one curve in the units of the figure.

    `water` is the density of water, by which a density becomes a void ratio; `si` turns
    kg/m³ into the figure's unit.
    """
    shown = figure_unit(plot)
    si = from_si(1.0, shown)
    told: dict[str, Any] = {
        "name": name,
        "si": float(f"{si:.10g}"),
        "line": [[rounded(w), rounded(dry * si)] for w, dry in curve.way],
    }
    if curve.peak is not None:
        told["peak"] = [rounded(curve.peak[0]), rounded(curve.peak[1] * si)]
    if curve.maximum and curve.unit == shown:
        told["maximum"] = curve.maximum
        told["of"] = "maximum for field control" if curve.corrected else "maximum"
    if curve.specific_gravity and curve.water_density:
        told["gravity"] = curve.specific_gravity
        told["water"] = rounded(curve.water_density * si)
    return told


def figure_unit(plot: Plot) -> str:
    """Return the unit of a figure's densities, as records write it."""
    return next(name for name in names("density") if unit(name).shown == plot.y.unit)


def rounded(value: float) -> float:
    """Return a value to six digits: more than a figure shows."""
    return float(f"{value:.6g}")


def compact(data: Any) -> str:
    """Return plain data as JSON, without blanks."""
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"))
