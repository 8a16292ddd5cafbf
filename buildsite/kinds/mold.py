"""A mold, its calibrations, and the volume in force on a day."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Literal

from buildsite.kinds.answers import MoldFacts
from buildsite.kinds.calibrated import in_force
from buildsite.kinds.kind import (
    Ask,
    Blank,
    Case,
    Inputs,
    Kind,
    Ref,
    Result,
    asks_nothing,
)
from buildsite.kinds.mold_checks import RULES, cubic_centimetres
from buildsite.kinds.sheet import Cell, Column, Row, Sheet, Table
from buildsite.record.flags import Flag
from buildsite.record.parts import WeighedWith
from buildsite.record.reading import (
    Code,
    Day,
    Id,
    Mass,
    Model,
    Positive,
    Reading,
    Remarks,
    Text,
)
from buildsite.record.units import LengthUnit, MassUnit, VolumeUnit, to_si
from buildsite.soil.volume import volume_by_dimensions, volume_by_water
from buildsite.soil.water import COLDEST, WARMEST, water_density
from buildsite.standards.tables import Method


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


class MoldCalibration(Model):
    on: Day
    by: Code | None = None
    next_due: Day | None = None
    state: Literal["as found", "as left"] | None = None
    weighed_with: WeighedWith | None = None
    mass: Mass | None = None
    water: WaterFilling | None = None
    dimensions: Dimensions | None = None
    volume: Positive | None = None
    certificate: Text | None = None


class Mold(Model):
    format: Literal["1"] = "1"
    kind: Literal["mold"]
    id: Id
    nominal: Text
    units: MoldUnits = MoldUnits()
    calibrations: tuple[MoldCalibration, ...] = ()
    remarks: Remarks | None = None


@dataclass(frozen=True, slots=True)
class Volume:
    """What one calibration found. All volumes [m³], lengths [m], mass [kg]."""

    on: date
    by_water: float | None
    by_dimensions: float | None
    stated: float | None
    diameter: float | None
    height: float | None
    mass: float | None

    @property
    def used(self) -> float | None:
        """The certificate's volume, else by water, else by dimensions."""
        for volume in (self.stated, self.by_water, self.by_dimensions):
            if volume is not None:
                return volume
        return None

    @property
    def how(self) -> str:
        """Where the volume used comes from."""
        if self.stated is not None:
            return "as certified"
        if self.by_water is not None:
            return "by water"
        return "by dimensions" if self.by_dimensions is not None else "nominal"


def mean(readings: tuple[Decimal, ...]) -> Decimal:
    """Arithmetic mean of readings that are not none."""
    return sum(readings, Decimal(0)) / len(readings)


def by_water(filling: WaterFilling | None, unit: str) -> float | None:
    """Volume from a water filling, where its readings allow one. [m³]"""
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
    """Work out one calibration from its readings."""
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


def compute(record: Mold, inputs: Inputs, method: Method | None) -> tuple[Volume, ...]:
    """Work out every calibration, in the order written."""
    return tuple(measured(one, record.units) for one in record.calibrations)


def answers(case: Case[Mold, tuple[Volume, ...]], ref: Ref) -> MoldFacts | None:
    """Tell a test the volume in force on its day."""
    if ref.asks is not MoldFacts:
        return None
    mold = case.record
    index = in_force(mold.calibrations, ref.on)
    one = None if index is None else mold.calibrations[index]
    found = None if index is None else case.values[index]
    return MoldFacts(
        id=mold.id,
        nominal=mold.nominal,
        calibrated_on=one.on if one else None,
        next_due=one.next_due if one else None,
        state=(one.state or "") if one else "",
        certificate=(one.certificate or "") if one else "",
        weighed_with=(one.weighed_with or "") if one else "",
        mass_kg=found.mass if found else None,
        volume_m3=found.used if found else None,
        how=found.how if found else "nominal",
        volume_by_water_m3=found.by_water if found else None,
        volume_by_dimensions_m3=found.by_dimensions if found else None,
        diameter_m=found.diameter if found else None,
        height_m=found.height if found else None,
    )


def results(case: Case[Mold, tuple[Volume, ...]]) -> Mapping[str, Result]:
    """Report the volume of the latest calibration with water."""
    dated = [(one.on, i) for i, one in enumerate(case.values) if one.by_water]
    if not dated:
        return {}
    volume = case.values[max(dated)[1]].by_water
    if volume is None:
        return {}
    reported = f"{cubic_centimetres(volume)} cm3"
    return {"mold_volume": Result(volume, "m3", reported)}


def detail(case: Case[Mold, tuple[Volume, ...]]) -> Mapping[str, Any]:
    """List what each calibration found."""
    return {
        "calibrations": [
            {
                "on": one.on.isoformat(),
                "how": one.how,
                "volume_m3": one.used,
                "volume_by_water_m3": one.by_water,
                "volume_by_dimensions_m3": one.by_dimensions,
            }
            for one in case.values
        ]
    }


def sheet(case: Case[Mold, tuple[Volume, ...]], flags: tuple[Flag, ...]) -> Sheet:
    """Show every calibration with the volumes it found."""
    mold = case.record
    columns = (
        Column("Calibrated"),
        Column("By"),
        Column("State"),
        Column("Next due"),
        Column("Volume used", "cm³", number=True, key="volume_cm3"),
        Column("How"),
        Column("By water", "cm³", number=True, key="volume_by_water_cm3"),
        Column("By dimensions", "cm³", number=True, key="volume_by_dimensions_cm3"),
        Column("Weighed with"),
        Column("Certificate"),
    )
    rows = tuple(
        Row(
            tuple(
                Cell(text)
                for text in (
                    one.on.isoformat(),
                    one.by or "—",
                    one.state or "—",
                    one.next_due.isoformat() if one.next_due else "—",
                    cubic_centimetres(found.used),
                    found.how,
                    cubic_centimetres(found.by_water),
                    cubic_centimetres(found.by_dimensions),
                    one.weighed_with or "—",
                    one.certificate or "—",
                )
            )
        )
        for one, found in zip(mold.calibrations, case.values, strict=True)
    )
    table = Table("calibrations", "Calibrations", columns, rows, role="more")
    return Sheet(f"Mold {mold.id}", mold.nominal, (table,))


BLANK = Blank(
    """format: 1
kind: mold
id: {id}
nominal: {nominal}
units: {{mass: g, length: mm, volume: cm3}}
calibrations:
  - {{on: {on}, by: , next_due: , state: as found, weighed_with: mold, mass: ,
     # diameters: half of them at the top, then half at the bottom
     water: {{empty_with_plates: , full_with_plates: , temperature_c: }},
     dimensions: {{diameters: [], heights: []}}}}
""",
    prefix="M",
    asks=(
        Ask("nominal", "Nominal size", "4 in"),
        Ask("on", "Calibrated on (YYYY-MM-DD)"),
    ),
)

KIND: Kind[Mold, tuple[Volume, ...]] = Kind(
    name="mold",
    title="Mold",
    group="equipment",
    model=Mold,
    needs=asks_nothing,
    answers=answers,
    compute=compute,
    results=results,
    detail=detail,
    sheet=sheet,
    blank=BLANK,
    rules=RULES,
)
