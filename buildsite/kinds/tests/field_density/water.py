"""The water content of a field test: of the whole soil, of its fines, and by whom."""

from collections.abc import Sequence
from math import fsum
from typing import Any

from buildsite.kinds.answers import LaboratoryFacts, OversizeFact
from buildsite.kinds.kind import Inputs
from buildsite.kinds.tests.field_density.model import FieldDensity
from buildsite.kinds.tests.field_density.parts import Specimen
from buildsite.kinds.tests.shared.containers import possible_masses
from buildsite.record.units import to_si
from buildsite.soil import field_density, oversize, phase
from buildsite.values import dataclass

FIELD_DRIED = ("microwave", "stove", "gas-pressure")
"""Ways in the field that an oven's water content may have to confirm."""

ASSUMED_COARSE_WATER = 2.0
"""Water content of coarse particles where not measured [%]: the figure of North
Dakota's edition of AASHTO T 224 (2011). The report states the assumption."""

OVEN_CHECK = "oven_check"
"""The laboratory's demand of an oven's water content after one of the field."""


@dataclass(frozen=True)
class InContainer:
    """Values of one container; None where readings are missing."""

    number: int
    rejected: bool
    water_content: float | None = None  # [%]
    moist_soil: float | None = None  # [kg]


@dataclass(frozen=True)
class GaugeWater:
    """Means of a gauge's readings [kg/m³], its offset [points], and what follows."""

    wet_density: float
    water: float  # with an offset in mass of water
    points: float  # an offset in percent
    water_content: float  # [%]


@dataclass(frozen=True)
class Water:
    """
    Water contents of a field test [%].

    `field` is as found in the field, `oven` that of the oven's check, which counts
    where there is one. `total` is of the whole soil, `fine` of what passes the sieve.
    """

    field: float | None
    oven: float | None
    fraction: str  # total | fine
    total: float | None
    fine: float | None
    containers: tuple[InContainer, ...] = ()
    checked: tuple[InContainer, ...] = ()
    gauge: GaugeWater | None = None

    @property
    def counts(self) -> float | None:
        """The one that counts: the oven's, where there is one."""
        return self.oven if self.oven is not None else self.field

    @property
    def reported(self) -> float | None:
        """That of the whole soil, else as measured."""
        return self.total if self.total is not None else self.counts


def in_container(number: int, one: Specimen, unit: str | None) -> InContainer:
    """Compute one container."""
    masses, rejected = possible_masses(one), one.rejected is not None
    moist = None
    if one.container_mass is not None and one.container_and_wet is not None and unit:
        moist = to_si(one.container_and_wet - one.container_mass, unit)
    if masses is None:
        return InContainer(number, rejected, None, moist)
    empty, wet, dry = masses
    water = phase.water_content(float(empty), float(wet), float(dry))
    return InContainer(number, rejected, water, moist)


def in_containers(
    many: Sequence[Specimen], unit: str | None
) -> tuple[InContainer, ...]:
    """Compute every container."""
    return tuple(in_container(i, one, unit) for i, one in enumerate(many, 1))


def waters(found: Sequence[InContainer]) -> tuple[float, ...]:
    """Return the water contents of the containers that count. [%]"""
    return tuple(
        one.water_content
        for one in found
        if one.water_content is not None and not one.rejected
    )


def mean(values: Sequence[float]) -> float | None:
    """Return the mean; None of nothing."""
    return fsum(values) / len(values) if values else None


def stated_water(record: FieldDensity) -> float | None:
    """Return the water content as stated, by dry mass. [%]"""
    stated = record.water_content
    if stated is None:
        return None
    if record.water_basis == "wet":
        able = stated < 100
        return field_density.water_on_dry_basis(float(stated)) if able else None
    return float(stated)


def gauge_readings(record: FieldDensity) -> Any:
    """Return the readings of a gauge that count."""
    every = record.gauge.readings if record.gauge is not None else ()
    return [one for one in every if one.rejected is None]


def gauge_wet(record: FieldDensity) -> float | None:
    """Return the mean wet density of a gauge's readings. [kg/m³]"""
    unit = record.units.density
    read = [one.wet_density for one in gauge_readings(record) if one.wet_density]
    return mean([to_si(one, unit) for one in read]) if unit is not None else None


def gauge_water(record: FieldDensity) -> GaugeWater | None:
    """
    Return the water content by a gauge, its offset applied once.

    None where it leaves no soil, or less than no water.
    """
    unit, wet = record.units.density, gauge_wet(record)
    read = [one.water for one in gauge_readings(record) if one.water is not None]
    if unit is None or wet is None or not read:
        return None
    water = mean([to_si(one, unit) for one in read]) or 0.0
    offset = record.gauge.offset if record.gauge is not None else None
    points = 0.0
    if offset is not None and offset.value and offset.applied != "in-gauge":
        if offset.unit == "%":
            points = float(offset.value)
        else:
            water += to_si(offset.value, offset.unit or unit)
    if not 0 <= water < wet:
        return None
    found = 100 * water / field_density.gauge_dry_density(wet, water) + points
    return GaugeWater(wet, water, points, found) if found >= 0 else None


def is_by_gauge(record: FieldDensity) -> bool:
    """Whether the water content is a gauge's."""
    if record.water_content_by is not None:
        return record.water_content_by == "gauge"
    own = record.containers or record.water_content is not None
    return record.apparatus == "nuclear-gauge" and not own


def way_of(record: FieldDensity) -> str:
    """Return how the water content was found: the oven, where nothing is stated."""
    if record.water_content_by is not None:
        return record.water_content_by
    return "gauge" if is_by_gauge(record) else "oven"


@dataclass(frozen=True)
class Split:
    """
    The coarse fraction of the field's soil, by dry mass [%], and its water [%].

    `percent` is None where the split can't be computed.
    """

    sieve: str
    percent: float | None
    water: float
    water_source: str  # measured | reference | assumed


def coarse_water(
    record: FieldDensity, of_reference: OversizeFact | None
) -> tuple[float, str]:
    """Return the water content of the coarse particles [%], and whence."""
    coarse = record.coarse
    if coarse is not None and coarse.water_retained is not None:
        return float(coarse.water_retained), "measured"
    if of_reference is not None and of_reference.water_content is not None:
        return float(of_reference.water_content), "reference"
    return ASSUMED_COARSE_WATER, "assumed"


def split_of(
    record: FieldDensity, measured: float | None, of_reference: OversizeFact | None
) -> Split | None:
    """Return the coarse fraction of the field's soil; `measured`: its water content."""
    coarse = record.coarse
    if coarse is None:
        return None
    water, source = coarse_water(record, of_reference)
    sieve = coarse.sieve or ""
    if coarse.percent_retained is not None:
        return Split(sieve, float(coarse.percent_retained), water, source)
    retained, passing = coarse.wet_retained, coarse.wet_passing
    if retained is None or passing is None or retained < 0 or passing <= 0:
        return Split(sieve, None, water, source)
    fine = float(coarse.water_passing) if coarse.water_passing is not None else None
    if fine is None and record.water_fraction == "fine":
        fine = measured
    if fine is not None:
        share = field_density.coarse_percent(
            float(retained), float(passing), water, fine
        )
        return Split(sieve, share, water, source)
    if measured is None:
        return Split(sieve, None, water, source)
    dry = float(retained + passing) / (1 + measured / 100)
    share = 100 * float(retained) / (1 + water / 100) / dry
    return Split(sieve, share if share < 100 else None, water, source)


def of_fractions(
    record: FieldDensity, counts: float | None, split: Split | None
) -> tuple[float | None, float | None]:
    """Return the water contents of the whole soil and of its fines. [%]"""
    coarse = record.coarse
    passing = coarse.water_passing if coarse is not None else None
    share = split.percent if split is not None else None
    own = float(passing) if passing is not None else None
    if record.water_fraction == "fine" or (counts is None and own is not None):
        fine = counts if counts is not None else own
        if split is None or share is None or fine is None:
            return None, fine
        return oversize.total_water_content(fine, share, split.water), fine
    if own is not None:
        return counts, own
    if split is None:
        return counts, None
    if counts is None or share is None or share >= 100:
        return counts, None
    left = counts - split.water * share / 100
    return counts, left / (1 - share / 100) if left >= 0 else None


def water_of(
    record: FieldDensity, of_reference: OversizeFact | None
) -> tuple[Water, Split | None]:
    """Compute the water contents and the split, which need one another."""
    unit = record.units.moisture
    found = in_containers(record.containers, unit)
    in_field, by_gauge = mean(waters(found)), None
    if in_field is None and is_by_gauge(record):
        by_gauge = gauge_water(record)
        in_field = by_gauge.water_content if by_gauge is not None else None
    elif in_field is None:
        in_field = stated_water(record)
    check = record.oven_check
    checked = in_containers(check.containers, unit) if check is not None else ()
    oven = mean(waters(checked))
    if oven is None and check is not None and check.water_content is not None:
        oven = float(check.water_content)
    counts = oven if oven is not None else in_field
    split = split_of(record, counts, of_reference)
    total, fine = of_fractions(record, counts, split)
    fraction = record.water_fraction or "total"
    made = Water(in_field, oven, fraction, total, fine, found, checked, by_gauge)
    return made, split


def is_preliminary(
    record: FieldDensity, inputs: Inputs, asked: bool, water: Water
) -> bool:
    """Whether a field-dried water content still waits for the oven's."""
    lab = inputs.get(LaboratoryFacts, "lab")
    demanded = asked or (lab is not None and OVEN_CHECK in lab.demands)
    return way_of(record) in FIELD_DRIED and demanded and water.oven is None
