"""Compute the water content, densities and saturation of one point, in SI."""

from datetime import date
from math import fsum

from buildsite.kinds.answers import MoldFacts
from buildsite.kinds.kind import Inputs
from buildsite.kinds.tests.moisture_density.model import MoistureDensity, Point
from buildsite.kinds.tests.shared.containers import possible_masses
from buildsite.record.units import to_si
from buildsite.soil import phase
from buildsite.soil.curves import Solids
from buildsite.standards.method import Method
from buildsite.values import dataclass

POINT_UNITS = {
    "water_content": "%",
    "wet_density": "kg/m3",
    "dry_density": "kg/m3",
    "saturation": "%",
    "air_voids": "%",
}
"""Units of what a point has in a result."""


@dataclass(frozen=True)
class PointValues:
    """Computed values of one point; None where readings are missing."""

    number: int  # from 1, as on the bench sheet
    rejected: bool
    container_water_contents: tuple[float, ...]  # each container [%]
    water_content: float | None  # their mean, or as transcribed [%]
    wet_density: float | None  # [kg/m³]
    dry_density: float | None  # [kg/m³]
    saturation: float | None  # [%]
    air_voids: float | None  # of the total volume [%]
    wet_soil: float | None  # in the mold [kg]
    volume: float | None  # of the mold [m³]
    dry_soil: float | None  # least dry moisture specimen [kg]
    moist_specimen: float | None  # smallest moist moisture specimen [kg]
    transcribed: tuple[str, ...]  # fields transcribed, not observed


def compacted_on(record: MoistureDensity, point: Point) -> date | None:
    """Return the day on which a point was compacted."""
    if point.compacted is not None and point.compacted.on is not None:
        return point.compacted.on
    return record.compacted.on


def dried_apart(record: MoistureDensity) -> tuple[int, ...]:
    """Return the points that can't have been in the oven with the others."""
    oven = record.oven
    begun = oven.in_.date() if oven is not None and oven.in_ is not None else date.max
    return tuple(
        i
        for i, point in enumerate(record.points)
        if point.oven is not None
        or (point.compacted is not None and (point.compacted.on or date.min) > begun)
    )


def mold_id(record: MoistureDensity, point: Point) -> str | None:
    """Return the mold of a point: its own, else the test's."""
    return point.mold or (record.equipment.mold if record.equipment else None)


def volume_of(
    record: MoistureDensity, point: Point, inputs: Inputs, method: Method | None
) -> float | None:
    """
    Return the volume of a point's mold: calibrated, stated, or else nominal. [m³]

    A flag says where the nominal volume was used.
    """
    id = mold_id(record, point)
    facts = None
    if id is not None:
        facts = inputs.get(MoldFacts, id, compacted_on(record, point))
    if facts is not None and facts.volume_m3 is not None:
        return facts.volume_m3
    if facts is not None:
        return method.mold_volume_m3 if method is not None else None
    if record.mold_volume is not None and record.units.volume is not None:
        return to_si(record.mold_volume, record.units.volume)
    return None


def wet_soil_of(record: MoistureDensity, point: Point) -> float | None:
    """Return the mass of moist soil in the mold. [kg]"""
    mold = point.mold_mass if point.mold_mass is not None else record.mold_mass
    whole, unit = point.mold_and_wet_soil, record.units.compacted
    if whole is None or mold is None or unit is None or whole <= mold:
        return None
    return to_si(whole - mold, unit)


def densities(
    record: MoistureDensity,
    point: Point,
    water: float | None,
    soil: float | None,
    volume: float | None,
) -> tuple[float | None, float | None]:
    """Return the wet and the dry density of a point. [kg/m³]"""
    unit = record.units.density
    if point.dry_density is not None and unit is not None:
        dry = to_si(point.dry_density, unit)
        return (None if water is None else dry * (1 + water / 100)), dry
    wet: float | None = None
    if point.wet_density is not None and unit is not None:
        wet = to_si(point.wet_density, unit)
    elif soil is not None and volume is not None:
        wet = phase.wet_density(soil, volume)
    if wet is None or water is None:
        return wet, None
    return wet, phase.dry_density(wet, water)


def point_values(
    record: MoistureDensity,
    index: int,
    inputs: Inputs,
    method: Method | None,
    solids: Solids | None,
) -> PointValues:
    """Compute one point."""
    point = record.points[index]
    masses = [m for m in map(possible_masses, point.all_containers) if m is not None]
    waters = tuple(
        phase.water_content(float(empty), float(wet), float(dry))
        for empty, wet, dry in masses
    )
    water = fsum(waters) / len(waters) if waters else None
    if water is None and point.water_content is not None:
        water = float(point.water_content)
    soil = wet_soil_of(record, point)
    volume = volume_of(record, point, inputs, method)
    wet, dry = densities(record, point, water, soil, volume)
    full = air = None
    if dry is not None and water is not None and solids is not None:
        gravity, density = solids
        if dry < gravity * density:  # denser than its solids: flagged
            full = phase.saturation(dry, water, gravity, density)
        air = phase.air_voids(dry, water, gravity, density)
    unit = record.units.moisture
    return PointValues(
        number=index + 1,
        rejected=point.rejected is not None,
        container_water_contents=waters,
        water_content=water,
        wet_density=wet,
        dry_density=dry,
        saturation=full,
        air_voids=air,
        wet_soil=soil,
        volume=volume,
        dry_soil=min((to_si(d - e, unit) for e, _, d in masses), default=None)
        if unit
        else None,
        moist_specimen=min((to_si(w - e, unit) for e, w, _ in masses), default=None)
        if unit
        else None,
        transcribed=tuple(
            name
            for name in ("wet_density", "dry_density", "water_content")
            if getattr(point, name) is not None
        ),
    )
