"""From the masses of containers to a water content. SI throughout."""

from buildsite.kinds.kind import Inputs
from buildsite.kinds.tests.shared.containers import weighed
from buildsite.kinds.tests.water_content.model import Portion, WaterContent
from buildsite.record.units import to_si
from buildsite.soil import phase
from buildsite.standards.tables import Method
from buildsite.values import dataclass


@dataclass(frozen=True)
class InContainer:
    """What follows from one container; None where readings are wanting."""

    number: int  # from 1, as on the bench sheet
    rejected: bool
    water_content: float | None = None  # [%]
    moist_soil: float | None = None  # [kg]
    dry_soil: float | None = None  # [kg]


@dataclass(frozen=True)
class Values:
    """All that was computed of one test."""

    containers: tuple[InContainer, ...]
    water_content: float | None  # mean of the containers that count [%]

    @property
    def waters(self) -> tuple[float, ...]:
        """Water contents that count. [%]"""
        return counted(self.containers)


def counted(containers: tuple[InContainer, ...]) -> tuple[float, ...]:
    """Water contents of the containers that were not rejected. [%]"""
    return tuple(
        one.water_content
        for one in containers
        if one.water_content is not None and not one.rejected
    )


def in_container(number: int, one: Portion, unit: str | None) -> InContainer:
    """Work out one container."""
    masses, rejected = weighed(one), one.rejected is not None
    if masses is None:
        return InContainer(number, rejected)
    empty, wet, dry = masses
    water = phase.water_content(float(empty), float(wet), float(dry))
    if unit is None:
        return InContainer(number, rejected, water)
    soils = to_si(wet - empty, unit), to_si(dry - empty, unit)
    return InContainer(number, rejected, water, *soils)


def compute(record: WaterContent, inputs: Inputs, method: Method | None) -> Values:
    """Work out a whole test: the mean of its containers."""
    found = tuple(
        in_container(i, one, record.units.moisture)
        for i, one in enumerate(record.containers, 1)
    )
    waters = counted(found)
    return Values(found, sum(waters) / len(waters) if waters else None)
