"""Checks of water contents, of one point and from point to point."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise
from math import fsum

from buildsite.kinds.fractions import BASIS, FLAG, fraction_doubt, like_a_fraction
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.estimates import soil_in_pan, water_added
from buildsite.kinds.tests.moisture_density.model import Point
from buildsite.kinds.tests.moisture_density.rules.common import (
    field_of,
    highest_point,
    note_if_rejected,
    note_until_complete,
    percent,
    quantity_word,
)
from buildsite.kinds.tests.moisture_density.rules.method import is_heavy_clay
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.kinds.tests.shared.completeness import points_text, sample_of
from buildsite.kinds.tests.shared.containers import disagree_rule, disagreement
from buildsite.record.flags import Doubt, Rule, warning
from buildsite.record.units import to_si
from buildsite.soil.rounding import round_half_even, snap
from buildsite.soil.wetting import dry_mass
from buildsite.standards.cells import Cell

ADDED_APART_POINTS = 1.0
"""Allowed difference between water added and water measured: evaporation, spills, and
the scatter of moisture specimens."""

ALONE_APART_POINTS = 0.6
"""The same of one point against both its neighbors: what evaporates is a trend, so only
the scatter of its own moisture specimen is left. docs/false-alarms.md."""


def containers_disagree(case: Test) -> Iterator[Doubt]:
    """Containers of one soil that differ by over 10 % of their mean, or 1 point."""
    for point in case.values.points:
        yield from disagreement(
            field_of(point),
            point.container_water_contents,
            note_if_rejected(case.record.points[point.number - 1]),
        )


@warning(FLAG, BASIS)
def water_content_like_a_fraction(case: Test) -> Iterator[Doubt]:
    """A water content below 1 %, to several decimals: percent typed as a fraction."""
    points = [
        (i, point.water_content, note_if_rejected(point))
        for i, point in enumerate(case.record.points)
        if point.water_content is not None and like_a_fraction(point.water_content)
    ]
    if len(points) == len(case.record.points) > 1:
        where = f" at point 1, and so at {points_text([i + 1 for i, *_ in points[1:]])}"
        points = points[:1]
    else:
        where = ""
    for i, typed, severity in points:
        field = ("points", i, "water_content")
        yield fraction_doubt(field, typed, where, None if where else severity)


@warning("moisture-specimen-too-small", "the method's least moisture specimen")
def moisture_specimen_too_small(case: Test) -> Iterator[Doubt]:
    """A moisture specimen smaller than the method requires."""
    method, unit = case.method, case.record.units.moisture
    if method is None or unit is None:
        return
    cell = method.cell("moisture_specimen_least")
    for i, point in enumerate(case.record.points):
        soils = moist_soils(point)
        if soils and to_si(sum(soils, Decimal(0)), unit) < cell.si * (1 - 1e-9):
            yield Doubt(
                field=("points", i),
                found=f"{sum(soils, Decimal(0))} {unit} of wet soil",
                expected=f"at least {cell}",
                mend="take a larger moisture specimen, over the full height, next time",
                severity=note_if_rejected(point),
                basis=cell.basis,
            )


def moist_soils(point: Point) -> list[Decimal]:
    """Return the moist soil in each container; nothing while one of them is empty."""
    soils = [
        one.container_and_wet - one.container_mass
        for one in point.all_containers
        if one.container_and_wet is not None and one.container_mass is not None
    ]
    whole = len(soils) == len(point.all_containers) and all(soil > 0 for soil in soils)
    return soils if whole else []


def step_limit(case: Test) -> Cell | None:
    """Return the greatest step of water content for this soil."""
    method, sample = case.method, sample_of(case)
    if method is None:
        return None
    heavy = sample is not None and is_heavy_clay(method, sample)
    return method.cell("greatest_step_heavy_clay" if heavy else "greatest_step")


@warning("water-content-step-too-large", "the method's greatest step of water content")
def water_content_step_too_large(case: Test) -> Iterator[Doubt]:
    """A step of water content next to the highest point beyond the method's."""
    cell, top = step_limit(case), highest_point(case)
    if cell is None or top is None:
        return
    for drier, wetter in pairwise(case.values.on_curve):
        if top not in (drier, wetter):
            continue
        # Compared as water contents are reported, to 0.1 %.
        step = round_half_even(
            snap(water_content_of(wetter) - water_content_of(drier)), 1
        )
        if step > Decimal(cell.value):
            yield Doubt(
                field=field_of(wetter),
                found=f"{percent(drier.water_content)} to "
                f"{percent(wetter.water_content)}, a step of {step} points",
                expected=f"at most {cell.value} points next to the highest point",
                mend="compact a point between the two",
                severity=note_until_complete(case),
                basis=cell.basis,
            )


def water_content_of(point: PointValues) -> float:
    """Return the water content of a point that is known to have one."""
    return point.water_content if point.water_content is not None else 0.0


@warning("water-content-unlike-water-added", "conservation of mass")
def water_content_unlike_water_added(case: Test) -> Iterator[Doubt]:
    """A step of water content that differs by over a point from the water added."""
    count, flagged = len(case.record.points), set()
    for i in range(1, count):
        for doubt in step_unlike_water(case, i):
            flagged |= {i - 1, i}
            yield doubt
    for i in range(1, count - 1):
        if i not in flagged:
            yield from point_unlike_water(case, i)


def step_unlike_water(case: Test, i: int) -> Iterator[Doubt]:
    """Doubt a step to point `i` beyond what the water added makes."""
    found = step_and_expected(case, i)
    if found is None:
        return
    step, least, most = found
    if not least - ADDED_APART_POINTS <= step <= most + ADDED_APART_POINTS:
        near = f"{least:.1f}" if least == most else f"{least:.1f} to {most:.1f}"
        yield Doubt(
            field=("points", i, "water_added_ml"),
            found=f"{step:+.1f} points of {quantity_word(case, 'water_content')} "
            f"from point {i} to {i + 1}",
            expected=f"{near} points, from the water added",
            mend="check both containers, and whether water_added is each or cumulative",
        )


def point_unlike_water(case: Test, i: int) -> Iterator[Doubt]:
    """Doubt point `i` that is wetter, or drier, than both its neighbors tell."""
    apart = apart_from_neighbors(case, i)
    if abs(apart) > ALONE_APART_POINTS:
        yield Doubt(
            field=("points", i),
            found=f"{percent(case.values.points[i].water_content)}, {abs(apart):.1f} "
            f"points {'wetter' if apart > 0 else 'drier'} than both neighbors and the "
            "water added suggest",
            expected=f"within {ALONE_APART_POINTS:g} points",
            mend="check this point's container against the bench sheet: its label and "
            "three masses",
        )


def apart_from_neighbors(case: Test, i: int) -> float:
    """
    Return how much wetter point `i` is than its neighbors and the water tell. [%]

    With the soil in the pan unknown, water contents rise in proportion to the water.
    """
    steps = [step_and_expected(case, k) for k in (i, i + 1)]
    known = [one for one in steps if one is not None]
    if len(known) < len(steps):
        return 0.0
    if all(least == most for _, least, most in known):
        off, back = (step - least for step, least, _ in known)
        apart = min(abs(off), abs(back)) if off * back < 0 else 0.0
        return apart if off > 0 else -apart
    added = [water_added(case, k) or 0.0 for k in (i, i + 1)]
    if min(added) <= 0:
        return 0.0
    (first, _, _), (second, _, _) = known
    return first - (first + second) * added[0] / fsum(added)


def step_and_expected(case: Test, i: int) -> tuple[float, float, float] | None:
    """Return the step to point `i`, and the least and greatest from its water."""
    before, after = case.values.points[i - 1 : i + 1]
    expected = step_by_water_added(case, i)
    if expected is None or before.rejected or after.rejected:
        return None
    return water_content_of(after) - water_content_of(before), *expected


@warning("cumulative-volume-falls", "conservation of mass")
def cumulative_volume_falls(case: Test) -> Iterator[Doubt]:
    """A volume of water added in all that is less than that of the point before."""
    record = case.record
    if record.water_added != "cumulative" or record.specimens == "separate":
        return
    for i, (before, after) in enumerate(pairwise(record.points), start=1):
        first, then = before.water_added_ml, after.water_added_ml
        if first is not None and then is not None and then < first:
            yield Doubt(
                field=("points", i, "water_added_ml"),
                found=f"{then} mL, after {first} mL at point {i}",
                expected=f"{first} mL or more: water_added is cumulative",
                mend="check both volumes; if each is of one step, enter "
                "water_added: each",
            )


def step_by_water_added(case: Test, i: int) -> tuple[float, float] | None:
    """
    Return the least and greatest step to point `i` from its water, if known.

    Where the soil in the pan was not weighed, it was at least the soil in the mold:
    that gives the greatest step only.
    """
    before, after = case.values.points[i - 1 : i + 1]
    if before.water_content is None or after.water_content is None:
        return None
    if any(
        like_a_fraction(one.water_content) for one in case.record.points[i - 1 : i + 1]
    ):
        return None  # flagged as typed as fractions
    if case.record.specimens == "separate":
        return step_between_specimens(case, i)
    added, pan = water_added(case, i), soil_in_pan(case, i)
    reused = case.record.specimens == "reused" and case.record.water_added is not None
    if not reused or added is None or added < 0:
        return None
    if pan is not None:
        step = added / dry_mass(pan, before.water_content) * 100
        return step, step
    if after.wet_soil is None:
        return None
    return 0.0, added / dry_mass(after.wet_soil, after.water_content) * 100


def step_between_specimens(case: Test, i: int) -> tuple[float, float] | None:
    """Return the step between two specimens of one soil, each wetted separately."""
    shares = []
    for k in (i - 1, i):
        pan, added = soil_in_pan(case, k), water_added(case, k)
        if pan is None or added is None:
            return None
        dry = dry_mass(pan + added, water_content_of(case.values.points[k]))
        shares.append(added / dry * 100)
    return shares[1] - shares[0], shares[1] - shares[0]


RULES: tuple[Rule[Test], ...] = (
    disagree_rule(containers_disagree),
    water_content_like_a_fraction,
    moisture_specimen_too_small,
    water_content_step_too_large,
    water_content_unlike_water_added,
    cumulative_volume_falls,
)
