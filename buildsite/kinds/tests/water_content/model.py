"""The record of a water content test, and its values. SI throughout."""

from math import fsum
from typing import Annotated, ClassVar, Literal, TypeAlias

from pydantic import Field

from buildsite.kinds.kind import Case, Inputs
from buildsite.kinds.tests.shared.columns import Columns, lines_at
from buildsite.kinds.tests.shared.containers import MOISTURE, possible_masses
from buildsite.kinds.tests.shared.record import RecordOfTest, Tool, Work
from buildsite.record.parts import Act, Container, Oven, Rejected, StandardFollowed
from buildsite.record.reading import Id, Model, Text
from buildsite.record.units import MassUnit, to_si
from buildsite.soil import phase
from buildsite.standards.method import Method
from buildsite.values import dataclass

MOST_CONTAINERS = 60
"""A test has one to four: far more are a slip, or meant to be slow."""

CONTAINERS = Columns(lines_at("containers", "container"), MOISTURE)


class Units(Model):
    """The unit of the containers' masses."""

    moisture: MassUnit | None = None


class EquipmentUsed(Model):
    """Equipment by its id."""

    moisture_balance: Id | None = None
    oven: Id | None = None


class Portion(Container):
    """One container of soil. A rejected one stays on file and does not count."""

    rejected: Rejected | None = None


class WaterContent(RecordOfTest):
    """A water content test by oven drying, as on the bench sheet."""

    work: ClassVar[Work] = Work(
        acts=("tested", "dried"),
        lines="containers",
        line="container",
        tells_sample=True,
        tools=(Tool("moisture_balance", "balance"), Tool("oven", "oven", "dried")),
    )

    kind: Literal["water-content"]
    standard: StandardFollowed
    largest_particle: Annotated[
        Text | None,
        Field(description="The finest sieve that all of the soil passes, visually."),
    ] = None
    left_out: Annotated[
        Text | None, Field(description="Material excluded from the specimen, if any.")
    ] = None
    tested: Act
    dried: Act | None = None
    units: Units
    equipment: EquipmentUsed | None = None
    containers: Annotated[tuple[Portion, ...], Field(max_length=MOST_CONTAINERS)] = ()
    oven: Oven | None = None


@dataclass(frozen=True)
class InContainer:
    """Values of one container; None where readings are missing."""

    number: int  # from 1, as on the bench sheet
    rejected: bool
    water_content: float | None = None  # [%]
    moist_soil: float | None = None  # [kg]
    dry_soil: float | None = None  # [kg]


@dataclass(frozen=True)
class Values:
    """All that was computed of one test."""

    containers: tuple[InContainer, ...]
    waters: tuple[float, ...]  # of the containers that count [%]
    water_content: float | None  # their mean [%]


Test: TypeAlias = Case[WaterContent, Values]


def in_container(number: int, one: Portion, unit: str | None) -> InContainer:
    """Compute one container."""
    masses, rejected = possible_masses(one), one.rejected is not None
    if masses is None:
        return InContainer(number, rejected)
    empty, wet, dry = masses
    water = phase.water_content(float(empty), float(wet), float(dry))
    if unit is None:
        return InContainer(number, rejected, water)
    soils = to_si(wet - empty, unit), to_si(dry - empty, unit)
    return InContainer(number, rejected, water, *soils)


def compute(record: WaterContent, inputs: Inputs, method: Method | None) -> Values:
    """Compute a whole test: the mean of its containers."""
    found = tuple(
        in_container(i, one, record.units.moisture)
        for i, one in enumerate(record.containers, 1)
    )
    waters = tuple(
        one.water_content
        for one in found
        if one.water_content is not None and not one.rejected
    )
    return Values(found, waters, fsum(waters) / len(waters) if waters else None)
