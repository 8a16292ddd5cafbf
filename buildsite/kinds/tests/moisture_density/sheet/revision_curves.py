"""Compaction curves of several revisions in one figure, from their kept results."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from buildsite.kinds.kind import KeptResult
from buildsite.kinds.reporting import readable_text, result_label
from buildsite.kinds.sheet import Axis, Dot, Line, Plot
from buildsite.kinds.tests.moisture_density.sheet.figure import (
    STEPS,
    air_voids_label,
    compared_density_axis,
    density_axis,
    raised_for_air_voids,
    water_axis,
    zero_air_voids_line,
)
from buildsite.kinds.tests.moisture_density.sheet.kept_pairs import (
    PEAK,
    corrected,
    drawn_curve,
    line_points,
    peak,
    whole_soil,
)
from buildsite.record.units import from_si
from buildsite.soil.curves import Solids
from buildsite.standards.method import Method


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
        tops = [pair for pair in (peak(result), corrected(result)) if pair is not None]
        for x, y in (*places, *line_points(result), *tops):
            xs.append(x)
            ys.append(from_si(y, name))
    if not xs:
        return None
    labels = [result_label(method, of, name) for of in ("water_content", "dry_density")]
    x_axis = water_axis(xs, labels[0], centred=False)
    if len(results) > 1:  # a difference must show, not the distance to saturation
        return x_axis, compared_density_axis(ys, name, labels[1])
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


def curve_marks(kept: KeptResult, name: str, *, last: bool) -> Iterator[Line | Dot]:
    """Yield the curve and peak of one result, each of them named."""
    label, result = kept
    way = [(x, from_si(y, name)) for x, y in line_points(result)]
    top = peak(result)
    if way:
        xs, ys = tuple(x for x, _ in way), tuple(y for _, y in way)
        text = label if top is None else ""
        yield Line("curve" if last else "curve-before", xs, ys, text)
    if top is not None:
        sort = "peak" if last else "peak-before"
        yield Dot(sort, top[0], from_si(top[1], name), label=peak_label(kept))


def peak_label(kept: KeptResult) -> str:
    """
    Return the label of a peak: whose it is, and where.

    >>> one = {"reported": "108.0 lbf/ft3"}, {"reported": "17.7 %"}
    >>> peak_label(("r2", {"results": dict(zip(reversed(PEAK), one))}))
    'r2: 108.0 at 17.7 %'
    """
    label, result = kept
    density, water = (result["results"][name]["reported"] for name in reversed(PEAK))
    return f"{label}: {density.partition(' ')[0]} at {water}"


def point_marks(results: Sequence[KeptResult], name: str) -> Iterator[Line | Dot]:
    """
    Yield the points of the last result, and those that another has elsewhere.

    A point that moved between two states of one test has an arrow to where it is now.
    """
    last = results[-1][1]
    now = measured_points(last)
    for _, result in results[:-1]:
        again = result.get("id") == last.get("id")
        for i, (x, y, _) in enumerate(measured_points(result)):
            stands = now[i][:2] if again and i < len(now) else None
            if stands == (x, y):
                continue
            if stands is not None:
                ys = (from_si(y, name), from_si(stands[1], name))
                yield Line("move", (x, stands[0]), ys)
            yield Dot("point-before", x, from_si(y, name))
    for number, (x, y, out) in enumerate(now, start=1):
        sort = "rejected" if out else "point"
        yield Dot(sort, x, from_si(y, name), number)


def marks(results: Sequence[KeptResult], name: str) -> Iterator[Line | Dot]:
    """Yield curves, points and peaks; the higher peak is named first, above it."""
    found = [
        part
        for kept in results
        for part in curve_marks(kept, name, last=kept is results[-1])
    ]
    yield from (part for part in found if isinstance(part, Line))
    yield from point_marks(results, name)
    peaks = [part for part in found if isinstance(part, Dot)]
    yield from named_peaks(sorted(peaks, key=lambda dot: -dot.y))
    label, last = results[-1]
    whole = corrected(last)
    if whole is not None:
        text = f"{label} corrected"
        yield Dot("governing", whole[0], from_si(whole[1], name), label=text)


def named_peaks(peaks: Sequence[Dot]) -> Iterator[Dot]:
    """
    Yield peaks with their labels; those at one place share one label.

    >>> peaks = [Dot("peak", 18, 108, label=f"r{i}: 108 at 18 %") for i in (0, 2)]
    >>> [dot.label for dot in named_peaks(peaks)]
    ['', 'r0, r2: 108 at 18 %']
    """
    names: dict[str, list[str]] = {}
    for dot in peaks:
        name, _, where = dot.label.partition(": ")
        names.setdefault(where, []).append(name)
    for i, dot in enumerate(peaks):
        where = dot.label.partition(": ")[2]
        later = [other.label.partition(": ")[2] for other in peaks[i + 1 :]]
        label = f"{', '.join(sorted(names[where]))}: {where}"
        yield replace(dot, label="" if where in later else label)


def revision_text(kept: KeptResult) -> str:
    """Return one revision in words, for screen readers."""
    label, result = kept
    found = [result.get("results", {}).get(name) for name in reversed(PEAK)]
    if any(one is None for one in found):
        return f"{label}: no peak"
    density, water = (readable_text(one["reported"]) for one in found)
    text = f"{label}: peak of {density} at {water}"
    whole = whole_soil(result)
    if len(whole) < len(PEAK):
        return text
    density, water = (readable_text(whole[of]["reported"]) for of in reversed(PEAK))
    return f"{text}, corrected {density} at {water}"


def compare(results: Sequence[KeptResult], method: Method | None) -> Plot | None:
    """
    Return the curves of revisions in one figure, the oldest first.

    The last one is drawn in full with its points, the others dashed, with the points
    that are elsewhere.
    """
    name = results[-1][1].get("curve", {}).get("density_unit")
    pair_of_axes = axes(results, name, method) if name in STEPS else None
    if pair_of_axes is None:
        return None
    parts = [*marks(results, name)]
    curves = [(label, drawn_curve(result)) for label, result in reversed(results)]
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
        caption=caption(results, parts),
        curve=curves[0][1] if len(curves) == 1 else None,
        several=tuple(one for one in curves if one[1].line) if len(curves) > 1 else (),
    )


def caption(results: Sequence[KeptResult], parts: Sequence[Line | Dot]) -> str:
    """Return what the lines and marks are."""
    first, last = results[0][0], results[-1][0]
    lines = f"Full line: {last}, with its points."
    if len(results) == 1:
        return lines
    if not any(isinstance(one, Line) and one.kind == "curve-before" for one in parts):
        return f"{lines} {first} has no fitted curve; its peak is pale."
    if any(isinstance(one, Line) and one.kind == "move" for one in parts):
        return f"{lines} Dashed: {first}; hollow: where its points were."
    if any(isinstance(one, Dot) and one.kind == "point-before" for one in parts):
        return f"{lines} Dashed: {first}, with hollow points."
    return f"{lines} Dashed: {first}; the points are the same."
