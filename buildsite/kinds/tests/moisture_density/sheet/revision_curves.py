"""Compaction curves of several revisions in one figure, from their kept results."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from buildsite.kinds.kind import KeptResult
from buildsite.kinds.reporting import readable_text, result_label
from buildsite.kinds.sheet import Axis, Dot, Line, Plot
from buildsite.kinds.tests.moisture_density.sheet.figure import (
    STEPS,
    air_voids_label,
    density_axis,
    raised_for_air_voids,
    water_axis,
    zero_air_voids_line,
)
from buildsite.record.units import from_si
from buildsite.soil.curves import Solids
from buildsite.standards.method import Method

PEAK = ("optimum_water_content", "maximum_dry_density")


def peak(result: Mapping[str, Any]) -> tuple[float, float] | None:
    """Return optimum water content [%] and maximum dry density [kg/m³], if any."""
    found = [result.get("results", {}).get(name) for name in PEAK]
    if any(one is None for one in found):
        return None
    return found[0]["value"], found[1]["value"]


def line_points(result: Mapping[str, Any]) -> list[tuple[float, float]]:
    """Return the points along the curve as drawn."""
    return [(x, y) for x, y in result.get("curve", {}).get("line") or ()]


def measured_points(result: Mapping[str, Any]) -> list[tuple[float, float, bool]]:
    """Return the measured points that can be plotted, and whether each is rejected."""
    return [
        (one["water_content"], one["dry_density"], bool(one.get("rejected")))
        for one in result.get("points", ())
        if one.get("water_content") is not None and one.get("dry_density") is not None
    ]


def solids_of(result: Mapping[str, Any]) -> Solids | None:
    """Return the solids of a kept result, where known."""
    curve = result.get("curve", {})
    gravity, water = curve.get("specific_gravity"), curve.get("water_density")
    return Solids(gravity, water) if gravity and water else None


def gravity_text(solids: Solids) -> str:
    """
    Write a specific gravity to two places, or to as many more as it was given.

    >>> gravity_text(Solids(2.7, 998.2)), gravity_text(Solids(2.675, 998.2))
    ('2.70', '2.675')
    """
    text = f"{solids.specific_gravity:g}"
    return text if len(text.partition(".")[2]) > 2 else f"{float(text):.2f}"


def axes(
    results: Sequence[KeptResult], name: str, method: Method | None
) -> tuple[Axis, Axis] | None:
    """Return axes for all revisions; None where nothing can be plotted."""
    xs, ys = [], []
    for _, result in results:
        places = [(x, y) for x, y, _ in measured_points(result)]
        top = peak(result)
        for x, y in (*places, *line_points(result), *([top] if top else ())):
            xs.append(x)
            ys.append(from_si(y, name))
    if not xs:
        return None
    labels = [result_label(method, of, name) for of in ("water_content", "dry_density")]
    x_axis = water_axis(xs, labels[0], centred=False)
    y_axis = density_axis(ys, name, labels[1], centred=False)
    last = solids_of(results[-1][1])
    return x_axis, raised_for_air_voids(last, name, x_axis, y_axis)


def air_voids_lines(
    results: Sequence[KeptResult],
    name: str,
    pair_of_axes: tuple[Axis, Axis],
    method: Method | None,
) -> Iterator[Line]:
    """Yield one zero-air-voids line, or one for each specific gravity."""
    found: dict[Solids, list[str]] = {}
    for label, result in results:
        solids = solids_of(result)
        if solids is not None:
            found.setdefault(solids, []).append(label)
    for solids, labels in found.items():
        whose = f" ({', '.join(labels)})" if len(found) > 1 else ""
        text = f"{air_voids_label(method)}, Gs {gravity_text(solids)}{whose}"
        line = zero_air_voids_line(solids, name, *pair_of_axes, text)
        if line is not None:
            yield line


def revision_marks(kept: KeptResult, name: str, *, last: bool) -> Iterator[Line | Dot]:
    """Yield the curve and peak of a revision, and the points of the last one."""
    label, result = kept
    way = [(x, from_si(y, name)) for x, y in line_points(result)]
    if way:
        xs, ys = tuple(x for x, _ in way), tuple(y for _, y in way)
        yield Line("curve" if last else "curve-before", xs, ys, label)
    if last:
        for number, (x, y, out) in enumerate(measured_points(result), start=1):
            sort = "rejected" if out else "point"
            yield Dot(sort, x, from_si(y, name), number)
    top = peak(result)
    if top is not None:
        text = "" if way else label
        yield Dot("peak", top[0], from_si(top[1], name), label=text)


def revision_text(kept: KeptResult) -> str:
    """Return one revision in words, for screen readers."""
    label, result = kept
    found = [result.get("results", {}).get(name) for name in reversed(PEAK)]
    if any(one is None for one in found):
        return f"{label}: no peak"
    density, water = (readable_text(one["reported"]) for one in found)
    return f"{label}: peak of {density} at {water}"


def compare(results: Sequence[KeptResult], method: Method | None) -> Plot | None:
    """
    Return the curves of revisions in one figure, the oldest first.

    The last one is drawn in full with its points, the others dashed.
    """
    name = results[-1][1].get("curve", {}).get("density_unit")
    pair_of_axes = axes(results, name, method) if name in STEPS else None
    if pair_of_axes is None:
        return None
    parts = [
        part
        for kept in results
        for part in revision_marks(kept, name, last=kept is results[-1])
    ]
    return Plot(
        name="curve",
        title="Curves",
        x=pair_of_axes[0],
        y=pair_of_axes[1],
        lines=(
            *(part for part in parts if isinstance(part, Line)),
            *air_voids_lines(results, name, pair_of_axes, method),
        ),
        dots=tuple(part for part in parts if isinstance(part, Dot)),
        alt="; ".join(map(revision_text, results)) + ".",
        caption=f"Full line: {results[-1][0]}, with its points."
        + (f" Dashed: {results[0][0]}." if len(results) > 1 else ""),
    )
