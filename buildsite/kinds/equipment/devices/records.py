"""What is written of rammers, balances, ovens and sieves."""

from typing import Literal

from buildsite.kinds.equipment.calibrations import Calibration, OutOfUse
from buildsite.record.reading import Id, Mass, Model, Positive, Reading, Remarks, Text
from buildsite.record.units import DensityUnit, LengthUnit, MassUnit


class DeviceUnits(Model):
    mass: MassUnit = "g"
    length: LengthUnit = "mm"
    density: DensityUnit = "kg/m3"


class CheckMass(Model):
    """A known mass on a balance, and what the balance read."""

    mass: Mass
    read: Mass


class Compared(Model):
    """One soil compacted with both rammers: its maximum dry densities."""

    soil: Text | None = None
    by_hand: Positive
    mechanical: Positive


class Comparison(Model):
    """A mechanical rammer beside a hand rammer, soil by soil."""

    hand_rammer: Id | None = None
    soils: tuple[Compared, ...]


class DeviceCalibration(Calibration):
    """One calibration or check. What was measured depends on the device."""

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
    """What all devices say of themselves."""

    format: Literal["1"] = "1"
    id: Id
    name: Text | None = None
    units: DeviceUnits = DeviceUnits()
    calibrations: tuple[DeviceCalibration, ...] = ()
    out_of_use: OutOfUse | None = None
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
