"""The record of a nuclear gauge: calibrations, leak tests, counts of the days."""

from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from buildsite.kinds.equipment.calibrations import Calibration, OutOfUse, Series
from buildsite.kinds.equipment.field_limits import field_limit
from buildsite.record.reading import (
    Code,
    Day,
    Id,
    Model,
    Positive,
    Remarks,
    Text,
)
from buildsite.record.units import DensityUnit
from buildsite.standards.cells import Cell

NUCLEAR = "nuclear-gauge"
"""The apparatus, as the standards name it."""


class GaugeUnits(Model):
    density: DensityUnit = "kg/m3"


class Block(Model):
    """A block of known density, and what the gauge read on it."""

    known: Positive
    measured: Positive


class GaugeCalibration(Calibration):
    checks: tuple[Block, ...] = ()


class LeakTest(Calibration):
    """A test of the sealed sources for leakage, as the licence asks for it."""

    result: Literal["passed", "failed"] | None = None


class MakersLimits(Model):
    """How far a count may be off the mean of the last ones, as the maker states. [%]"""

    density: Positive | None = None
    water: Positive | None = None


class StandardCounts(Model):
    """Standard counts on the reference block; a second line of a day repeats them."""

    on: Day
    by: Code | None = None
    density: Positive
    water: Positive


class Service(Model):
    """A day when the gauge was taken out of service, or put back."""

    on: Day
    by: Code | None = None
    state: Literal["out", "back"]
    reason: Text


class Gauge(Model):
    format: Literal["1"] = "1"
    kind: Literal["gauge"]
    id: Id
    name: Text | None = None
    serial: Annotated[
        Text | None, Field(description="Stays in the laboratory, as the next.")
    ] = None
    licence: Annotated[
        Text | None, Field(description="Reference of the licence it is held under.")
    ] = None
    units: GaugeUnits = GaugeUnits()
    makers_limits: MakersLimits = MakersLimits()
    calibrations: tuple[GaugeCalibration, ...] = ()
    leak_tests: tuple[LeakTest, ...] = ()
    counts: tuple[StandardCounts, ...] = ()
    service: tuple[Service, ...] = ()
    out_of_use: OutOfUse | None = None
    remarks: Remarks | None = None

    @property
    def series(self) -> tuple[Series, ...]:
        """Its calibrations, and its leak tests, which no result relies on."""
        return (
            Series(
                at=("calibrations",),
                calibrations=self.calibrations,
                words="calibration",
                again="--what calibration",
                interval=calibration_interval,
            ),
            Series(
                at=("leak_tests",),
                calibrations=self.leak_tests,
                words="leak test",
                again="--what leak-test",
                interval=leak_test_interval,
                relied_on=False,
            ),
        )

    def away_since(self, on: date) -> date | None:
        """Return since when it was out of service on a day, until put back."""
        events = sorted(self.service, key=lambda one: one.on)
        since: date | None = None
        for one in events:
            if one.on > on:
                break
            since = None if one.state == "back" else since or one.on
        return since


def calibration_interval() -> Cell:
    """Return after how many months the gauge is calibrated again."""
    return field_limit(NUCLEAR, "calibration_interval")


def leak_test_interval() -> Cell:
    """Return after how many months the next leak test is due."""
    return field_limit(NUCLEAR, "leak_test_interval")
