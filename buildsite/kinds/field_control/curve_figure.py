"""Field tests on the curve that they were judged by, with the window of acceptance."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from buildsite.kinds.field_control.closing import FAIL
from buildsite.kinds.field_control.percent_figure import (
    CAPTION,
    rounding,
    slug,
    sort_of,
)
from buildsite.kinds.field_control.results import (
    DENSITY,
    PERCENT,
    WATER,
    Criterion,
    FieldTest,
    number,
)
from buildsite.kinds.reporting import point_density, printed_unit, to_places
from buildsite.kinds.sheet import Axis, Dot, Line, Plot
from buildsite.kinds.tests.moisture_density.sheet.figure import (
    AIR_VOIDS_LABEL,
    STEPS,
    density_axis,
    raised_for_air_voids,
    water_axis,
    zero_air_voids_line,
)
from buildsite.kinds.tests.moisture_density.sheet.kept_pairs import (
    drawn_curve,
    line_points,
    peak,
)
from buildsite.kinds.tests.moisture_density.sheet.revision_curves import (
    gravity_text,
    solids_of,
)
from buildsite.record.units import from_si, to_si
from buildsite.soil.curves import Solids
from buildsite.soil.lines import zero_air_voids_density
from buildsite.values import dataclass

NEUTRAL = ("Water content", "Dry density")
"""What the axes are called without a standard."""

EDGE_POINTS = 12
"""Points along the upper edge of a window, which follows zero air voids."""


@dataclass(frozen=True)
class Window:
    """What is accepted, in SI: water contents [%] and densities [kg/m³]; None: open."""

    driest: float | None
    wettest: float | None
    least: float | None
    words: str  # the target, as reported


def bound(test: FieldTest, name: str, side: str) -> Criterion | None:
    """Return the bound of a criterion, if the test was judged by one."""
    found = (one for one in test.criteria if (one.name, one.side) == (name, side))
    return next(found, None)


def water_bound(test: FieldTest, side: str, optimum: float | None) -> float | None:
    """Return a bound of the water content. [%]"""
    one = bound(test, WATER, side)
    value = number(one.limit) if one is not None else None
    if one is None or value is None or optimum is None:
        return None
    off = optimum / 100 * float(value) if "optimum" in one.unit else float(value)
    return optimum + off


def density_bound(test: FieldTest, maximum: float | None) -> float | None:
    """Return the least dry density that meets every limit, as printed. [kg/m³]"""
    found = []
    percent, least = bound(test, PERCENT, "least"), bound(test, DENSITY, "least")
    if percent is not None and maximum is not None:
        value = number(percent.limit)
        found += [float(value) / 100 * maximum] if value is not None else []
    if least is not None:
        value = number(least.limit)
        found += [to_si(value, least.unit)] if value is not None else []
    return max(found, default=None)


def window_of(test: FieldTest) -> Window | None:
    """Return the window that a test was judged by; None without any limit."""
    driest = water_bound(test, "least", test.optimum)
    wettest = water_bound(test, "most", test.optimum)
    least = density_bound(test, test.maximum)
    if driest is None and wettest is None and least is None:
        return None
    return Window(driest, wettest, least, target_words(test))


def target_words(test: FieldTest) -> str:
    """Return the target of a test in words: 108.0 lb/ft³ at 17.7 %."""
    parts = []
    if test.maximum is not None:
        unit = test.density_unit or "kg/m3"
        parts.append(f"{point_density(test.maximum, unit)} {printed_unit(unit)}")
    if test.optimum is not None:
        parts.append(f"{to_places(test.optimum, 1)} %")
    return " at ".join(parts)


def outline(
    window: Window, solids: Solids | None, name: str, x: Axis, y: Axis
) -> Line | None:
    """Return the window as an outline inside the axes, up to zero air voids."""
    left = max(window.driest if window.driest is not None else x.low, x.low)
    right = min(window.wettest if window.wettest is not None else x.high, x.high)
    foot = from_si(window.least, name) if window.least is not None else y.low
    foot = max(foot, y.low)
    if right <= left or foot >= y.high:
        return None
    waters = [left + (right - left) * i / EDGE_POINTS for i in range(EDGE_POINTS + 1)]
    edge = []
    for water in reversed(waters):
        top = y.high
        if solids is not None:
            top = min(top, from_si(zero_air_voids_density(water, *solids), name))
        edge.append((water, max(top, foot)))
    spots = [(left, foot), (right, foot), *edge, (left, foot)]
    return Line("window", tuple(x for x, _ in spots), tuple(y for _, y in spots))


def unit_of(result: Mapping[str, Any], tests: Sequence[FieldTest]) -> str:
    """Return the unit of density of the figure: the reference's, else the tests'."""
    named = str((result.get("curve") or {}).get("density_unit") or "")
    units = (named, *(test.density_unit for test in tests))
    return next((unit for unit in units if unit in STEPS), "kg/m3")


def places(tests: Sequence[FieldTest]) -> list[tuple[float, float, FieldTest]]:
    """Return the tests that can be plotted, as compared: all of one fraction."""
    return [(*test.compared, test) for test in tests if test.compared is not None]


def curve_figure(
    reference: str,
    result: Mapping[str, Any],
    tests: Sequence[FieldTest],
    axes: Sequence[str] = (),
) -> Plot | None:
    """
    Return the tests judged by one reference on its curve; None without a value.

    `reference` is its name with its revision, `result` its result, empty if it can't be
    had: then the tests stand alone. `axes` are its standard's words for water content
    and dry density.
    """
    shown = places(tests)
    if not shown:
        return None
    name, solids = unit_of(result, tests), solids_of(result)
    way, top = line_points(result), peak(result)
    spots = [*((w, d) for w, d, _ in shown), *way, *([top] if top is not None else ())]
    water, density = axes or NEUTRAL
    x = water_axis([w for w, _ in spots], water, centred=True)
    y = density_axis([from_si(d, name) for _, d in spots], name, density, centred=True)
    y = raised_for_air_voids(solids, name, x, y)
    lines: list[Line] = []
    windows = Counter(w for _, _, test in shown if (w := window_of(test)) is not None)
    shade = windows.most_common(1)[0][0] if windows else None
    if shade is not None:
        drawn = outline(shade, solids, name, x, y)
        lines += [drawn] if drawn is not None else []
    if way:
        xs, ys = zip(*((w, from_si(d, name)) for w, d in way), strict=True)
        lines.append(Line("curve", xs, ys, reference))
    if solids is not None:
        label = f"{AIR_VOIDS_LABEL}, Gs {gravity_text(solids)}"
        voids = zero_air_voids_line(solids, name, x, y, label)
        lines += [voids] if voids is not None else []
    marks = [
        Dot(
            sort_of(test),
            water,
            from_si(density, name),
            label=test.id if test.verdict == FAIL else "",
        )
        for water, density, test in shown
    ]
    if top is not None:
        label = "" if way else reference
        marks.append(Dot("peak", top[0], from_si(top[1], name), label=label))
    return Plot(
        name=f"curve-{slug(reference)}",
        title=f"Tests judged by {reference}",
        x=x,
        y=y,
        lines=tuple(lines),
        dots=tuple(marks),
        alt=words_of(reference, shown),
        caption=caption(shade, windows) + rounding((0.0, test) for _, _, test in shown),
        curve=drawn_curve(result) if way else None,
    )


def words_of(reference: str, shown: Sequence[tuple[float, float, FieldTest]]) -> str:
    """Return the figure in words, for screen readers."""
    failing = [test.id for _, _, test in shown if test.verdict == FAIL]
    failed = f"; failing: {', '.join(failing)}" if failing else ""
    return (
        f"{len(shown)} field tests against the curve of {reference}, at "
        f"{min(w for w, _, _ in shown):.1f} to {max(w for w, _, _ in shown):.1f} % "
        f"water content{failed}."
    )


def caption(shade: Window | None, windows: Counter[Window]) -> str:
    """Return which window is shaded, and what the marks mean."""
    if shade is None:
        return CAPTION
    others = windows.total() - windows[shade]
    text = f"{CAPTION} Shaded: the window for a target of {shade.words}."
    if others:
        tests = "1 test has" if others == 1 else f"{others} tests have"
        text += f" {tests} a target of another coarse fraction: see the list."
    return text
