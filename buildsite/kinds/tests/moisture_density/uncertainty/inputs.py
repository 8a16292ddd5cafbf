"""The inputs of an uncertainty budget: values, uncertainties and sources."""

from collections.abc import Callable, Sequence
from dataclasses import field
from decimal import Decimal
from math import fsum, sqrt
from statistics import variance

from buildsite.kinds.answers import BalanceError, DeviceFacts, MoldFacts
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.model import Point
from buildsite.kinds.tests.moisture_density.rules.common import quantity_word
from buildsite.kinds.tests.moisture_density.specimens import (
    compacted_on,
    mold_id,
)
from buildsite.kinds.tests.shared.containers import possible_masses
from buildsite.record.reading import resolution
from buildsite.record.units import UNITS, to_si
from buildsite.soil.uncertainty import Quantity, of_resolution, rectangular
from buildsite.values import dataclass

RECTANGULAR, NORMAL = "rectangular", "normal"

BALANCE_SHARE = 0.001
"""Relative error of a balance without a calibration on file: the tolerance of
general-purpose balances in AASHTO M 231 (from memory)."""

FILLING_M3 = 1e-6
"""Best uncertainty of a water-filled volume: two masses read to 1 g."""

AGREEMENT = 0.005
"""Relative agreement of two methods for the volume of a mold: annexes on mold volume of
ASTM D698 and D1557 (from memory)."""


@dataclass(frozen=True)
class Input:
    """
    One input. Inputs of one `group` share a line of the budget.

    `repeats` is whether it changes from one repeat test to the next, as a last digit
    does; a volume of a mold stays the same.
    """

    group: str
    quantity: Quantity
    unit: str
    distribution: str
    source: str
    repeats: bool = True


@dataclass(frozen=True)
class LastPlace:
    """Resolution of a column: its step and unit, and the same as written."""

    step: float
    unit: str
    written: str

    def reading(self, group: str, value: float) -> Input:
        """Return an input that was read to this resolution."""
        known = Quantity(value, of_resolution(self.step))
        return Input(group, known, self.unit, RECTANGULAR, f"read to {self.written}")


@dataclass
class ModelInputs:
    """
    Inputs as gathered for one test.

    Independent readings are one input each; a value common to several points, such as
    the volume of the mold, is one input for all of them.
    """

    case: Test
    inputs: list[Input] = field(default_factory=list)
    known: dict[tuple[str, str], int] = field(default_factory=dict)

    def group(self, name: str, what: str) -> str:
        """Return the label of a group, in the word of the test's standard."""
        return f"{quantity_word(self.case, name).capitalize()}, {what}"

    def add(self, one: Input) -> int:
        """Add one input and return its index."""
        self.inputs.append(one)
        return len(self.inputs) - 1

    def shared(self, key: tuple[str, str], make: Callable[[], Input]) -> int:
        """Add an input that several points share, once; return its index."""
        if key not in self.known:
            self.known[key] = self.add(make())
        return self.known[key]


def finest_step(readings: Sequence[Decimal | None]) -> Decimal:
    """Return the resolution of a column: the finest in it, as last zeros get lost."""
    return min(resolution(one) for one in readings if one is not None)


def coarser_step(step: Decimal, unit: str, device: DeviceFacts | None) -> float:
    """Return the resolution of a column or balance, the coarser one. [its unit]"""
    if device is None or device.resolution_kg is None:
        return float(step)
    return max(float(step), device.resolution_kg / to_si(Decimal(1), unit))


def device_of(case: Test, name: str) -> DeviceFacts | None:
    """Return a device of the test as of the day of use."""
    record = case.record
    id = getattr(record.equipment, name, None) if record.equipment else None
    days = (record.dried.on if record.dried else None, record.compacted.on)
    found = (case.inputs.get(DeviceFacts, id or "", on) for on in days)
    return next((one for one in found if one is not None), None)


def masses_place(case: Test) -> LastPlace:
    """Return the resolution of the masses of molds. [kg]"""
    unit = case.record.units.compacted or "kg"
    last = finest_step([point.mold_and_wet_soil for point in case.record.points])
    step = coarser_step(last, unit, device_of(case, "balance"))
    return LastPlace(step * to_si(Decimal(1), unit), "kg", f"{step:.6g} {unit}")


def moisture_place(case: Test) -> LastPlace | None:
    """Return the resolution of the masses of containers, in their own unit."""
    unit = case.record.units.moisture
    masses = [
        mass
        for point in case.record.points
        for found in map(possible_masses, point.all_containers)
        for mass in found or ()
    ]
    if unit is None or not masses:
        return None
    step = coarser_step(finest_step(masses), unit, device_of(case, "moisture_balance"))
    return LastPlace(step, unit, f"{step:.6g} {unit}")


def density_place(case: Test, value: Decimal) -> LastPlace:
    """Return the resolution of a transcribed density. [kg/m³]"""
    unit, last = case.record.units.density or "kg/m3", resolution(value)
    return LastPlace(to_si(last, unit), "kg/m3", f"{last} {UNITS[unit].shown}")


def percent_place(value: Decimal) -> LastPlace:
    """Return the resolution of a transcribed water content. [%]"""
    last = resolution(value)
    return LastPlace(float(last), "%", f"{last} %")


def balance_error(case: Test) -> Input:
    """Return the error of the balance for molds, common to all of them. [kg]"""
    device = device_of(case, "balance")
    id = device.id if device is not None else ""
    error = case.inputs.get(BalanceError, id, case.record.compacted.on)
    if error is not None and device is not None:
        half = max(error.largest_error_kg, (device.resolution_kg or 0.0) / 2)
        found = f"{error.largest_error_kg * 1000:.4g} g"
        source = f"calibration of {id} on {error.calibrated_on}: largest error {found}"
    else:
        soils = [p.wet_soil for p in case.values.on_curve if p.wet_soil is not None]
        half = BALANCE_SHARE * max(soils)
        source = "no calibration on file: 0.1 % of the soil (AASHTO M 231, unchecked)"
    group, known = "Error of the balance", Quantity(0.0, rectangular(half))
    return Input(group, known, "kg", RECTANGULAR, source, repeats=False)


def mold_volume(case: Test, point: Point, value: float) -> Input:
    """Return the volume of a point's mold, by how it was calibrated. [m³]"""
    id = mold_id(case.record, point)
    facts = case.inputs.get(MoldFacts, id or "", compacted_on(case.record, point))
    wide = case.method.mold_volume_tolerance_m3 if case.method is not None else None
    if facts is None or facts.volume_m3 is None:
        half, source = wide or AGREEMENT * value, "not calibrated: tolerance of molds"
    elif facts.volume_by_water_m3 is None or facts.volume_by_dimensions_m3 is None:
        half, source = AGREEMENT * value, f"{facts.how}, known to 0.5 %"
    else:
        difference = abs(facts.volume_by_water_m3 - facts.volume_by_dimensions_m3)
        half = max(difference, FILLING_M3)
        source = "by water and by dimensions: their difference, at least 1 cm³"
    group = f"Volume of mold {id}" if id else "Volume of the mold"
    known = Quantity(value, rectangular(half))
    return Input(group, known, "m3", RECTANGULAR, source, repeats=False)


def container_deviation(case: Test) -> float | None:
    """Return the standard deviation of one container, from points with several. [%]"""
    several = [
        point.container_water_contents
        for point in case.values.on_curve
        if len(point.container_water_contents) > 1
    ]
    free = sum(len(waters) - 1 for waters in several)
    if not several:
        return None
    return sqrt(fsum(variance(w) * (len(w) - 1) for w in several) / free)
