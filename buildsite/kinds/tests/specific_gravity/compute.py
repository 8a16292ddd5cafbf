"""Specific gravities from the masses of pycnometers, and their mean. SI throughout."""

from decimal import Decimal
from math import fsum
from typing import TypeAlias

from buildsite.kinds.answers import OversizeFact, PycnometerFacts
from buildsite.kinds.kind import Case, Inputs
from buildsite.kinds.sieves import same_sieve
from buildsite.kinds.tests.specific_gravity.model import (
    Determination,
    SpecificGravityTest,
)
from buildsite.record.units import to_si
from buildsite.soil.coarse import mean_specific_gravity
from buildsite.soil.oversize import oven_dry_bulk
from buildsite.soil.solids import (
    apparent_of_bulk,
    displaced,
    filled_mass,
    specific_gravity,
    temperature_factor,
)
from buildsite.soil.volume import volume_by_water
from buildsite.soil.water import COLDEST, WARMEST, water_density
from buildsite.standards.method import Method
from buildsite.values import dataclass


@dataclass(frozen=True)
class DeterminationValues:
    """Values of one determination; None where readings are missing."""

    number: int  # from 1, as on the bench sheet
    rejected: bool
    pycnometer: str
    temperature: float | None  # of the water with the soil [°C]
    dry_soil: float | None  # [kg]
    full_of_water: float | None  # at that temperature [kg]
    volume: float | None  # of the pycnometer [m³]
    calibrated: bool  # volume from the pycnometer's record, not from this one
    displaced: float | None  # water displaced by the soil [kg]
    water_density: float | None  # at that temperature [kg/m³]
    calibration_water_density: float | None  # of its own filling with water [kg/m³]
    factor: float | None  # K, to 20 °C [1]
    specific_gravity: float | None  # at 20 °C [1]
    transcribed: bool


@dataclass(frozen=True)
class CoarsePart:
    """Coarse particles: percent retained, specific gravity, its basis and source."""

    percent_retained: float
    specific_gravity: float
    basis: str
    source: str


@dataclass(frozen=True)
class Values:
    """All that was computed of one test."""

    determinations: tuple[DeterminationValues, ...]
    mean: float | None  # [1]
    spread: float | None  # greatest minus least; None of fewer than two [1]
    coarse: CoarsePart | None
    combined: float | None  # including the coarse particles [1]

    @property
    def used(self) -> tuple[DeterminationValues, ...]:
        """Determinations that count and have a value."""
        return tuple(
            one
            for one in self.determinations
            if not one.rejected and one.specific_gravity is not None
        )


Test: TypeAlias = Case[SpecificGravityTest, Values]


def pycnometer_id(record: SpecificGravityTest, one: Determination) -> str | None:
    """Return the pycnometer of a determination: its own, else the test's."""
    return one.pycnometer or (
        record.equipment.pycnometer if record.equipment is not None else None
    )


def soil_mass(one: Determination) -> Decimal | None:
    """Return the dry soil in the record's unit, weighed alone or in its container."""
    if one.dry_soil is not None:
        return one.dry_soil
    if one.container_mass is None or not one.container_and_dry:
        return None
    left = one.container_and_dry[-1] - one.container_mass
    return left if left > 0 else None


def facts_of(
    record: SpecificGravityTest, one: Determination, inputs: Inputs
) -> PycnometerFacts | None:
    """Return the pycnometer's calibration on the day of the test."""
    id = pycnometer_id(record, one)
    return inputs.get(PycnometerFacts, id, record.tested.on) if id else None


def filling_density(one: Determination) -> float | None:
    """Return the density of the water that filled a pycnometer for itself. [kg/m³]"""
    at = one.water_temperature_c
    at = one.temperature_c if at is None else at
    if at is None or not COLDEST <= at <= WARMEST:
        return None
    return water_density(float(at))


def stated_volume(one: Determination, unit: str) -> float | None:
    """Return the volume by the determination's own masses. [m³]"""
    empty, full = one.pycnometer_mass, one.pycnometer_and_water
    density = filling_density(one)
    if empty is None or full is None or density is None or full <= empty:
        return None
    return volume_by_water(to_si(empty, unit), to_si(full, unit), density)


def pycnometer_of(
    record: SpecificGravityTest, one: Determination, inputs: Inputs
) -> tuple[float | None, float | None, bool]:
    """
    Return a pycnometer's empty mass [kg], volume [m³], and whether by calibration.

    The determination's own masses come first: they were read for this test.
    """
    unit, facts = record.units.mass, facts_of(record, one, inputs)
    own = stated_volume(one, unit) if unit is not None else None
    empty = one.pycnometer_mass
    mass = to_si(empty, unit) if empty is not None and unit is not None else None
    if own is not None:
        return mass, own, False
    if facts is None:
        return mass, None, False
    # The mass of the calibration belongs to its volume.
    return facts.mass_kg, facts.volume_m3, facts.volume_m3 is not None


def determination_values(
    record: SpecificGravityTest, i: int, inputs: Inputs
) -> DeterminationValues:
    """Compute one determination, as far as its readings go."""
    one, unit = record.determinations[i], record.units.mass
    empty, volume, calibrated = pycnometer_of(record, one, inputs)
    soil, both = soil_mass(one), one.pycnometer_soil_and_water
    at = None if one.temperature_c is None else float(one.temperature_c)
    in_range = at is not None and COLDEST <= at <= WARMEST
    full = water = gravity = factor = density = None
    dry = to_si(soil, unit) if soil is not None and unit is not None else None
    if at is not None and in_range:
        factor, density = temperature_factor(at), water_density(at)
        if empty is not None and volume is not None:
            full = filled_mass(empty, volume, at)
    if full is not None and dry is not None and both is not None and unit is not None:
        water = displaced(dry, full, to_si(both, unit))
        if water > 0 and factor is not None:
            gravity = specific_gravity(dry, full, to_si(both, unit)) * factor
    taken = gravity is None and one.specific_gravity is not None
    if taken and one.specific_gravity is not None:
        gravity = float(one.specific_gravity)
    return DeterminationValues(
        number=i + 1,
        rejected=one.rejected is not None,
        pycnometer=pycnometer_id(record, one) or "",
        temperature=at,
        dry_soil=dry,
        full_of_water=full,
        volume=volume,
        calibrated=calibrated,
        displaced=water,
        water_density=density,
        calibration_water_density=None if calibrated else filling_density(one),
        factor=factor,
        specific_gravity=gravity,
        transcribed=taken,
    )


def coarse_of(record: SpecificGravityTest, inputs: Inputs) -> CoarsePart | None:
    """
    Return the coarse particles retained on the sieve, where enough is known of them.

    Their test gives the apparent specific gravity where it states the absorption, as
    water fills the pores of the finer soil in a pycnometer; else the bulk one.
    """
    stated = record.coarse
    if stated is None:
        return None
    if stated.test is None:
        if stated.percent_retained is None or stated.specific_gravity is None:
            return None
        share, value = float(stated.percent_retained), float(stated.specific_gravity)
        return CoarsePart(share, value, stated.basis or "not stated", record.id)
    fact = inputs.get(OversizeFact, stated.test)
    if fact is None or fact.bulk_specific_gravity is None:
        return None
    passed = record.processed_through
    if passed is not None and not same_sieve(fact.sieve, passed):
        return None  # soil between the two sieves would be in neither part
    bulk, basis = float(fact.bulk_specific_gravity), fact.bulk_basis or "not stated"
    if fact.absorption is not None:
        water = float(fact.absorption)
        if fact.bulk_basis == "SSD":
            bulk = oven_dry_bulk(bulk, water)
        bulk, basis = apparent_of_bulk(bulk, water), "apparent"
    return CoarsePart(float(fact.percent_retained), bulk, basis, stated.test)


def combined_gravity(fine: float | None, coarse: CoarsePart | None) -> float | None:
    """Return the specific gravity of the whole soil, by dry mass of its two parts."""
    if fine is None or coarse is None:
        return None
    share = coarse.percent_retained
    return mean_specific_gravity(
        [(share, coarse.specific_gravity), (100 - share, fine)]
    )


def compute(
    record: SpecificGravityTest, inputs: Inputs, method: Method | None
) -> Values:
    """Compute a whole test from its readings and the answers it got."""
    lines = tuple(
        determination_values(record, i, inputs)
        for i in range(len(record.determinations))
    )
    values = [
        one.specific_gravity
        for one in lines
        if one.specific_gravity is not None and not one.rejected
    ]
    mean = fsum(values) / len(values) if values else None
    coarse = coarse_of(record, inputs)
    return Values(
        determinations=lines,
        mean=mean,
        spread=max(values) - min(values) if len(values) > 1 else None,
        coarse=coarse,
        combined=combined_gravity(mean, coarse),
    )
