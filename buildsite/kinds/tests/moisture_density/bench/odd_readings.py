"""Doubts at the bench: a reading unlike its neighbors."""

from collections.abc import Callable, Iterator

from buildsite.kinds.answers import MoldFacts
from buildsite.kinds.tests.moisture_density.bench.mixing_water import LOOSEST
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.estimates import soil_in_pan, water_added
from buildsite.kinds.tests.moisture_density.rules.common import (
    density,
    percent,
    possible_dry,
    quantity_word,
)
from buildsite.kinds.tests.moisture_density.rules.moisture import step_limit
from buildsite.kinds.tests.moisture_density.specimens import (
    PointValues,
    compacted_on,
    mold_id,
    volume_of,
)
from buildsite.kinds.tests.shared.empty_containers import is_decimal_slip
from buildsite.record.flags import Doubt, Field, Severity
from buildsite.record.units import from_si, to_si

WET_APART_PERCENT = 10.0
"""Usual difference in wet density of two adjacent points: common practice. A step of
2 points that densifies a soil by 4 % makes 6 %; a misplaced digit makes more."""

DRY_APART_PERCENT = 8.0
"""The same for dry densities, which exclude the water: common practice."""


def odd_readings(case: Test) -> Callable[[Field], tuple[Doubt, ...]]:
    """Return the function that doubts a reading unlike its neighbors."""

    def doubts_at(field: Field) -> tuple[Doubt, ...]:
        if len(field) < 3 or field[0] != "points":
            return ()
        index, name = int(field[1]), field[-1]
        if name in ("mold_and_wet_soil", "mold_mass"):
            return (
                *odd_mass(case, index, field),
                *(odd_beside_mold(case, index) if name != "mold_mass" else ()),
            )
        if name in ("specimen_mass", "water_added_ml"):
            return tuple(odd_pan(case, index, field))
        if name in ("container_mass", "container_and_wet", "container_and_dry"):
            return (
                *(odd_container(case, field) if name == "container_mass" else ()),
                *odd_water(case, index, field),
            )
        return ()

    return doubts_at


def either(number: int) -> str:
    """Return what to check where the reading or the other point may be the slip."""
    return f"the slip may be here or at point {number}: check both"


def odd_pan(case: Test, index: int, field: Field) -> Iterator[Doubt]:
    """Doubt too little soil for a specimen, or too much water."""
    point, unit = case.record.points[index], case.record.units.compacted
    pan, added = soil_in_pan(case, index), water_added(case, index)
    volume = volume_of(case.record, point, case.inputs, case.method)
    if pan is None and field[-1] == "water_added_ml":
        yield from water_alone(case, index, field, volume)
    if pan is None or unit is None:
        return
    least = (volume or 0.0) * LOOSEST
    if field[-1] == "specimen_mass" and pan < least:
        shown = f"{from_si(least, unit):.{0 if unit == 'g' else 2}f}"
        yield Doubt(
            field,
            f"{point.specimen_mass} {unit} of soil for a specimen",
            f"enough to fill the mold, more than {shown} {unit}",
            "weigh the pan again",
            Severity.ERROR if pan * 2 < least else None,
        )
    if added is not None and added * 100 > pan * MOST_WATER_PERCENT:
        yield Doubt(
            field,
            f"{point.water_added_ml} mL of water to {point.specimen_mass} {unit}",
            "less than half the mass of the soil",
            "check both values",
            Severity.ERROR if added > pan else None,
        )


def water_alone(
    case: Test, index: int, field: Field, volume: float | None
) -> Iterator[Doubt]:
    """Doubt water beside a pan that was not weighed: perhaps the mass of the pan."""
    added = water_added(case, index)
    most = (volume or 0.0) * FILLED * USUAL_SOIL * MOST_WATER_PERCENT / 100
    if added is not None and 0 < most < added:
        yield Doubt(
            field,
            f"{case.record.points[index].water_added_ml} mL of water",
            f"at most {most * 1000:.0f} mL, half the soil that fills the mold twice",
            "check the reading: it may be a mass",
        )


FILLED, USUAL_SOIL = 2, 2000.0
"""Molds that the soil of one point fills at most, and its density [kg/m³]: common
practice."""

MOST_WATER_PERCENT = 50.0
"""Most water added at one point, by mass of soil: common practice. Optima reach 36 %
(NAVFAC DM-7.02 (1986), table 1 (from memory))."""


def odd_mass(case: Test, index: int, field: Field) -> Iterator[Doubt]:
    """Doubt a wet density far from the previous one, or a second rise."""
    here = case.values.points[index].wet_density
    earlier = [
        (point.number, point.wet_density)
        for point in case.values.points[:index]
        if point.wet_density is not None and not point.rejected
    ]
    if here is None or not earlier:
        return
    number, before = earlier[-1]
    if abs(here / before - 1) * 100 > WET_APART_PERCENT:
        yield Doubt(
            field,
            f"a {quantity_word(case, 'wet_density')} of {density(case, here)}",
            f"within {WET_APART_PERCENT:g} % of point {number}'s "
            f"{density(case, before)}",
            either(number),
        )
    elif len(earlier) > 1 and case.record.specimens == "reused":
        fell = before < earlier[-2][1]
        if fell and here > before:
            yield Doubt(
                field,
                f"the wet mass rises to {density(case, here)} after it fell at point "
                f"{number}",
                "one peak",
                either(number),
            )


def odd_beside_mold(case: Test, index: int) -> Iterator[Doubt]:
    """Doubt a filled mold that no soil makes in it, while it was not weighed empty."""
    record, point = case.record, case.record.points[index]
    id, unit = mold_id(record, point), record.units.compacted
    empty = record.mold_mass if point.mold_mass is None else point.mold_mass
    facts = case.inputs.get(MoldFacts, id, compacted_on(record, point)) if id else None
    if empty is not None or unit is None or point.mold_and_wet_soil is None:
        return
    if facts is None or facts.mass_kg is None or not facts.volume_m3:
        return
    if record.weighed_with and record.weighed_with != facts.weighed_with:
        return
    low, high = possible_dry(case)
    soil = to_si(point.mold_and_wet_soil, unit) - facts.mass_kg
    if low <= soil / facts.volume_m3 < high:
        return
    least, most = (
        f"{from_si(facts.mass_kg + one * facts.volume_m3, unit):.4g}"
        for one in (low, high)
    )
    yield Doubt(
        ("points", index, "mold_and_wet_soil"),
        f"{point.mold_and_wet_soil} {unit}",
        f"{least} to {most} {unit}, of mold {id} as calibrated and any soil",
        "read it again",
        Severity.ERROR,
    )


def odd_container(case: Test, field: Field) -> Iterator[Doubt]:
    """Doubt an empty container over twice or under half the mass of all others."""
    masses = {
        (*line.field, "container_mass"): line.part.container_mass
        for line in case.record.container_lines
        if line.part.container_mass is not None
    }
    here = masses.pop(field, None)
    if here is None or len(masses) < 2:
        return
    others = list(masses.values())
    low, high = min(others), max(others)
    if is_decimal_slip(here, others):
        return  # a flag of its own
    if not low / UNLIKE <= here <= high * UNLIKE:
        unit = case.record.units.moisture or ""
        yield Doubt(
            field,
            f"an empty container of {here} {unit}",
            f"a mass like the others, {low} to {high} {unit}",
            "check the decimal point",
        )


UNLIKE = 2
"""Greatest ratio of the masses in a set of containers: common practice."""


def odd_water(case: Test, index: int, field: Field) -> Iterator[Doubt]:
    """Doubt a water content that fell or jumped, or an odd dry density."""
    here, points = case.values.points[index], case.values.points
    if here.water_content is None:
        return
    near = [
        point
        for point in (
            *points[max(index - 1, 0) : index],
            *points[index + 1 : index + 2],
        )
        if point.water_content is not None and not point.rejected
    ]
    limit = step_limit(case)
    found = f"a {quantity_word(case, 'water_content')} of {percent(here.water_content)}"
    for other in near:
        step = (here.water_content - (other.water_content or 0.0)) * (
            1 if other.number < here.number else -1
        )
        if case.record.specimens == "reused" and step <= 0:
            yield Doubt(
                field,
                found,
                f"{'more' if other.number < here.number else 'less'} than point "
                f"{other.number}'s {percent(other.water_content)}",
                either(other.number),
            )
        elif limit is not None and abs(step) > 2 * float(limit.value):
            yield Doubt(
                field,
                found,
                f"within {2 * float(limit.value):g} points of point {other.number}'s "
                f"{percent(other.water_content)}",
                either(other.number),
            )
    yield from odd_dry(case, here, near, field)


def odd_dry(
    case: Test, here: PointValues, near: list[PointValues], field: Field
) -> Iterator[Doubt]:
    """Doubt a dry density far from that of every neighbor."""
    dry = here.dry_density
    others = [(p.number, p.dry_density) for p in near if p.dry_density is not None]
    if dry is None or not others:
        return
    number, closest = min(others, key=lambda other: abs(other[1] - dry))
    if abs(dry / closest - 1) * 100 > DRY_APART_PERCENT:
        yield Doubt(
            field,
            f"a {quantity_word(case, 'dry_density')} of {density(case, dry)}",
            f"within {DRY_APART_PERCENT:g} % of point {number}'s "
            f"{density(case, closest)}",
            either(number),
        )
