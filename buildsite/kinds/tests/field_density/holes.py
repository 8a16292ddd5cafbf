"""Wet density in place, by each apparatus. SI throughout."""

from decimal import Decimal

from buildsite.kinds.field_answers import (
    BalloonFacts,
    DriveCylinderFacts,
    GaugeFacts,
    SandConeFacts,
)
from buildsite.kinds.kind import Inputs
from buildsite.kinds.tests.field_density.model import FieldDensity
from buildsite.kinds.tests.field_density.water import gauge_wet
from buildsite.record.units import to_si
from buildsite.soil import field_density
from buildsite.values import dataclass

FIELD_OF = {
    "sand-cone": "sand_cone",
    "drive-cylinder": "cylinder",
    "nuclear-gauge": "gauge",
    "balloon": "balloon",
}
"""The field under `equipment` of each apparatus."""

FACTS_OF = {
    "sand-cone": SandConeFacts,
    "drive-cylinder": DriveCylinderFacts,
    "nuclear-gauge": GaugeFacts,
    "balloon": BalloonFacts,
}

FieldApparatus = SandConeFacts | DriveCylinderFacts | GaugeFacts | BalloonFacts


@dataclass(frozen=True)
class Dug:
    """
    A hole, or a specimen: its volume [m³], moist soil [kg] and wet density [kg/m³].

    `sand` is the mass of sand in the hole [kg], `sand_density` its bulk density
    [kg/m³], `stated` that the record states its calibration itself.
    """

    volume: float | None = None
    soil: float | None = None
    wet_density: float | None = None
    sand: float | None = None
    sand_density: float | None = None
    stated: bool = False
    transcribed: bool = False  # the wet density was taken over as a number


def apparatus_id(record: FieldDensity) -> str:
    """Return the id of the apparatus; blank where none is named."""
    used = record.equipment
    return (getattr(used, FIELD_OF[record.apparatus]) or "") if used is not None else ""


def apparatus_facts(record: FieldDensity, inputs: Inputs) -> FieldApparatus | None:
    """Return the facts of the apparatus on the day of the test."""
    facts = FACTS_OF[record.apparatus]
    found = inputs.get(facts, apparatus_id(record), record.tested.on)
    return found if isinstance(found, FieldApparatus) else None


def mass(value: Decimal | None, unit: str | None) -> float | None:
    """Return a mass as read. [kg]"""
    return to_si(value, unit) if value is not None and unit is not None else None


def wet_soil(record: FieldDensity) -> float | None:
    """Return the moist soil from a hole. [kg]"""
    unit = record.units.mass
    if record.wet_soil is not None:
        return mass(record.wet_soil, unit)
    full, empty = record.container_and_wet_soil, record.container_mass
    if full is None or empty is None or full <= empty:
        return None
    return mass(full - empty, unit)


def cone_mass(record: FieldDensity, facts: SandConeFacts | None) -> float | None:
    """Return the sand in cone and plate: on rough ground as measured there. [kg]"""
    unit, rough = record.units.mass, record.surface
    if rough is not None and rough.before is not None and rough.after is not None:
        return mass(rough.before - rough.after, unit)
    if facts is not None and facts.cone_mass_kg is not None:
        return facts.cone_mass_kg
    return mass(record.sand.cone, unit) if record.sand is not None else None


def sand_density(record: FieldDensity, facts: SandConeFacts | None) -> float | None:
    """Return the bulk density of the sand: of its bag, else as stated. [kg/m³]"""
    if facts is not None and facts.sand_density is not None:
        return facts.sand_density
    unit, stated = record.units.density, record.sand
    if stated is None or stated.bulk_density is None or unit is None:
        return None
    return to_si(stated.bulk_density, unit)


def by_sand(record: FieldDensity, facts: SandConeFacts | None) -> Dug:
    """Return a hole measured with sand."""
    before = mass(record.apparatus_before, record.units.mass)
    after = mass(record.apparatus_after, record.units.mass)
    cone, density = cone_mass(record, facts), sand_density(record, facts)
    soil = wet_soil(record)
    stated = facts is None and record.sand is not None
    if before is None or after is None or cone is None:
        return Dug(soil=soil, sand_density=density, stated=stated)
    sand = before - after - cone
    if density is None or sand <= 0:
        return Dug(soil=soil, sand=sand, sand_density=density, stated=stated)
    volume = field_density.sand_cone_volume(before, after, cone, density)
    wet = soil / volume if soil is not None else None
    return Dug(volume, soil, wet, sand, density, stated)


def by_balloon(record: FieldDensity) -> Dug:
    """Return a hole measured with a balloon."""
    unit, soil = record.units.volume, wet_soil(record)
    before, after = record.volume_before, record.volume_after
    if before is None or after is None or unit is None or after <= before:
        return Dug(soil=soil)
    volume = field_density.balloon_volume(to_si(before, unit), to_si(after, unit))
    return Dug(volume, soil, soil / volume if soil is not None else None)


def is_void(record: FieldDensity) -> bool:
    """Whether a specimen of a drive cylinder is not one: short, or ends disturbed."""
    pushed = record.cylinder_specimen
    return pushed is not None and (
        pushed.recovery == "short" or pushed.ends == "disturbed"
    )


def by_cylinder(record: FieldDensity, facts: DriveCylinderFacts | None) -> Dug:
    """Return a specimen of a drive cylinder."""
    own, units = record.cylinder, record.units
    volume = facts.volume_m3 if facts is not None else None
    stated = facts is None and own is not None
    if volume is None and own is not None and own.volume is not None and units.volume:
        volume = to_si(own.volume, units.volume)
    empty = mass(record.cylinder_mass, units.mass)
    if empty is None and facts is not None:
        empty = facts.mass_kg
    if empty is None and own is not None:
        empty = mass(own.mass, units.mass)
    full = mass(record.cylinder_and_wet_soil, units.mass)
    soil = full - empty if full is not None and empty is not None else None
    if soil is not None and soil <= 0:
        soil = None
    if soil is None or volume is None or is_void(record):
        return Dug(volume, soil, stated=stated)
    return Dug(volume, soil, soil / volume, stated=stated)


def transcribed(record: FieldDensity, water: float | None) -> float | None:
    """Return the wet density as transcribed, from the dry one if need be. [kg/m³]"""
    unit = record.units.density
    if unit is None:
        return None
    if record.wet_density is not None:
        return to_si(record.wet_density, unit)
    if record.dry_density is not None and water is not None:
        return to_si(record.dry_density, unit) * (1 + water / 100)
    return None


def dug(record: FieldDensity, inputs: Inputs, water: float | None) -> Dug:
    """Return hole or specimen; `water` is that of the whole soil. [%]"""
    facts = apparatus_facts(record, inputs)
    if record.apparatus == "sand-cone":
        found = by_sand(record, facts if isinstance(facts, SandConeFacts) else None)
    elif record.apparatus == "drive-cylinder":
        own = facts if isinstance(facts, DriveCylinderFacts) else None
        found = by_cylinder(record, own)
    elif record.apparatus == "balloon":
        found = by_balloon(record)
    else:
        found = Dug(wet_density=gauge_wet(record))
    if found.wet_density is None and not is_void(record):
        old = transcribed(record, water)
        return Dug(
            found.volume,
            found.soil,
            old,
            found.sand,
            found.sand_density,
            transcribed=True,
        )
    return found
