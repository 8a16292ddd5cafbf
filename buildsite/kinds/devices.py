"""Rammers, balances, ovens and sieves: one record shape each, calibrated alike."""

from collections.abc import Callable, Iterator
from typing import Any, Literal, TypeVar

from buildsite.kinds.answers import DeviceFacts
from buildsite.kinds.calibrated import DUE_BEFORE_CALIBRATED, in_force
from buildsite.kinds.kind import (
    Ask,
    Blank,
    Case,
    Inputs,
    Kind,
    Ref,
    asks_nothing,
    no_detail,
    no_results,
)
from buildsite.kinds.sheet import Cell, Column, Row, Sheet, Table
from buildsite.record.flags import Doubt, Flag, Rule, Severity
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
from buildsite.record.units import LengthUnit, MassUnit, to_si
from buildsite.standards.tables import Method


class DeviceUnits(Model):
    mass: MassUnit = "g"
    length: LengthUnit = "mm"


class DeviceCalibration(Model):
    """One calibration or check. What was measured depends on the device."""

    on: Day
    by: Code | None = None
    next_due: Day | None = None
    state: Literal["as found", "as left"] | None = None
    mass: Mass | None = None
    drop: Positive | None = None
    face_diameter: Positive | None = None
    largest_error: Reading | None = None
    set_temperature_c: Reading | None = None
    measured_temperatures_c: tuple[Reading, ...] = ()
    certificate: Text | None = None


class Device(Model):
    """What all devices say of themselves."""

    format: Literal["1"] = "1"
    id: Id
    name: Text | None = None
    units: DeviceUnits = DeviceUnits()
    calibrations: tuple[DeviceCalibration, ...] = ()
    remarks: Remarks | None = None


class Rammer(Device):
    kind: Literal["rammer"]
    operation: Literal["mechanical", "manual"]
    face: Literal["round", "sector"] = "round"


class Balance(Device):
    kind: Literal["balance"]
    readability: Positive
    capacity: Positive | None = None


class DryingOven(Device):
    kind: Literal["oven"]


class Sieve(Device):
    kind: Literal["sieve"]
    opening: Text


D = TypeVar("D", bound=Device)

OVEN_TOLERANCE_C = 5
"""How far from 110 °C moisture may be dried: ASTM D2216 (from memory)."""


def oven_off_its_setting(case: Case[DryingOven, None]) -> Iterator[Doubt]:
    """An oven found more than 5 °C off what it was set to."""
    for i, one in enumerate(case.record.calibrations):
        wanted = one.set_temperature_c
        for k, read in enumerate(one.measured_temperatures_c):
            if wanted is not None and abs(read - wanted) > OVEN_TOLERANCE_C:
                yield Doubt(
                    field=("calibrations", i, "measured_temperatures_c", k),
                    found=f"{read} °C",
                    expected=f"{wanted} °C within {OVEN_TOLERANCE_C} °C",
                    mend="mend or reset the oven, and judge the tests that its page "
                    "lists as dried in it since",
                )


def compute(record: Device, inputs: Inputs, method: Method | None) -> None:
    """Measure nothing: a device states what its calibrations found."""


def answers(case: Case[Any, None], ref: Ref) -> DeviceFacts | None:
    """Tell a test what the device was on its day."""
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
    )


def found_by(one: DeviceCalibration, units: DeviceUnits) -> str:
    """Write what a calibration measured, in its own units."""
    parts = [
        f"{label} {value} {unit}"
        for label, value, unit in (
            ("mass", one.mass, units.mass),
            ("drop", one.drop, units.length),
            ("face", one.face_diameter, units.length),
            ("largest error", one.largest_error, units.mass),
            ("set to", one.set_temperature_c, "°C"),
        )
        if value is not None
    ]
    if one.measured_temperatures_c:
        read = ", ".join(str(value) for value in one.measured_temperatures_c)
        parts.append(f"read {read} °C")
    return "; ".join(parts) or "—"


def sheet(case: Case[Any, None], flags: tuple[Flag, ...]) -> Sheet:
    """Show what the device is and each of its calibrations."""
    device = case.record
    labels = ("Calibrated", "By", "State", "Next due", "Found", "Certificate")
    rows = tuple(
        Row(
            tuple(
                Cell(text)
                for text in (
                    one.on.isoformat(),
                    one.by or "—",
                    one.state or "—",
                    one.next_due.isoformat() if one.next_due else "—",
                    found_by(one, device.units),
                    one.certificate or "—",
                )
            )
        )
        for one in device.calibrations
    )
    stated = [
        (label, f"{value}{unit}")
        for label, value, unit in (
            ("Operation", getattr(device, "operation", None), ""),
            ("Face", getattr(device, "face", None), ""),
            (
                "Readability",
                getattr(device, "readability", None),
                f" {device.units.mass}",
            ),
            ("Capacity", getattr(device, "capacity", None), f" {device.units.mass}"),
            ("Opening", getattr(device, "opening", None), ""),
        )
        if value is not None
    ]
    about = tuple(Row((Cell(label), Cell(text))) for label, text in stated)
    blocks = (
        Table(
            "about", "About", (Column("What"), Column("Stated")), about, headed="row"
        ),
        Table(
            "calibrations",
            "Calibrations",
            tuple(Column(label) for label in labels),
            rows,
            role="more",
        ),
    )
    return Sheet(f"{device.kind.capitalize()} {device.id}", device.name or "", blocks)


def device_blank(name: str, prefix: str, stated: str, asks: tuple[Ask, ...]) -> Blank:
    """Make the blank of one sort of device. `stated`: its own lines."""
    found = "mass: , drop: , " if name == "rammer" else ""
    return Blank(
        f"""format: 1
kind: {name}
id: {{id}}
name:
units: {{{{mass: g, length: mm}}}}
{stated}calibrations:
  - {{{{on: {{on}}, by: , next_due: , state: as found, {found}certificate: }}}}
""",
        prefix,
        (*asks, Ask("on", "Calibrated on (YYYY-MM-DD)")),
    )


def device_kind(
    name: str,
    title: str,
    model: type[D],
    blank: Blank,
    rules: tuple[Rule[Case[Any, None]], ...] = (),
) -> Kind[Any, None]:
    """Make the kind of one sort of device."""
    nothing: Callable[[Any, Inputs, Method | None], None] = compute
    return Kind(
        name=name,
        title=title,
        group="equipment",
        model=model,
        needs=asks_nothing,
        answers=answers,
        compute=nothing,
        results=no_results,
        detail=no_detail,
        sheet=sheet,
        blank=blank,
        rules=(DUE_BEFORE_CALIBRATED, *rules),
    )


OPERATION = Ask("operation", "Worked how", "manual", ("manual", "mechanical"))
FACE = Ask("face", "Face", "round", ("round", "sector"))
READABILITY = Ask("readability", "Readability in g, such as 0.01")
OPENING = Ask("opening", "Opening, such as No. 4")

RAMMER = device_kind(
    "rammer",
    "Rammer",
    Rammer,
    device_blank(
        "rammer", "R", "operation: {operation}\nface: {face}\n", (OPERATION, FACE)
    ),
)
BALANCE = device_kind(
    "balance",
    "Balance",
    Balance,
    device_blank("balance", "B", "readability: {readability}\n", (READABILITY,)),
)
OVEN = device_kind(
    "oven",
    "Oven",
    DryingOven,
    device_blank("oven", "O", "", ()),
    (
        Rule(
            "oven-off-its-setting",
            Severity.WARNING,
            "ASTM D2216 (from memory)",
            oven_off_its_setting,
        ),
    ),
)
SIEVE = device_kind(
    "sieve",
    "Sieve",
    Sieve,
    device_blank("sieve", "SV", "opening: {opening}\n", (OPENING,)),
)
