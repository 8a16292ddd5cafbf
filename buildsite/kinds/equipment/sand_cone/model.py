"""The record of a sand-cone apparatus: its cone and plate, and its bags of sand."""

from math import fsum
from typing import Annotated, Literal

from pydantic import Field

from buildsite.kinds.equipment.calibrations import Calibration, OutOfUse, Series
from buildsite.kinds.equipment.field_limits import field_limit
from buildsite.record.reading import Id, Mass, Model, Positive, Remarks, Text
from buildsite.record.units import DensityUnit, MassUnit, VolumeUnit, to_si
from buildsite.standards.cells import Cell
from buildsite.values import dataclass


class SandConeUnits(Model):
    mass: MassUnit = "g"
    volume: VolumeUnit = "cm3"
    density: DensityUnit = "g/cm3"


class ConeCalibration(Calibration):
    """The sand that fills cone and plate, one mass a determination."""

    sand: Annotated[
        Text | None, Field(description="Kind or lot of the sand it was filled with.")
    ] = None
    sand_in_cone: tuple[Mass, ...] = ()


class SandDetermination(Calibration):
    """The bulk density of the sand of a bag, by filling a container."""

    container_volume: Positive
    sand_in_container: tuple[Mass, ...]


class Bag(Model):
    """A bag of sand, known by its label; fresh sand makes a new bag."""

    bag: Text
    sand: Annotated[Text | None, Field(description="Kind or lot of the sand.")] = None
    determinations: tuple[SandDetermination, ...] = ()
    out_of_use: Annotated[
        OutOfUse | None,
        Field(description="Since when the bag is empty or set aside."),
    ] = None


class SandCone(Model):
    format: Literal["1"] = "1"
    kind: Literal["sand-cone"]
    id: Id
    name: Text | None = None
    plate: Annotated[Text | None, Field(description="Base plate used with it.")] = None
    units: SandConeUnits = SandConeUnits()
    calibrations: tuple[ConeCalibration, ...] = ()
    bags: tuple[Bag, ...] = ()
    out_of_use: OutOfUse | None = None
    remarks: Remarks | None = None

    @property
    def series(self) -> tuple[Series, ...]:
        """The calibrations of the cone, and those of the sand of each bag."""
        cone = Series(
            ("calibrations",), self.calibrations, words="cone", again="--what cone"
        )
        bags = (
            Series(
                at=("bags", i, "determinations"),
                calibrations=one.determinations,
                part=one.bag,
                words=f"sand of bag {one.bag}",
                again=f"--what sand --bag {quoted(one.bag)}",
                interval=sand_interval,
                out_of_use=one.out_of_use,
            )
            for i, one in enumerate(self.bags)
        )
        return (cone, *bags)


def quoted(label: str) -> str:
    """
    Return a label as it stands in a command.

    >>> quoted("14"), quoted("bag 14")
    ('14', '"bag 14"')
    """
    return f'"{label}"' if " " in label else label


def sand_interval() -> Cell:
    """Return after how many days the bulk density of sand is determined again."""
    return field_limit("sand-cone", "sand_interval")


@dataclass(frozen=True)
class Determined:
    """Determinations of one figure, in SI."""

    values: tuple[float, ...]

    @property
    def mean(self) -> float | None:
        """Their mean; None of none."""
        return fsum(self.values) / len(self.values) if self.values else None

    @property
    def spread(self) -> float | None:
        """The largest less the smallest, of their mean; None of fewer than two. [%]"""
        mean = self.mean
        if mean is None or len(self.values) < 2:
            return None
        return (max(self.values) - min(self.values)) / mean * 100

    @property
    def furthest(self) -> float:
        """The greatest difference of one from their mean, of the mean. [%]"""
        mean = self.mean
        return (
            max((abs(one / mean - 1) * 100 for one in self.values), default=0.0)
            if (mean)
            else 0.0
        )


@dataclass(frozen=True)
class Found:
    """
    What the calibrations found: sand of the cone [kg], density of each bag [kg/m³].

    Both in the order written.
    """

    cone: tuple[Determined, ...]
    bags: tuple[tuple[Determined, ...], ...]


def cone_masses(one: ConeCalibration, units: SandConeUnits) -> Determined:
    """Return the masses of sand that filled cone and plate. [kg]"""
    return Determined(tuple(to_si(mass, units.mass) for mass in one.sand_in_cone))


def densities(one: SandDetermination, units: SandConeUnits) -> Determined:
    """Return the bulk densities: each mass of sand over the container. [kg/m³]"""
    volume = to_si(one.container_volume, units.volume)
    masses = (to_si(mass, units.mass) for mass in one.sand_in_container)
    return Determined(tuple(mass / volume for mass in masses))
