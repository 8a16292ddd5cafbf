"""The record of a mold, and the volumes of its calibrations."""

from datetime import date
from decimal import Decimal
from typing import Literal

from buildsite.kinds.equipment.calibrations import Calibration, OutOfUse
from buildsite.record.parts import WeighedWith
from buildsite.record.reading import Id, Mass, Model, Positive, Reading, Remarks, Text
from buildsite.record.units import LengthUnit, MassUnit, VolumeUnit, to_si
from buildsite.soil.rounding import round_half_even
from buildsite.soil.volume import volume_by_dimensions, volume_by_water
from buildsite.soil.water import COLDEST, WARMEST, water_density
from buildsite.values import dataclass


class MoldUnits(Model):
    mass: MassUnit = "g"
    length: LengthUnit = "mm"
    volume: VolumeUnit = "cm3"


class WaterFilling(Model):
    """The mold with its plates, empty and full of water at a temperature."""

    empty_with_plates: Mass
    full_with_plates: Mass
    temperature_c: Reading


class Dimensions(Model):
    """Inside diameters (half of them at the top, then half at the bottom), heights."""

    diameters: tuple[Positive, ...]
    heights: tuple[Positive, ...]


class MoldCalibration(Calibration):
    weighed_with: WeighedWith | None = None
    mass: Mass | None = None
    water: WaterFilling | None = None
    dimensions: Dimensions | None = None
    volume: Positive | None = None


class Mold(Model):
    format: Literal["1"] = "1"
    kind: Literal["mold"]
    id: Id
    nominal: Text
    units: MoldUnits = MoldUnits()
    calibrations: tuple[MoldCalibration, ...] = ()
    out_of_use: OutOfUse | None = None
    remarks: Remarks | None = None


@dataclass(frozen=True)
class Volume:
    """Values of one calibration: volumes [m³], lengths [m], mass [kg]."""

    on: date
    by_water: float | None
    by_dimensions: float | None
    stated: float | None
    diameter: float | None
    height: float | None
    mass: float | None

    @property
    def used(self) -> float | None:
        """Return the certified volume, else by water, else by dimensions."""
        for volume in (self.stated, self.by_water, self.by_dimensions):
            if volume is not None:
                return volume
        return None

    @property
    def difference_percent(self) -> float | None:
        """Return the difference of the two volumes, of that by water. [%]"""
        if self.by_water is None or self.by_dimensions is None:
            return None
        return abs(self.by_water - self.by_dimensions) / self.by_water * 100

    @property
    def how(self) -> str:
        """Return how the volume used was determined."""
        if self.stated is not None:
            return "as certified"
        if self.by_water is not None:
            return "by water"
        return "by dimensions" if self.by_dimensions is not None else "nominal"


def cubic_centimetres(volume: float | None) -> str:
    """Return a volume in cm³, to one decimal."""
    return "—" if volume is None else f"{round_half_even(volume * 1e6, 1)}"


def mean(readings: tuple[Decimal, ...]) -> Decimal:
    """Return the arithmetic mean of at least one reading."""
    return sum(readings, Decimal(0)) / len(readings)


def by_water(filling: WaterFilling | None, unit: str) -> float | None:
    """Return the volume by a water filling, if its readings are possible. [m³]"""
    if filling is None or filling.full_with_plates <= filling.empty_with_plates:
        return None
    temperature = float(filling.temperature_c)
    if not COLDEST <= temperature <= WARMEST:
        return None
    return volume_by_water(
        to_si(filling.empty_with_plates, unit),
        to_si(filling.full_with_plates, unit),
        water_density(temperature),
    )


def measured(one: MoldCalibration, units: MoldUnits) -> Volume:
    """Compute one calibration from its readings."""
    diameter = height = linear = None
    if one.dimensions is not None and one.dimensions.diameters:
        across = one.dimensions.diameters
        half = len(across) // 2
        top = mean(across[:half] or across)
        bottom = mean(across[half:])
        diameter = to_si((top + bottom) / 2, units.length)
        if one.dimensions.heights:
            height = to_si(mean(one.dimensions.heights), units.length)
            linear = volume_by_dimensions(
                to_si(top, units.length), to_si(bottom, units.length), height
            )
    return Volume(
        on=one.on,
        by_water=by_water(one.water, units.mass),
        by_dimensions=linear,
        stated=None if one.volume is None else to_si(one.volume, units.volume),
        diameter=diameter,
        height=height,
        mass=None if one.mass is None else to_si(one.mass, units.mass),
    )
