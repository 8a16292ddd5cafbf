"""Rammers, balances, ovens and sieves: their common record and sheet."""

from collections.abc import Callable, Sequence
from math import fsum
from typing import Any, Literal, TypeVar, get_args

from buildsite.kinds.answers import DeviceFacts
from buildsite.kinds.blank import Ask, Blank, Measured, usual_units
from buildsite.kinds.equipment.calibrations import (
    CERTIFICATE,
    NEXT_DUE,
    ON,
    Calibration,
    OutOfUse,
    Wrong,
    calibration_rows,
    equipment_kind,
    found_later,
    in_force,
    out_of_use,
)
from buildsite.kinds.kind import Case, Kind, Ref
from buildsite.kinds.sheet import Cell, Column, Sheet, Table, fact_table
from buildsite.record.flags import Rule
from buildsite.record.reading import Id, Mass, Model, Positive, Reading, Remarks, Text
from buildsite.record.units import DensityUnit, LengthUnit, MassUnit, to_si

D = TypeVar("D", bound="Device")


class DeviceUnits(Model, defer_build=False):
    mass: MassUnit = "g"
    length: LengthUnit = "mm"
    density: DensityUnit = "kg/m3"


class CheckMass(Model):
    """A known mass on a balance, and the reading."""

    mass: Mass
    read: Mass


class Compared(Model):
    """Maximum dry densities of one soil compacted with both rammers."""

    soil: Text | None = None
    by_hand: Positive
    mechanical: Positive


class Comparison(Model):
    """A comparison of a mechanical rammer with a hand rammer, soil by soil."""

    hand_rammer: Id | None = None
    soils: tuple[Compared, ...]

    @property
    def difference(self) -> float | None:
        """Mean difference, mechanical minus hand rammer. [%]"""
        off = [float(one.mechanical / one.by_hand - 1) * 100 for one in self.soils]
        return fsum(off) / len(off) if off else None

    @property
    def words(self) -> str:
        """Return the mean difference in words."""
        off = self.difference
        return f"maximum dry density {off:+.1f} % relative to the hand rammer"


class DeviceCalibration(Calibration, defer_build=False):
    """One calibration or check; the measurements depend on the device."""

    mass: Mass | None = None
    drop: Positive | None = None
    face_diameter: Positive | None = None
    sector_radius: Positive | None = None
    comparison: Comparison | None = None
    check_masses: tuple[CheckMass, ...] = ()
    largest_error: Reading | None = None
    set_temperature_c: Reading | None = None
    measured_temperatures_c: tuple[Reading, ...] = ()


class Device(Model):
    """The fields of every device."""

    format: Literal["1"] = "1"
    id: Id
    name: Text | None = None
    units: DeviceUnits = DeviceUnits()
    calibrations: tuple[DeviceCalibration, ...] = ()
    out_of_use: OutOfUse | None = None
    remarks: Remarks | None = None


def facts(case: Case[Any, None], ref: Ref) -> DeviceFacts | None:
    """Return the facts of a device on the date of a test."""
    if ref.asks is not DeviceFacts:
        return None
    device = case.record
    index = in_force(device.calibrations, ref.on)
    one = None if index is None else device.calibrations[index]
    units = device.units
    mass = one.mass if one is not None else None
    drop = one.drop if one is not None else None
    face = one.face_diameter if one is not None else None
    readability = getattr(device, "readability", None)
    capacity = getattr(device, "capacity", None)
    return DeviceFacts(
        id=device.id,
        kind=device.kind,
        name=device.name or "",
        calibrated_on=one.on if one else None,
        next_due=one.next_due if one else None,
        state=(one.state or "") if one else "",
        operation=getattr(device, "operation", ""),
        face=getattr(device, "face", ""),
        mass_kg=None if mass is None else to_si(mass, units.mass),
        drop_m=None if drop is None else to_si(drop, units.length),
        face_diameter_m=None if face is None else to_si(face, units.length),
        resolution_kg=None if readability is None else to_si(readability, units.mass),
        capacity_kg=None if capacity is None else to_si(capacity, units.mass),
        opening=getattr(device, "opening", ""),
        wrong_since=found_later(one, ref.on),
    )


def findings_text(one: DeviceCalibration, units: DeviceUnits) -> str:
    """Return the findings of a calibration, in its own units."""
    parts = [
        f"{label} {value} {name}"
        for label, value, name in (
            ("mass", one.mass, units.mass),
            ("drop", one.drop, units.length),
            ("face", one.face_diameter, units.length),
            ("sector radius", one.sector_radius, units.length),
            ("largest error", one.largest_error, units.mass),
            ("set to", one.set_temperature_c, "°C"),
        )
        if value is not None
    ]
    if one.measured_temperatures_c:
        read = ", ".join(str(value) for value in one.measured_temperatures_c)
        parts.append(f"read {read} °C")
    if one.check_masses:
        read = ", ".join(f"{check.read} for {check.mass}" for check in one.check_masses)
        parts.append(f"read {read} {units.mass}")
    if one.comparison is not None and one.comparison.soils:
        parts.append(one.comparison.words)
    return "; ".join(parts) or "—"


def about(device: Any) -> Table | None:
    """Return the facts of a device; None where none are stated."""
    mass = f" {device.units.mass}"
    stated = [
        (label, f"{value}{tail}")
        for label, value, tail in (
            ("Operation", getattr(device, "operation", None), ""),
            ("Face", getattr(device, "face", None), ""),
            ("Readability", getattr(device, "readability", None), mass),
            ("Capacity", getattr(device, "capacity", None), mass),
            ("Opening", getattr(device, "opening", None), ""),
            ("Out of service", out_of_use(device), ""),
            ("Remarks", device.remarks, ""),
        )
        if value is not None
    ]
    return fact_table("about", "About", stated) if stated else None


Tables = Callable[[Any], Sequence[Table | None]]
"""Tables of a kind below its calibrations."""


def sheet_of(device: Any, more: Tables) -> Sheet:
    """Return the sheet of a device and its calibrations."""
    found = [Cell(findings_text(one, device.units)) for one in device.calibrations]
    heads, rows = calibration_rows(
        device.calibrations, (Column("Found"),), [(cell,) for cell in found]
    )
    table = Table("calibrations", "Calibrations", heads, rows, role="more")
    blocks = tuple(one for one in (about(device), table, *more(device)) if one)
    return Sheet(f"{device.kind.capitalize()} {device.id}", device.name or "", blocks)


def device_blank(
    name: str,
    prefix: str,
    *,
    stated: str = "",
    asks: tuple[Ask, ...] = (),
    found: str = "",
    findings: tuple[Ask, ...] = (),
) -> Blank:
    """
    Return the blank of one kind of device.

    `stated` are its own lines and `asks` their questions; `found` are the measurements
    of a calibration, and `findings` their questions.
    """
    return Blank(
        f"""format: 1
kind: {name}
id: {{id}}
name:
units: {{{{mass: {{mass_unit}}, length: {{length_unit}}}}}}
{stated}calibrations:
  - {{{{on: {{on}}, by: , next_due: {{next_due}}, state: as found,
     {found}certificate: {{certificate}}}}}}
""",
        prefix,
        (*asks, ON, NEXT_DUE, *findings, CERTIFICATE),
        ("mass_unit", "length_unit"),
        usual=usual_units("mass", "length"),
    )


def device_kind(
    model: type[D],
    blank: Blank,
    *,
    rules: tuple[Rule[Case[Any, None]], ...] = (),
    wrong: Wrong | None = None,
    measured: tuple[Measured, ...] = (),
    answers: Callable[[Case[Any, None], Ref], object | None] = facts,
    more: Tables = lambda device: (),
) -> Kind[Any, None]:
    """Return one kind of device, named by the `kind` of its model."""
    (name,) = get_args(model.model_fields["kind"].annotation)
    return equipment_kind(
        name,
        model,
        blank,
        answers=answers,
        sheet=lambda case, flags: sheet_of(case.record, more),
        rules=rules,
        wrong=wrong,
        measured=measured,
    )
