"""Curves of several tests on one figure: of a project, of a sample."""

from collections import Counter
from collections.abc import Iterator, Sequence
from math import ceil

from buildsite.kinds.reporting import result_label
from buildsite.kinds.sheet import (
    Cell,
    Column,
    Dot,
    DrawnCurve,
    Line,
    Plot,
    Row,
    Table,
)
from buildsite.kinds.tests.moisture_density.sheet.figure import (
    STEPS,
    density_axis,
    raised_for_air_voids,
    water_axis,
    zero_air_voids_line,
)
from buildsite.record.units import from_si, unit
from buildsite.soil.curves import Solids
from buildsite.values import dataclass

MOST_ON_ONE = 12
"""Curves on one figure: with more, names stand far from their lines."""

MOST_FIGURES = 4
"""Figures of curves on one page; older curves are in the list of tests."""


@dataclass(frozen=True)
class NamedCurve:
    """The curve of a test, with what is said of it. `made` is standard and method."""

    id: str
    name: str  # with its revision
    made: str
    curve: DrawnCurve

    @property
    def pair(self) -> str:
        """Return the governing pair, as reported."""
        if not self.curve.maximum:
            return "no peak"
        shown = unit(self.curve.unit).shown
        return f"{self.curve.maximum} {shown} at {self.curve.optimum} %"


def split(curves: Sequence[NamedCurve]) -> Iterator[tuple[str, Sequence[NamedCurve]]]:
    """
    Yield the curves of each figure, and what they have in common, in words.

    All together if they fit; else by standard and method, small groups together, and a
    large group in parts by its optimum.
    """
    if len(curves) <= MOST_ON_ONE:
        yield methods_of(curves), curves
        return
    groups: dict[str, list[NamedCurve]] = {}
    for one in sorted(curves, key=lambda one: (one.made, optimum(one), one.id)):
        groups.setdefault(one.made, []).append(one)
    together: list[NamedCurve] = []
    for made, group in sorted(groups.items(), key=lambda pair: (-len(pair[1]), pair)):
        if len(group) > MOST_ON_ONE / 2:
            parts = ceil(len(group) / MOST_ON_ONE)
            for i in range(parts):
                ends = (len(group) * k // parts for k in (i, i + 1))
                part = group[slice(*ends)]
                yield f"{made}{in_part(part) if parts > 1 else ''}", part
            continue
        if len(together) + len(group) > MOST_ON_ONE:
            yield methods_of(together), together
            together = []
        together += group
    if together:
        yield methods_of(together), together


def optimum(one: NamedCurve) -> float:
    """Return the governing optimum; a curve without a peak comes last."""
    return one.curve.judged[0] if one.curve.judged is not None else float("inf")


def in_part(part: Sequence[NamedCurve]) -> str:
    """Return which part of a group it is, by its optimums."""
    return f", optimum {part[0].curve.optimum} to {part[-1].curve.optimum} %"


def methods_of(curves: Sequence[NamedCurve]) -> str:
    """Return the method of a figure, or two of them; of more, that they are several."""
    methods = sorted({one.made for one in curves})
    return " and ".join(methods) if len(methods) <= 2 else "several methods"


def unit_of(curves: Sequence[NamedCurve]) -> str:
    """Return the density unit of most of the curves."""
    known = Counter(one.curve.unit for one in curves if one.curve.unit in STEPS)
    return known.most_common(1)[0][0] if known else "kg/m3"


def marks(one: NamedCurve, name: str) -> Iterator[Line | Dot]:
    """Yield a curve, its peak, and the governing pair where that is another."""
    curve = one.curve
    xs = tuple(water for water, _ in curve.way)
    yield Line("curve", xs, tuple(from_si(dry, name) for _, dry in curve.way), one.id)
    if curve.peak is not None:
        peak = curve.peak[0], from_si(curve.peak[1], name)
        yield Dot("peak", *peak)
        if curve.corrected and curve.governing is not None:
            whole = curve.governing[0], from_si(curve.governing[1], name)
            yield Line("drop", (peak[0], whole[0]), (peak[1], whole[1]))
            yield Dot("governing", *whole)


def solids_of(curves: Sequence[NamedCurve]) -> Sequence[Solids]:
    """Return the solids of the curves, the lightest first."""
    known = {
        Solids(one.curve.specific_gravity, one.curve.water_density)
        for one in curves
        if one.curve.specific_gravity and one.curve.water_density
    }
    return sorted(known)


def soil_figure(name: str, title: str, curves: Sequence[NamedCurve]) -> Plot:
    """Return the curves on one figure, with the lightest zero air voids."""
    shown = unit_of(curves)
    pairs = [pair for one in curves for pair in places(one.curve)]
    x = water_axis(
        [water for water, _ in pairs],
        result_label(None, "water_content", shown),
        centred=True,
    )
    y = density_axis(
        [from_si(dry, shown) for _, dry in pairs],
        shown,
        result_label(None, "dry_density", shown),
        centred=True,
    )
    solids = solids_of(curves)
    y = raised_for_air_voids(solids[0] if solids else None, shown, x, y)
    parts = [part for one in curves for part in marks(one, shown)]
    lines = [part for part in parts if isinstance(part, Line)]
    if solids:
        lowest = ", the lowest" if len(solids) > 1 else ""
        label = f"zero air voids, Gs {solids[0].specific_gravity:g}{lowest}"
        voids = zero_air_voids_line(solids[0], shown, x, y, label)
        lines += [voids] if voids is not None else []
    return Plot(
        name=name,
        title=title,
        x=x,
        y=y,
        lines=tuple(lines),
        dots=tuple(part for part in parts if isinstance(part, Dot)),
        alt="; ".join(f"{one.id}: {one.pair}" for one in curves) + ".",
        caption=caption(curves),
        several=tuple((one.id, one.curve) for one in curves),
    )


def places(curve: DrawnCurve) -> Iterator[tuple[float, float]]:
    """Yield every place of a curve that a figure must hold."""
    yield from curve.way
    yield from (pair for pair in (curve.peak, curve.governing) if pair is not None)


def caption(curves: Sequence[NamedCurve]) -> str:
    """Return what the marks are."""
    text = "Cross: the peak of the curve."
    if any(one.curve.corrected for one in curves):
        text += " Diamond: corrected for oversize, the pair for field control."
    if len({one.curve.unit for one in curves}) > 1:
        text += " Densities reported in other units are converted."
    return text


def curve_table(
    name: str, common: str, curves: Sequence[NamedCurve], note: str = ""
) -> Table:
    """Return the governing pairs of a figure; its rows are numbered as the curves."""
    title = f"Maximum and optimum{f': {common}' if common else ''}"
    methods = len({one.made for one in curves}) > 1  # else the title may say it
    rows = tuple(
        Row(
            (
                Cell(one.name, ("test", one.id)),
                *((Cell(one.made),) if methods else ()),
                Cell(one.pair),
            ),
            point=number,
        )
        for number, one in enumerate(curves, start=1)
    )
    standard = (Column("Standard"),) if methods else ()
    heads = (Column("Test"), *standard, Column("For field control"))
    return Table(name, title, heads, rows, role="pairs", note=note)


def soil_blocks(curves: Sequence[NamedCurve]) -> Iterator[Plot | Table]:
    """
    Yield figures with their tables; `curves` are the latest first.

    Nothing for fewer than two: the test's own page has its curve.
    """
    if len(curves) < 2:
        return
    shown = curves[: MOST_ON_ONE * MOST_FIGURES]
    note = ""
    if len(curves) > len(shown):
        note = f"The {len(shown)} latest of {len(curves)} curves are drawn."
    for i, (common, group) in enumerate(split(shown), start=1):
        number = f"-{i}" if i > 1 else ""
        group = sorted(group, key=lambda one: (optimum(one), one.id))
        title = f"Compaction curves{f': {common}' if common else ''}"
        yield soil_figure(f"curves{number}", title, group)
        first = note if i == 1 else ""
        yield curve_table(f"curves{number}-pairs", common, group, first)
