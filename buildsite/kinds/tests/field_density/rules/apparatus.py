"""Checks of sand cone, drive cylinder and balloon: method, calibration, specimen."""

from collections.abc import Iterator
from datetime import date

from buildsite.kinds.field_answers import SandConeFacts
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.holes import (
    FIELD_OF,
    apparatus_facts,
    apparatus_id,
    is_void,
)
from buildsite.kinds.tests.shared.rules.equipment import PROGRAM, lapse
from buildsite.record.flags import Doubt, Rule, error, warning
from buildsite.record.units import from_si
from buildsite.soil.rounding import plain, round_half_even
from buildsite.standards.cells import Cell


@warning("apparatus-unlike-method", "the method's apparatus")
def apparatus_unlike_method(case: Test) -> Iterator[Doubt]:
    """The apparatus is not that of the standard named."""
    cell = case.cell("apparatus")
    if cell is not None and cell.value != case.record.apparatus:
        yield Doubt(
            field=("apparatus",),
            found=case.record.apparatus,
            expected=f"{cell.value}, by {cell.source}",
            mend="correct the apparatus or the standard",
            basis=cell.basis,
        )


def equipment_field(case: Test) -> tuple[str, str]:
    """Return the field that names the apparatus."""
    return ("equipment", FIELD_OF[case.record.apparatus])


@warning("apparatus-out-of-calibration", PROGRAM)
def apparatus_out_of_calibration(case: Test) -> Iterator[Doubt]:
    """The apparatus had no calibration in force on the day of the test."""
    facts, on = apparatus_facts(case.record, case.inputs), case.record.tested.on
    if facts is None or on is None:
        return
    interval = case.cell("calibration_interval")
    wrong = lapse(facts.calibrated_on, facts.next_due, on, interval)
    if wrong is not None:
        found, expected, basis = wrong
        yield Doubt(
            field=equipment_field(case),
            found=f"{facts.id}, {found}",
            expected=expected,
            mend="enter the calibration in force that day, or calibrate and assess the "
            "tests made since",
            basis=basis,
        )


def sand_lapse(
    facts: SandConeFacts, bag: str, on: date, cell: Cell | None
) -> tuple[str, str, str | None] | None:
    """Return why the bulk density of a bag does not serve: found, expected, basis."""
    if facts.sand_on is None:
        there = ", ".join(facts.bags)
        others = f"; {facts.id} has bag {there}" if there else ""
        found = f"bag {bag}, no bulk density by {on}"
        return found, f"its bulk density, before{others}", None
    if facts.sand_next_due is not None and on > facts.sand_next_due:
        found = f"bag {bag}, found on {facts.sand_on}, due {facts.sand_next_due}"
        return found, f"a bulk density that serves on {on}", None
    days = (on - facts.sand_on).days
    if cell is not None and days > cell.si:
        found = f"bag {bag}, its bulk density {days} days old"
        return found, f"at most {cell}", cell.basis
    return None


@warning("sand-out-of-date", "the method's rule on the sand's bulk density")
def sand_out_of_date(case: Test) -> Iterator[Doubt]:
    """The bulk density of the sand was not found, or too long ago."""
    facts, on = apparatus_facts(case.record, case.inputs), case.record.tested.on
    bag = case.record.sand_bag
    if not isinstance(facts, SandConeFacts) or on is None or not bag:
        return  # a missing bag is a missing reading
    wrong = sand_lapse(facts, bag, on, case.cell("sand_interval"))
    if wrong is not None:
        found, expected, basis = wrong
        yield Doubt(
            field=("sand_bag",),
            found=found,
            expected=expected,
            mend="correct the bag, or find its bulk density again; if that has changed "
            "by more than the method allows, assess the tests made with it",
            basis=basis,
        )


@warning("apparatus-calibration-not-on-file", PROGRAM)
def calibration_not_on_file(case: Test) -> Iterator[Doubt]:
    """The record states the calibration of its apparatus, and none is on file."""
    record = case.record
    if case.inputs.alone or not case.values.dug.stated:
        return
    what = "sand" if record.apparatus == "sand-cone" else "cylinder"
    named = apparatus_id(record)
    yield Doubt(
        field=(what,),
        found=f"{what} as stated here" + (f", beside {named}" if named else ""),
        expected="an apparatus with its calibration on file",
        mend="enter the apparatus among the equipment; the report states it until then",
    )


@error("cylinder-specimen-void", "the method's rule on the specimen")
def specimen_void(case: Test) -> Iterator[Doubt]:
    """A drive cylinder came out short, or with disturbed ends: it is no specimen."""
    pushed = case.record.cylinder_specimen
    if pushed is None or not is_void(case.record):
        return
    cell = case.cell("cylinder_full")
    bad = "short recovery" if pushed.recovery == "short" else "disturbed ends"
    yield Doubt(
        field=("cylinder_specimen",),
        found=bad,
        expected="a full cylinder with sound ends",
        mend="drive another cylinder beside it; withdraw this test, with the reason",
        basis=cell.basis if cell is not None else None,
    )


@warning("soil-not-for-cylinder", "the method's scope")
def soil_not_for_cylinder(case: Test) -> Iterator[Doubt]:
    """A drive cylinder in gravelly, friable or very hard soil."""
    record, cell = case.record, case.cell("gravel_at_most")
    if record.apparatus != "drive-cylinder":
        return
    pushed, split = record.cylinder_specimen, case.values.split
    if pushed is not None and pushed.soil in ("friable", "very hard"):
        yield Doubt(
            field=("cylinder_specimen", "soil"),
            found=f"{pushed.soil} soil",
            expected="cohesive soil that a cylinder takes and keeps undisturbed",
            mend="use a sand cone, a balloon or a gauge",
        )
    share = split.percent if split is not None else None
    if cell is not None and share is not None and share > cell.si:
        yield Doubt(
            field=("coarse",),
            found=f"{share:.0f} % coarse particles",
            expected=f"at most {cell}",
            mend="use a sand cone, a balloon or a gauge",
            basis=cell.basis,
        )


@warning("cylinder-too-small", "the method's least volume of a cylinder")
def cylinder_too_small(case: Test) -> Iterator[Doubt]:
    """A drive cylinder is smaller than the method requires for acceptance."""
    record, cell = case.record, case.cell("cylinder_volume_least")
    volume = case.values.dug.volume
    drives = record.apparatus == "drive-cylinder" and record.purpose == "acceptance"
    if drives and cell is not None and volume is not None and volume < cell.si * 0.999:
        shown = plain(round_half_even(from_si(volume, cell.unit), 0))
        yield Doubt(
            field=equipment_field(case),
            found=f"{shown} {cell.printed.unit}",
            expected=f"at least {cell}",
            mend="use a larger cylinder for acceptance",
            basis=cell.basis,
        )


@warning("balloon-pressure-too-high", "the method's greatest pressure")
def pressure_too_high(case: Test) -> Iterator[Doubt]:
    """The pressure on a balloon was above the method's greatest."""
    pressure, cell = case.record.pressure, case.cell("pressure_highest")
    if pressure is not None and cell is not None and float(pressure) > cell.si:
        yield Doubt(
            field=("pressure",),
            found=f"{pressure} kPa",
            expected=f"at most {cell}",
            mend="test again at the pressure of the calibration: more widens the hole",
            basis=cell.basis,
        )


RULES: tuple[Rule[Test], ...] = (
    apparatus_unlike_method,
    apparatus_out_of_calibration,
    sand_out_of_date,
    calibration_not_on_file,
    specimen_void,
    soil_not_for_cylinder,
    cylinder_too_small,
    pressure_too_high,
)
