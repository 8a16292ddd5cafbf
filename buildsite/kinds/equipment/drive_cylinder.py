"""A drive cylinder: its mass, and its volume as measured or certified."""

from collections.abc import Iterator
from math import fsum
from typing import Annotated, Any, Literal

from pydantic import Field

from buildsite.kinds.blank import (
    Ask,
    Blank,
    Measured,
    answered,
    numbers,
    unanswered,
    usual_units,
)
from buildsite.kinds.equipment.calibrations import (
    CERTIFICATE,
    NEXT_DUE,
    ON,
    Calibration,
    Nonconformity,
    OutOfUse,
    calibration_rows,
    equipment_kind,
    found_later,
    in_force,
    out_of_use,
)
from buildsite.kinds.equipment.found_changed import (
    FOUND_CHANGED,
    Figure,
    change_doubts,
    changed,
)
from buildsite.kinds.equipment.mold.volumes import cubic_centimetres
from buildsite.kinds.field_answers import DriveCylinderFacts
from buildsite.kinds.kind import Case, Inputs, Ref
from buildsite.kinds.reporting import to_places
from buildsite.kinds.sheet import Cell, Column, Sheet, Table, fact_table
from buildsite.record.flags import Doubt, Flag, note, warning
from buildsite.record.reading import Id, Mass, Model, Positive, Remarks, Text
from buildsite.record.units import LengthUnit, MassUnit, VolumeUnit, to_si
from buildsite.soil.volume import volume_by_dimensions
from buildsite.standards.method import Method
from buildsite.standards.tables import limit
from buildsite.values import dataclass


class CylinderUnits(Model):
    mass: MassUnit = "g"
    length: LengthUnit = "mm"
    volume: VolumeUnit = "cm3"


class CylinderDimensions(Model):
    """Inside diameters and heights, several of each."""

    diameters: tuple[Positive, ...] = ()
    heights: tuple[Positive, ...] = ()


class CylinderCalibration(Calibration):
    mass: Annotated[Mass | None, Field(description="Empty, clean and dry.")] = None
    dimensions: CylinderDimensions | None = None
    volume: Annotated[Positive | None, Field(description="As certified.")] = None


class DriveCylinder(Model):
    format: Literal["1"] = "1"
    kind: Literal["drive-cylinder"]
    id: Id
    name: Text | None = None
    units: CylinderUnits = CylinderUnits()
    calibrations: tuple[CylinderCalibration, ...] = ()
    out_of_use: OutOfUse | None = None
    remarks: Remarks | None = None


@dataclass(frozen=True)
class Measures:
    """Values of one calibration: mass [kg], volumes [m³], lengths [m]."""

    mass: float | None
    stated: float | None
    by_dimensions: float | None
    diameter: float | None
    height: float | None

    @property
    def volume(self) -> float | None:
        """The certified volume, else that by dimensions. [m³]"""
        return self.by_dimensions if self.stated is None else self.stated

    @property
    def how(self) -> str:
        """How the volume was determined."""
        if self.stated is not None:
            return "as certified"
        return "—" if self.by_dimensions is None else "by dimensions"


def mean_length(readings: tuple[Any, ...], unit: str) -> float | None:
    """Return the mean of some lengths; None of none. [m]"""
    metres = [to_si(one, unit) for one in readings]
    return fsum(metres) / len(metres) if metres else None


def measured(one: CylinderCalibration, units: CylinderUnits) -> Measures:
    """Compute one calibration from its readings."""
    found = one.dimensions
    across = mean_length(found.diameters, units.length) if found else None
    height = mean_length(found.heights, units.length) if found else None
    whole = across is not None and height is not None
    return Measures(
        mass=None if one.mass is None else to_si(one.mass, units.mass),
        stated=None if one.volume is None else to_si(one.volume, units.volume),
        by_dimensions=volume_by_dimensions(across, across, height)
        if whole and across is not None and height is not None
        else None,
        diameter=across,
        height=height,
    )


Filled = Case[DriveCylinder, tuple[Measures, ...]]


def compute(
    record: DriveCylinder, inputs: Inputs, method: Method | None
) -> tuple[Measures, ...]:
    """Compute every calibration, in the order written."""
    return tuple(measured(one, record.units) for one in record.calibrations)


def answers(case: Filled, ref: Ref) -> DriveCylinderFacts | None:
    """Return the facts of a drive cylinder on the date of a test."""
    if ref.asks is not DriveCylinderFacts:
        return None
    record = case.record
    index = in_force(record.calibrations, ref.on)
    one = None if index is None else record.calibrations[index]
    found = None if index is None else case.values[index]
    return DriveCylinderFacts(
        id=record.id,
        name=record.name or "",
        calibrated_on=one.on if one else None,
        next_due=one.next_due if one else None,
        mass_kg=found.mass if found else None,
        volume_m3=found.volume if found else None,
        diameter_m=found.diameter if found else None,
        height_m=found.height if found else None,
        wrong_since=found_later(one, ref.on),
    )


def volumes(case: Filled) -> Figure:
    """Return the volumes, to see whether one changed."""
    values = [one.volume for one in case.values]
    return Figure("volume", values, "cm3", 1, limit("cylinder_changed"))


def faults(case: Filled, i: int, method: Method | None) -> Iterator[Nonconformity]:
    """Return the fault of a cylinder whose volume changed, for any method."""
    if method is None:
        yield from changed(case.record.calibrations, volumes(case), i)


@warning(*FOUND_CHANGED)
def found_changed(case: Filled) -> Iterator[Doubt]:
    """The volume of a cylinder differs from that of its calibration before."""
    record = case.record
    yield from change_doubts(
        record.id, record.calibrations, volumes(case), ("calibrations",)
    )


@note("calibration-without-volume", "common practice")
def calibration_without_volume(case: Filled) -> Iterator[Doubt]:
    """A calibration has no volume."""
    for i, one in enumerate(case.values):
        if one.volume is None:
            yield Doubt(
                field=("calibrations", i),
                found=f"no volume on {case.record.calibrations[i].on}",
                expected="dimensions, or the certificate's volume",
                mend="enter the diameters and heights, or the certified volume",
            )


def sheet(case: Filled, flags: tuple[Flag, ...]) -> Sheet:
    """Return the sheet of a drive cylinder and its calibrations."""
    record = case.record
    cells = []
    for one, found in zip(record.calibrations, case.values, strict=True):
        lengths = [
            to_places(None if each is None else each * 1000, 2)
            for each in (found.diameter, found.height)
        ]
        texts = (
            str(one.mass or "—"),
            *lengths,
            cubic_centimetres(found.volume),
            found.how,
        )
        cells.append(tuple(map(Cell, texts)))
    heads, rows = calibration_rows(
        record.calibrations,
        (
            Column("Empty", record.units.mass, number=True),
            Column("Diameter", "mm", number=True),
            Column("Height", "mm", number=True),
            Column("Volume used", "cm³", number=True),
            Column("Determined"),
        ),
        cells,
    )
    gone = out_of_use(record) or ""
    facts = [("Out of service", gone), ("Remarks", record.remarks or "")]
    about = fact_table("about", "About", facts)
    table = Table("calibrations", "Calibrations", heads, rows, role="more")
    blocks = (about, table) if about.rows else (table,)
    return Sheet(f"Drive cylinder {record.id}", record.name or "", blocks)


ACROSS = "diameters"

MEASURED = (
    Measured(Ask("mass", "Mass empty, in {mass}"), ("mass",), steady=True),
    Measured(
        Ask("volume", "Certified volume in {volume} (Enter: measured here)"),
        ("volume",),
        steady=True,
    ),
    Measured(
        Ask(
            ACROSS,
            "Inside diameters in {length}, separated by blanks (Enter: not measured)",
            when=unanswered("volume"),
            split=numbers,
        ),
        ("dimensions", ACROSS),
    ),
    Measured(
        Ask(
            "heights",
            "Heights in {length}, separated by blanks",
            when=answered(ACROSS),
            split=numbers,
        ),
        ("dimensions", "heights"),
    ),
)

BLANK = Blank(
    """format: 1
kind: drive-cylinder
id: {id}
name:
units: {{mass: {mass_unit}, length: {length_unit}, volume: {volume_unit}}}
calibrations:
  - {{on: {on}, by: , next_due: {next_due}, state: as found,
     mass: {mass}, volume: {volume}, certificate: {certificate},
     dimensions: {{diameters: {diameters}, heights: {heights}}}}}
""",
    prefix="DC",
    asks=(ON, NEXT_DUE, *(one.ask for one in MEASURED), CERTIFICATE),
    places=("mass_unit", "length_unit", "volume_unit"),
    usual=usual_units("mass", "length", "volume"),
)

KIND = equipment_kind(
    "drive-cylinder",
    DriveCylinder,
    BLANK,
    title="Drive cylinder",
    answers=answers,
    compute=compute,
    sheet=sheet,
    rules=(
        calibration_without_volume,
        found_changed,
    ),
    wrong=faults,
    measured=MEASURED,
)
