"""A rubber-balloon apparatus: known volumes, and what it measured of each."""

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field

from buildsite.kinds.blank import Ask, Blank, Measured, pairs, usual_units
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
    unsettled,
)
from buildsite.kinds.equipment.field_limits import field_limit
from buildsite.kinds.field_answers import BalloonFacts
from buildsite.kinds.kind import Case, Ref
from buildsite.kinds.limits import HAIR
from buildsite.kinds.sheet import Cell, Column, Sheet, Table, fact_table
from buildsite.record.flags import Doubt, Flag, note, warning
from buildsite.record.reading import Id, Model, Positive, Remarks, Text, ZeroOrMore
from buildsite.record.units import VolumeUnit, unit
from buildsite.standards.cells import UNCHECKED
from buildsite.standards.cells import Cell as Limit
from buildsite.standards.method import Method
from buildsite.standards.tables import limit


class BalloonUnits(Model):
    volume: VolumeUnit = "cm3"


class KnownVolume(Model):
    """A container of known volume, and what the apparatus measured of it."""

    known: Positive
    measured: Positive

    @property
    def error(self) -> float:
        """Measured less known, of the known volume. [%]"""
        return float(self.measured / self.known - 1) * 100


class BalloonCalibration(Calibration):
    checks: tuple[KnownVolume, ...] = ()
    pressure_kpa: Annotated[
        ZeroOrMore | None,
        Field(description="Pressure on the water when the volumes were read. [kPa]"),
    ] = None

    @property
    def largest(self) -> KnownVolume | None:
        """The check that was furthest off."""
        return max(self.checks, key=lambda one: abs(one.error), default=None)


class Balloon(Model):
    format: Literal["1"] = "1"
    kind: Literal["balloon"]
    id: Id
    name: Text | None = None
    units: BalloonUnits = BalloonUnits()
    calibrations: tuple[BalloonCalibration, ...] = ()
    out_of_use: OutOfUse | None = None
    remarks: Remarks | None = None


Checked = Case[Balloon, None]


def answers(case: Checked, ref: Ref) -> BalloonFacts | None:
    """Return the facts of a balloon apparatus on the date of a test."""
    if ref.asks is not BalloonFacts:
        return None
    record = case.record
    index = in_force(record.calibrations, ref.on)
    one = None if index is None else record.calibrations[index]
    worst = one.largest if one is not None else None
    return BalloonFacts(
        id=record.id,
        name=record.name or "",
        calibrated_on=one.on if one else None,
        next_due=one.next_due if one else None,
        largest_error=abs(worst.error) if worst else None,
        wrong_since=found_later(one, ref.on),
    )


def volume_error() -> Limit:
    """Return how far a known volume may be measured off."""
    return field_limit("balloon", "volume_error_at_most")


def errors(record: Balloon, i: int) -> Iterator[tuple[int, Nonconformity]]:
    """Return the volumes of a calibration that were measured too far off."""
    most, shown = volume_error(), unit(record.units.volume).shown
    for k, one in enumerate(record.calibrations[i].checks):
        if abs(one.error) > most.si * (1 + HAIR):
            yield (
                k,
                Nonconformity(
                    f"{one.measured} {shown} measured of {one.known} {shown}, "
                    f"{one.error:+.1f} %",
                    f"within {most} of the known volume, {most.basis}",
                    lasts=True,
                ),
            )


def faults(case: Checked, i: int, method: Method | None) -> Iterator[Nonconformity]:
    """Return the volumes that were measured too far off, for any method."""
    if method is None:
        for _, fault in errors(case.record, i):
            yield fault


D2167 = f"ASTM D2167 ({UNCHECKED})"


@warning("balloon-off", D2167)
def balloon_off(case: Checked) -> Iterator[Doubt]:
    """A balloon apparatus measured a known volume too far off."""
    for i, _ in unsettled(case.record.calibrations):
        for k, fault in errors(case.record, i):
            yield Doubt(
                field=("calibrations", i, "checks", k),
                found=fault.words,
                expected=fault.required,
                mend="check for air in the water and for a hole in the balloon, and "
                "calibrate again; assess the tests since the calibration before, "
                "listed on its page",
            )


@note("too-few-balloon-checks", D2167)
def too_few_checks(case: Checked) -> Iterator[Doubt]:
    """A balloon apparatus was calibrated with too few known volumes."""
    least = limit("balloon_checks")
    for i, one in enumerate(case.record.calibrations):
        different = len({check.known for check in one.checks})
        if one.checks and different < least.si:
            yield Doubt(
                field=("calibrations", i),
                found=f"{different} known volume{'s' * (different != 1)} on {one.on}",
                expected=f"at least {least} of different sizes",
                mend="check it with another container, about as large as the holes",
            )


def findings(one: BalloonCalibration, shown: str) -> str:
    """Return what was measured of each known volume, in words."""
    texts = [f"{check.measured} of {check.known} {shown}" for check in one.checks]
    return "; ".join(texts) or "—"


def sheet(case: Checked, flags: tuple[Flag, ...]) -> Sheet:
    """Return the sheet of a balloon apparatus and its calibrations."""
    record, shown = case.record, unit(case.record.units.volume).shown
    cells = [
        (
            Cell(findings(one, shown)),
            Cell(f"{one.largest.error:+.2f}" if one.largest else "—"),
            Cell(str(one.pressure_kpa or "—")),
        )
        for one in record.calibrations
    ]
    heads, rows = calibration_rows(
        record.calibrations,
        (
            Column("Measured of known volumes"),
            Column("Largest error", "%", number=True),
            Column("Pressure", "kPa", number=True),
        ),
        cells,
    )
    gone = out_of_use(record) or ""
    facts = [("Out of service", gone), ("Remarks", record.remarks or "")]
    about = fact_table("about", "About", facts)
    table = Table("calibrations", "Calibrations", heads, rows, role="more")
    blocks = (about, table) if about.rows else (table,)
    return Sheet(f"Rubber balloon {record.id}", record.name or "", blocks)


CHECKS = Ask(
    "checks",
    "Known volumes in {volume}: each volume and what was measured, as in 943 941 2124 "
    "2130 (Enter: none)",
    split=pairs("known", "measured"),
)
PRESSURE = Ask("pressure_kpa", "Pressure on the water in kPa (Enter: not recorded)")

BLANK = Blank(
    """format: 1
kind: balloon
id: {id}
name:
units: {{volume: {volume_unit}}}
calibrations:
  - {{on: {on}, by: , next_due: {next_due}, state: as found,
     pressure_kpa: {pressure_kpa}, certificate: {certificate},
     checks: {checks}}}   # [{{known: 943, measured: 941}}, ...]
""",
    prefix="BA",
    asks=(ON, NEXT_DUE, CHECKS, PRESSURE, CERTIFICATE),
    places=("volume_unit",),
    usual=usual_units("volume"),
)

KIND = equipment_kind(
    "balloon",
    Balloon,
    BLANK,
    title="Rubber balloon",
    answers=answers,
    sheet=sheet,
    rules=(balloon_off, too_few_checks),
    wrong=faults,
    measured=(
        Measured(CHECKS, ("checks",)),
        Measured(PRESSURE, ("pressure_kpa",), steady=True),
    ),
)
