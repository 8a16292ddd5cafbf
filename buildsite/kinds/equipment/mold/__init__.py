"""A mold, its calibrations, and the volume in force on a day."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING, Any, Literal

from buildsite.kinds.answers import MoldFacts
from buildsite.kinds.equipment.calibrations import (
    Amiss,
    Calibration,
    OutOfUse,
    calibration_rows,
    in_force,
    out_of_use,
)
from buildsite.kinds.equipment.mold.blank import BLANK
from buildsite.kinds.equipment.mold.checks import RULES, changes
from buildsite.kinds.equipment.mold.volumes import Volume, cubic_centimetres
from buildsite.kinds.kind import Case, Inputs, Kind, Ref, Result, asks_nothing
from buildsite.kinds.sheet import Cell, Column, Note, Plot, Sheet, Table
from buildsite.record.flags import Flag
from buildsite.record.parts import WeighedWith
from buildsite.record.reading import Id, Mass, Model, Positive, Reading, Remarks, Text
from buildsite.record.units import LengthUnit, MassUnit, VolumeUnit, to_si
from buildsite.soil.volume import volume_by_dimensions, volume_by_water
from buildsite.soil.water import COLDEST, WARMEST, water_density
from buildsite.standards.tables import Method

if TYPE_CHECKING:
    from buildsite.kinds.equipment.tolerances import MoldMeasures


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


def measures(mold: Mold, found: Volume) -> "MoldMeasures":
    """Take what standards set limits to."""
    from buildsite.kinds.equipment.tolerances import MoldMeasures

    return MoldMeasures(mold.nominal, found.used, found.diameter, found.height)


def amiss(
    case: Case[Mold, tuple[Volume, ...]], i: int, method: Method | None
) -> Iterator[Amiss]:
    """What a calibration found wrong: another volume than before, or too much wear."""
    if method is None:
        for now, was in changes(case, i):
            yield Amiss(now, was)
        return
    from buildsite.kinds.equipment.tolerances import mold_held

    for held in mold_held(measures(case.record, case.values[i]), method):
        if held.verdict == "outside":
            yield Amiss(f"{held.what} {held.found}", held.words)


def calibrations_table(case: Case[Mold, tuple[Volume, ...]]) -> Table:
    """Every calibration with the volumes it found."""
    heads = (
        Column("Volume used", "cm³", number=True, key="volume_cm3"),
        Column("How"),
        Column("By water", "cm³", number=True, key="volume_by_water_cm3"),
        Column("By dimensions", "cm³", number=True, key="volume_by_dimensions_cm3"),
        Column("Apart", "%", number=True, key="volumes_apart_percent"),
        Column("Weighed with"),
    )
    found = [
        tuple(
            Cell(text)
            for text in (
                cubic_centimetres(volume.used),
                volume.how,
                cubic_centimetres(volume.by_water),
                cubic_centimetres(volume.by_dimensions),
                "—" if volume.apart is None else f"{volume.apart:.2f}",
                one.weighed_with or "—",
            )
        )
        for one, volume in zip(case.record.calibrations, case.values, strict=True)
    ]
    columns, rows = calibration_rows(case.record.calibrations, heads, found)
    return Table("calibrations", "Calibrations", columns, rows, role="more")


def sheet(case: Case[Mold, tuple[Volume, ...]], flags: tuple[Flag, ...]) -> Sheet:
    """Show the volumes that were found: over time, one by one, against limits."""
    from buildsite.kinds.equipment.mold.figure import volumes_figure
    from buildsite.kinds.equipment.tolerances import limits_table, methods, mold_held

    mold = case.record
    blocks: list[Plot | Table | Note | None] = [
        volumes_figure(mold.id, case.values),
        calibrations_table(case),
    ]
    last = in_force(mold.calibrations, None)
    if last is not None:
        found = measures(mold, case.values[last])
        blocks.append(limits_table(partial(mold_held, found), methods()))
    if mold.remarks:
        blocks.append(Note("remarks", "Remarks", (mold.remarks,)))
    gone = out_of_use(mold)
    about = f"{mold.nominal}, out of use {gone}" if gone else mold.nominal
    shown = tuple(block for block in blocks if block is not None)
    return Sheet(f"Mold {mold.id}", about, shown)


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
    wrong=amiss,
)
