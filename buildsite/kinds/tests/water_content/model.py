"""The record of a water content: raw observations only."""

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from buildsite.kinds.tests.shared.record import RecordOfTest, Tool, Work
from buildsite.record.parts import Act, Container, Oven, Rejected, StandardFollowed
from buildsite.record.reading import Id, Model, Text
from buildsite.record.units import MassUnit

MOST_CONTAINERS = 60
"""A test has one to four: far more are a slip, or meant to be slow."""


class Units(Model):
    """The unit of the containers' masses."""

    moisture: MassUnit | None = None


class EquipmentUsed(Model):
    """Equipment by its id."""

    moisture_balance: Id | None = None
    oven: Id | None = None


class Portion(Container):
    """One container of soil. What was rejected stays on file and counts for nothing."""

    rejected: Rejected | None = None


class WaterContent(RecordOfTest):
    """A water content by drying, as the bench sheet has it."""

    work: ClassVar[Work] = Work(
        acts=("tested", "dried"),
        lines="containers",
        line="container",
        tells_sample=True,
        tools=(
            Tool("moisture_balance", "balance"),
            Tool("oven", "oven", "dried"),
        ),
    )

    kind: Literal["water-content"]
    standard: StandardFollowed
    largest_particle: Annotated[
        Text | None,
        Field(description="The finest sieve that all of the soil passes, by eye."),
    ] = None
    left_out: Annotated[
        Text | None, Field(description="Material left out of the specimen, if any.")
    ] = None
    tested: Act
    dried: Act | None = None
    units: Units
    equipment: EquipmentUsed | None = None
    containers: Annotated[tuple[Portion, ...], Field(max_length=MOST_CONTAINERS)] = ()
    oven: Oven | None = None
