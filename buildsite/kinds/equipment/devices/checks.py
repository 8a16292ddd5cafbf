"""What is doubted of rammers, balances and ovens, and what was found amiss of them."""

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from buildsite.kinds.equipment.calibrations import Amiss, unsettled
from buildsite.kinds.equipment.devices.records import (
    Balance,
    Comparison,
    DeviceCalibration,
    DeviceUnits,
    DryingOven,
    Rammer,
)
from buildsite.kinds.kind import Case
from buildsite.record.flags import Doubt, Field, Rule, Severity
from buildsite.record.units import to_si
from buildsite.standards.apparatus import limit
from buildsite.standards.tables import Method

if TYPE_CHECKING:
    from buildsite.kinds.equipment.tolerances import RammerMeasures


def measures(one: DeviceCalibration, units: DeviceUnits, face: str) -> "RammerMeasures":
    """Take what a calibration measured of a rammer to SI."""
    from buildsite.kinds.equipment.tolerances import RammerMeasures

    return RammerMeasures(
        face=face,
        mass=None if one.mass is None else to_si(one.mass, units.mass),
        drop=None if one.drop is None else to_si(one.drop, units.length),
        face_diameter=None
        if one.face_diameter is None
        else to_si(one.face_diameter, units.length),
        sector_radius=None
        if one.sector_radius is None
        else to_si(one.sector_radius, units.length),
        compared=one.comparison is not None and not list(compared_amiss(one)),
    )


def unlike_hand(comparison: Comparison) -> float | None:
    """Mean of what the mechanical rammer compacts more than the hand rammer. [%]"""
    off = [float(one.mechanical / one.by_hand - 1) * 100 for one in comparison.soils]
    return sum(off) / len(off) if off else None


def compared_amiss(one: DeviceCalibration) -> Iterator[Amiss]:
    """Say that a mechanical rammer compacts otherwise than the one by hand."""
    off = unlike_hand(one.comparison) if one.comparison is not None else None
    most = limit("mechanical_unlike_hand")
    if off is not None and abs(off) > most.si * (1 + 1e-9):
        yield Amiss(
            f"{off:+.1f} % against the hand rammer",
            f"at most {most} either way, {most.basis}",
            lasts=True,
        )


def rammer_amiss(
    case: Case[Rammer, None], i: int, method: Method | None
) -> Iterator[Amiss]:
    """What a calibration found wrong with a rammer."""
    record = case.record
    one = record.calibrations[i]
    if method is None:
        yield from compared_amiss(one)
        return
    from buildsite.kinds.equipment.tolerances import rammer_held

    found = measures(one, record.units, record.face)
    for held in rammer_held(found, method):
        if held.verdict == "outside":
            yield Amiss(f"{held.what} {held.found}", held.words)


def rammer_unlike_hand(case: Case[Rammer, None]) -> Iterator[Doubt]:
    """A mechanical rammer that compacts otherwise than the hand rammer."""
    for i, one in unsettled(case.record.calibrations):
        for amiss in compared_amiss(one):
            yield Doubt(
                field=("calibrations", i, "comparison"),
                found=amiss.words,
                expected=amiss.asked,
                mend="adjust the rammer's mass or drop and compare again; with one "
                "soil only, compare two more",
            )


def balance_errors(record: Balance, i: int) -> Iterator[tuple[Field, str, str]]:
    """Errors of a balance beyond its limit: field, what was found, what is asked."""
    one, unit = record.calibrations[i], record.units.mass
    steps = limit("balance_error_steps")
    share = Decimal(limit("balance_error_load").value) / 100
    least = record.readability * Decimal(steps.value)
    for k, check in enumerate(one.check_masses):
        most = max(least, check.mass * share)
        if abs(check.read - check.mass) > most:
            yield (
                ("check_masses", k),
                f"{check.read} {unit} for a mass of {check.mass} {unit}",
                f"within {most.normalize():f} {unit}, {steps.basis}",
            )
    if one.largest_error is not None and record.capacity is not None:
        most = max(least, record.capacity * share)
        if abs(one.largest_error) > most:
            yield (
                ("largest_error",),
                f"off by {one.largest_error} {unit}",
                f"at most {most.normalize():f} {unit}, {steps.basis}",
            )


def balance_amiss(
    case: Case[Balance, None], i: int, method: Method | None
) -> Iterator[Amiss]:
    """What a calibration found wrong with a balance, whatever the method."""
    if method is None:
        for _, found, asked in balance_errors(case.record, i):
            yield Amiss(found, asked, lasts=True)


def balance_off(case: Case[Balance, None]) -> Iterator[Doubt]:
    """A balance that is off by more than its readability and load allow."""
    for i, _ in unsettled(case.record.calibrations):
        for where, found, asked in balance_errors(case.record, i):
            yield Doubt(
                field=("calibrations", i, *where),
                found=found,
                expected=asked,
                mend="have the balance adjusted, and judge the tests that its page "
                "lists as weighed on it since the calibration before",
            )


def oven_readings(record: DryingOven, i: int) -> Iterator[tuple[int, str, str]]:
    """Temperatures too far from the setting: place, what was found, what is asked."""
    one, off = record.calibrations[i], limit("oven_off")
    for k, read in enumerate(one.measured_temperatures_c):
        wanted = one.set_temperature_c
        if wanted is not None and abs(read - wanted) > int(off.si):
            yield k, f"{read} °C", f"{wanted} °C within {off}"


def oven_amiss(
    case: Case[DryingOven, None], i: int, method: Method | None
) -> Iterator[Amiss]:
    """What a check found wrong with an oven, whatever the method."""
    if method is None:
        for _, found, asked in oven_readings(case.record, i):
            yield Amiss(found, f"{asked}, {limit('oven_off').basis}", lasts=True)


def oven_off_its_setting(case: Case[DryingOven, None]) -> Iterator[Doubt]:
    """An oven found more than 5 °C off what it was set to."""
    for i, _ in unsettled(case.record.calibrations):
        for k, found, asked in oven_readings(case.record, i):
            yield Doubt(
                field=("calibrations", i, "measured_temperatures_c", k),
                found=found,
                expected=asked,
                mend="mend or reset the oven, and judge the tests that its page "
                "lists as dried in it since",
            )


def never_compared(case: Case[Rammer, None]) -> Iterator[Doubt]:
    """A mechanical rammer that no hand rammer was ever compared with."""
    record = case.record
    if record.operation != "mechanical" or record.out_of_use is not None:
        return
    if not any(one.comparison for one in record.calibrations):
        yield Doubt(
            field=("calibrations",),
            found="no comparison with a hand rammer",
            expected="one soil or more compacted with both",
            mend="compact a soil with both and enter the two maximum dry densities as "
            "comparison",
        )


RAMMER_RULES: tuple[Rule[Case[Any, None]], ...] = (
    Rule(
        "mechanical-rammer-unlike-hand",
        Severity.WARNING,
        "ASTM D2168 (from memory)",
        rammer_unlike_hand,
    ),
    Rule(
        "mechanical-rammer-not-compared",
        Severity.NOTE,
        "ASTM D2168 (from memory)",
        never_compared,
    ),
)
BALANCE_RULES: tuple[Rule[Case[Any, None]], ...] = (
    Rule("balance-off", Severity.WARNING, "AASHTO M 231 (from memory)", balance_off),
)
OVEN_RULES: tuple[Rule[Case[Any, None]], ...] = (
    Rule(
        "oven-off-its-setting",
        Severity.WARNING,
        "ASTM D2216 (from memory)",
        oven_off_its_setting,
    ),
)
