"""A pycnometer: its mass, and its volume by fillings with water."""

from collections.abc import Iterator
from math import fsum, sqrt
from typing import Annotated, Literal

from pydantic import Field

from buildsite.kinds.answers import PycnometerFacts
from buildsite.kinds.blank import Ask, Blank, Measured, pairs, usual_units
from buildsite.kinds.equipment.calibrations import (
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
from buildsite.kinds.kind import Case, Inputs, Ref
from buildsite.kinds.reporting import to_places
from buildsite.kinds.sheet import Cell, Column, Sheet, Table
from buildsite.record.flags import Doubt, Flag, error, warning
from buildsite.record.reading import Id, Mass, Model, Positive, Reading, Remarks, Text
from buildsite.record.units import MassUnit, VolumeUnit, from_si, to_si
from buildsite.record.units import unit as unit_named
from buildsite.soil.volume import volume_by_water
from buildsite.soil.water import COLDEST, WARMEST, water_density
from buildsite.standards.cells import UNCHECKED
from buildsite.standards.method import Method
from buildsite.standards.tables import limit
from buildsite.values import dataclass


class PycnometerUnits(Model):
    mass: MassUnit = "g"
    volume: VolumeUnit = "cm3"


class Filling(Model):
    """The pycnometer full of de-aired water, and the water temperature."""

    full: Mass
    temperature_c: Reading


class PycnometerCalibration(Calibration):
    mass: Annotated[Mass | None, Field(description="Empty, clean and dry.")] = None
    fillings: tuple[Filling, ...] = ()


class Pycnometer(Model):
    format: Literal["1"] = "1"
    kind: Literal["pycnometer"]
    id: Id
    name: Text | None = None
    capacity: Positive | None = None
    units: PycnometerUnits = PycnometerUnits()
    calibrations: tuple[PycnometerCalibration, ...] = ()
    out_of_use: OutOfUse | None = None
    remarks: Remarks | None = None


@dataclass(frozen=True)
class Found:
    """Values of one calibration: mass [kg], volume of each filling [m³]."""

    mass: float | None
    volumes: tuple[float, ...]

    @property
    def volume(self) -> float | None:
        """Mean of the fillings. [m³]"""
        return fsum(self.volumes) / len(self.volumes) if self.volumes else None

    @property
    def spread(self) -> float | None:
        """Standard deviation of one filling; None of fewer than two. [m³]"""
        mean, count = self.volume, len(self.volumes)
        if mean is None or count < 2:
            return None
        return sqrt(fsum((one - mean) ** 2 for one in self.volumes) / (count - 1))


def measured(one: PycnometerCalibration, unit: str) -> Found:
    """Compute one calibration; impossible fillings are left out, and flagged."""
    mass = None if one.mass is None else to_si(one.mass, unit)
    volumes = []
    for filling in one.fillings if mass is not None else ():
        full, temperature = to_si(filling.full, unit), float(filling.temperature_c)
        if mass is not None and full > mass and COLDEST <= temperature <= WARMEST:
            density = water_density(temperature)
            volumes.append(volume_by_water(mass, full, density))
    return Found(mass, tuple(volumes))


def compute(
    record: Pycnometer, inputs: Inputs, method: Method | None
) -> tuple[Found, ...]:
    """Compute every calibration, in the order written."""
    return tuple(measured(one, record.units.mass) for one in record.calibrations)


Filled = Case[Pycnometer, tuple[Found, ...]]


def answers(case: Filled, ref: Ref) -> PycnometerFacts | None:
    """Return the facts of the pycnometer, by the calibration in force."""
    if ref.asks is not PycnometerFacts:
        return None
    record = case.record
    index = in_force(record.calibrations, ref.on)
    one = None if index is None else record.calibrations[index]
    found = None if index is None else case.values[index]
    size = record.capacity
    return PycnometerFacts(
        id=record.id,
        name=record.name or "",
        capacity_m3=None if size is None else to_si(size, record.units.volume),
        calibrated_on=one.on if one else None,
        next_due=one.next_due if one else None,
        mass_kg=found.mass if found else None,
        volume_m3=found.volume if found else None,
        wrong_since=found_later(one, ref.on),
    )


MOST_SPREAD_ML = 0.05
"""Standard deviation of the fillings of one calibration: ASTM D854 (from memory)."""


@error("impossible-filling", "conservation of mass")
def impossible_filling(case: Filled) -> Iterator[Doubt]:
    """A filling is no heavier than the empty pycnometer, or impossibly cold or hot."""
    for i, one in enumerate(case.record.calibrations):
        for k, filling in enumerate(one.fillings):
            field = ("calibrations", i, "fillings", k)
            if one.mass is not None and filling.full <= one.mass:
                yield Doubt(
                    field=(*field, "full"),
                    found=f"{filling.full} {case.record.units.mass}",
                    expected=f"more than the empty pycnometer, {one.mass}",
                    mend="check for interchanged masses",
                )
            if not COLDEST <= filling.temperature_c <= WARMEST:
                yield Doubt(
                    field=(*field, "temperature_c"),
                    found=f"{filling.temperature_c} °C",
                    expected=f"{COLDEST:g} to {WARMEST:g} °C",
                    mend="check for a mistyped digit, or °F",
                )


@warning("fillings-disagree", f"ASTM D854 ({UNCHECKED})")
def fillings_disagree(case: Filled) -> Iterator[Doubt]:
    """The volumes of the fillings of one calibration differ too much."""
    for i, found in enumerate(case.values):
        if found.spread is not None and found.spread * 1e6 > MOST_SPREAD_ML:
            yield Doubt(
                field=("calibrations", i, "fillings"),
                found=f"standard deviation {to_places(found.spread * 1e6, 3)} cm³",
                expected=f"at most {MOST_SPREAD_ML} cm³",
                mend="clean and dry it, and fill it again with de-aired water at a "
                "steady temperature",
            )


def changes(case: Filled, i: int) -> Iterator[tuple[str, str]]:
    """Return mass and volume found, and those before, if they changed too much."""
    calibrations, values = case.record.calibrations, case.values
    order = sorted(
        (one.on, k) for k, one in enumerate(calibrations) if not one.found_wrong
    )
    place = (calibrations[i].on, i)
    if calibrations[i].state != "as found" or place not in order[1:]:
        return
    before = order[order.index(place) - 1][1]
    now, was, on = values[i], values[before], calibrations[before].on
    mass, volume = limit("pycnometer_mass_changed"), limit("pycnometer_volume_changed")
    for new, old, most, unit, places in (
        (now.mass, was.mass, mass, "g", 2),
        (now.volume, was.volume, volume, "cm3", 2),
    ):
        if new is not None and old is not None and abs(new - old) > most.si * EXACT:
            texts = [to_places(from_si(value, unit), places) for value in (new, old)]
            shown = unit_named(unit).shown
            yield f"{texts[0]} {shown}", f"within {most} of {texts[1]} {shown} on {on}"


EXACT = 1 + 1e-9
"""Leaves a difference of just the limit within it, whatever its last bit."""


def faults(case: Filled, i: int, method: Method | None) -> Iterator[Nonconformity]:
    """Return the faults of a pycnometer in a calibration, for any method."""
    if method is None:
        for now, was in changes(case, i):
            yield Nonconformity(now, was)


def sheet(case: Filled, flags: tuple[Flag, ...]) -> Sheet:
    """Return the sheet of a pycnometer and its calibrations."""
    record = case.record
    cells = []
    for one, found in zip(record.calibrations, case.values, strict=True):
        volume = None if found.volume is None else found.volume * 1e6
        spread = None if found.spread is None else found.spread * 1e6
        texts = (
            str(one.mass or "—"),
            str(len(one.fillings)),
            to_places(volume, 2),
            to_places(spread, 3),
        )
        cells.append(tuple(map(Cell, texts)))
    heads, rows = calibration_rows(
        record.calibrations,
        (
            Column("Empty", record.units.mass, number=True),
            Column("Fillings", number=True),
            Column("Volume", "cm³", number=True),
            Column("Standard deviation", "cm³", number=True),
        ),
        cells,
    )
    table = Table("calibrations", "Calibrations", heads, rows, role="more")
    shown = unit_named(record.units.volume).shown
    size = f"{record.capacity} {shown}" if record.capacity else ""
    gone = out_of_use(record)
    parts = (record.name or "", size, f"out of service {gone}" if gone else "")
    words = ", ".join(part for part in parts if part)
    return Sheet(f"Pycnometer {record.id}", words, (table,))


MASS = Ask("mass", "Mass empty, clean and dry, in {mass}, to 0.01 g")

BLANK = Blank(
    """format: 1
kind: pycnometer
id: {id}
name:
capacity: {capacity}
units: {{mass: {mass_unit}, volume: {volume_unit}}}
calibrations:
  - on: {on}
    by:
    next_due: {next_due}
    state: as found
    mass: {mass}                   # empty, clean and dry, to 0.01 g
    fillings: {fillings}   # {{full: , temperature_c: }} for each filling; 5 of them
""",
    prefix="PY",
    asks=(
        Ask("capacity", "Capacity in {volume}", "500"),
        ON,
        NEXT_DUE,
        MASS,
        Ask(
            "fillings",
            "Five fillings with water: mass in {mass} and °C of each, as in 654.32 "
            "20.1 654.30 20.4 (Enter: none yet)",
            split=pairs("full", "temperature_c"),
        ),
    ),
    places=("mass_unit", "volume_unit"),
    usual=usual_units("mass", "volume"),
)

MEASURED = (
    Measured(MASS, ("mass",), steady=True),
    Measured(
        Ask(
            "fillings",
            "Five fillings with water: mass in {mass} and °C of each, as in 654.32 "
            "20.1 654.30 20.4 (Enter: none)",
            split=pairs("full", "temperature_c"),
        ),
        ("fillings",),
    ),
)

KIND = equipment_kind(
    "pycnometer",
    Pycnometer,
    BLANK,
    answers=answers,
    compute=compute,
    sheet=sheet,
    rules=(
        impossible_filling,
        fillings_disagree,
    ),
    wrong=faults,
    measured=MEASURED,
)
