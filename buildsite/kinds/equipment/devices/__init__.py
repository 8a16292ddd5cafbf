"""Rammers, balances, ovens and sieves: one record shape each, calibrated alike."""

from collections.abc import Callable
from functools import partial
from typing import Any, TypeVar

from buildsite.kinds.answers import BalanceError, DeviceFacts
from buildsite.kinds.equipment.calibrations import (
    DUE_BEFORE_CALIBRATED,
    Wrong,
    calibration_rows,
    in_force,
    out_of_use,
)
from buildsite.kinds.equipment.devices.blanks import (
    CAPACITY,
    DROP,
    FACE,
    MASS,
    OPENING,
    OPERATION,
    READABILITY,
    device_blank,
)
from buildsite.kinds.equipment.devices.checks import (
    BALANCE_RULES,
    OVEN_RULES,
    RAMMER_RULES,
    balance_amiss,
    measures,
    oven_amiss,
    rammer_amiss,
    unlike_hand,
)
from buildsite.kinds.equipment.devices.records import (
    Balance,
    Device,
    DeviceCalibration,
    DeviceUnits,
    DryingOven,
    Rammer,
    Sieve,
)
from buildsite.kinds.kind import (
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
from buildsite.record.flags import Flag, Rule
from buildsite.record.units import to_si, unit
from buildsite.standards.tables import Method

D = TypeVar("D", bound=Device)


def compute(record: Device, inputs: Inputs, method: Method | None) -> None:
    """Measure nothing: a device states what its calibrations found."""


def balance_error(device: Device, ref: Ref) -> BalanceError | None:
    """Tell how far off the calibration in force found a balance, if it says so."""
    index = in_force(device.calibrations, ref.on)
    one = None if index is None else device.calibrations[index]
    if one is None or one.largest_error is None:
        return None
    error = to_si(abs(one.largest_error), device.units.mass)
    return BalanceError(device.id, one.on, error)


def answers(case: Case[Any, None], ref: Ref) -> object | None:
    """Tell a test what the device was on its day."""
    if ref.asks is BalanceError:
        return balance_error(case.record, ref)
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
        f"{label} {value} {name}"
        for label, value, name in (
            ("mass", one.mass, units.mass),
            ("drop", one.drop, units.length),
            ("face", one.face_diameter, units.length),
            ("radius of the sector", one.sector_radius, units.length),
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
    off = unlike_hand(one.comparison) if one.comparison is not None else None
    if off is not None:
        parts.append(f"compacts {off:+.1f} % against the hand rammer")
    return "; ".join(parts) or "—"


def about(device: Any) -> Table | None:
    """What the device is said to be, where anything is."""
    mass = f" {device.units.mass}"
    stated = [
        (label, f"{value}{tail}")
        for label, value, tail in (
            ("Operation", getattr(device, "operation", None), ""),
            ("Face", getattr(device, "face", None), ""),
            ("Readability", getattr(device, "readability", None), mass),
            ("Capacity", getattr(device, "capacity", None), mass),
            ("Opening", getattr(device, "opening", None), ""),
            ("Out of use", out_of_use(device), ""),
            ("Remarks", device.remarks, ""),
        )
        if value is not None
    ]
    rows = tuple(Row((Cell(label), Cell(text))) for label, text in stated)
    heads = (Column("What"), Column("Stated"))
    return Table("about", "About", heads, rows, headed="row") if rows else None


def comparisons(device: Any) -> Table | None:
    """Each soil that was compacted with the mechanical and with the hand rammer."""
    rows = []
    for one in device.calibrations:
        for soil in one.comparison.soils if one.comparison is not None else ():
            off = float(soil.mechanical / soil.by_hand - 1) * 100
            texts = (
                one.on.isoformat(),
                one.comparison.hand_rammer or "—",
                soil.soil or "—",
                str(soil.by_hand),
                str(soil.mechanical),
                f"{off:+.1f}",
            )
            rows.append(Row(tuple(map(Cell, texts))))
    shown = unit(device.units.density).shown
    heads = (
        *(Column(label) for label in ("Compared", "Hand rammer", "Soil")),
        Column("By hand", shown, number=True),
        Column("Mechanical", shown, number=True),
        Column("Difference", "%", number=True),
    )
    title = "Mechanical against hand rammer: maximum dry densities"
    return Table("comparison", title, heads, tuple(rows), role="more") if rows else None


def last_limits(device: Any) -> Table | None:
    """What the standards ask of a rammer, beside what was found last."""
    index = in_force(device.calibrations, None)
    if index is None or not isinstance(device, Rammer):
        return None
    from buildsite.kinds.equipment.tolerances import (
        limits_table,
        rammer_held,
        rammer_methods,
    )

    found = measures(device.calibrations[index], device.units, device.face)
    return limits_table(partial(rammer_held, found), rammer_methods(found))


def sheet(case: Case[Any, None], flags: tuple[Flag, ...]) -> Sheet:
    """Show what the device is and each of its calibrations."""
    device = case.record
    found = [Cell(found_by(one, device.units)) for one in device.calibrations]
    heads, rows = calibration_rows(
        device.calibrations, (Column("Found"),), [(cell,) for cell in found]
    )
    tables = (
        about(device),
        Table("calibrations", "Calibrations", heads, rows, role="more"),
        last_limits(device),
        comparisons(device),
    )
    shown = tuple(table for table in tables if table is not None)
    return Sheet(f"{device.kind.capitalize()} {device.id}", device.name or "", shown)


def device_kind(
    name: str,
    title: str,
    model: type[D],
    blank: Blank,
    rules: tuple[Rule[Case[Any, None]], ...] = (),
    wrong: Wrong | None = None,
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
        wrong=wrong,
    )


RAMMER = device_kind(
    "rammer",
    "Rammer",
    Rammer,
    device_blank(
        "rammer",
        "R",
        "operation: {operation}\nface: {face}\n",
        (OPERATION, FACE, MASS, DROP),
    ),
    RAMMER_RULES,
    rammer_amiss,
)
BALANCE = device_kind(
    "balance",
    "Balance",
    Balance,
    device_blank(
        "balance",
        "B",
        "readability: {readability}\ncapacity: {capacity}\n",
        (READABILITY, CAPACITY),
    ),
    BALANCE_RULES,
    balance_amiss,
)
OVEN = device_kind(
    "oven",
    "Oven",
    DryingOven,
    device_blank("oven", "O", "", ()),
    OVEN_RULES,
    oven_amiss,
)
SIEVE = device_kind(
    "sieve",
    "Sieve",
    Sieve,
    device_blank("sieve", "SV", "opening: {opening}\n", (OPENING,)),
)
