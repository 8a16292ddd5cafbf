"""The point on its family: members, the curve found, spine and zero air voids."""

from buildsite.kinds.reporting import point_density, result_label, to_places
from buildsite.kinds.sheet import Dot, DrawnCurve, Line, Plot, packed_line
from buildsite.kinds.tests.moisture_density.sheet.figure import (
    density_axis,
    raised_for_air_voids,
    water_axis,
    zero_air_voids_line,
)
from buildsite.kinds.tests.moisture_density.sheet.pairs import drop_lines
from buildsite.kinds.tests.one_point.compute import Test
from buildsite.kinds.tests.one_point.curves import member_of
from buildsite.kinds.tests.one_point.told import governing
from buildsite.record.units import from_si, unit
from buildsite.soil.curves.family import Found

Way = tuple[tuple[float, float], ...]
"""Water contents [%] and dry densities [kg/m³]."""


def drawn(kind: str, line: Way, name: str, label: str = "") -> Line:
    """Return a curve as a line of the figure."""
    waters = tuple(water for water, _ in line)
    return Line(kind, waters, tuple(from_si(dry, name) for _, dry in line), label)


def alt_text(case: Test) -> str:
    """Return the figure in words, for screen readers."""
    values, name = case.values, case.values.density_unit
    point = values.point
    parts = [f"{len(values.curves)} curves"]
    if point is not None and point.dry_density is not None:
        parts.append(
            f"point of {point_density(point.dry_density, name)} {unit(name).shown} at "
            f"{to_places(point.water_content, 1)} %"
        )
    parts.append(values.why)
    return "; ".join(parts) + "."


def found_curve(case: Test) -> DrawnCurve | None:
    """Return the curve that the point leads to, to be read off the figure."""
    values = case.values
    if not isinstance(values.found, Found):
        return None
    curve, pair = values.found.curve, [case.results[name] for name in governing(case)]
    texts = [one.reported.partition(" ")[0] for one in pair]
    return DrawnCurve(
        unit=values.density_unit,
        line=packed_line(curve.line),
        peak=(curve.optimum, curve.peak),
        governing=(pair[1].value, pair[0].value) if pair else None,
        maximum=texts[0] if texts else "",
        optimum=texts[1] if texts else "",
        specific_gravity=values.solids.specific_gravity if values.solids else None,
        water_density=values.solids.water_density if values.solids else None,
        found=True,
    )


def figure(case: Test) -> Plot | None:
    """Return the figure; None without a point or without curves."""
    values, point = case.values, case.values.point
    if point is None or point.dry_density is None or point.water_content is None:
        return None
    curves, name = values.curves, values.density_unit
    places = [place for one in curves for place in one.line]
    places.append((point.water_content, point.dry_density))
    x = water_axis(
        [water for water, _ in places],
        result_label(case.method, "water_content", name),
        centred=True,
    )
    densities = [from_si(dry, name) for _, dry in places]
    densities += [from_si(one.peak.maximum_dry_density, name) for one in curves]
    label = result_label(case.method, "dry_density", name)
    y = density_axis(densities, name, label, centred=True)
    y = raised_for_air_voids(values.solids, name, x, y)
    lines = [drawn("curve-before", one.line, name, one.id) for one in curves]
    dots = [Dot("point", point.water_content, from_si(point.dry_density, name), 1)]
    if isinstance(values.found, Found):
        curve = values.found.curve
        lines.append(drawn("curve", curve.line, name))
        peak = from_si(curve.peak, name)
        texts = [one.reported.partition(" ")[0] for one in case.results.values()]
        shown = f"{texts[0]} {unit(name).shown} at {texts[1]} %"
        dots.append(Dot("peak", curve.optimum, peak, label=shown))
        lines += drop_lines(x, y, curve.optimum, peak)
    if values.solids is not None and values.gravity is not None:
        text = f"zero air voids, Gs {values.gravity.value}"
        voids = zero_air_voids_line(values.solids, name, x, y, text)
        lines += [voids] if voids is not None else []
    ordered = sorted(map(member_of, curves), key=lambda one: one.optimum)
    dots += [Dot("peak", one.optimum, from_si(one.peak, name)) for one in ordered]
    return Plot(
        name="curve",
        title="Point and curves",
        x=x,
        y=y,
        lines=tuple(lines),
        dots=tuple(dots),
        alt=alt_text(case),
        caption="Full line: the curve found. Dashed: the curves that the point was "
        "held against.",
        curve=found_curve(case),
    )
