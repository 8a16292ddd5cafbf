"""The record of a coarse fraction: a split on sieves, and coarse particles weighed."""

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from buildsite.kinds.tests.shared.columns import (
    Column,
    Columns,
    Line,
    lines_at,
    missing_in,
    whole_record,
)
from buildsite.kinds.tests.shared.containers import MASSES, MOISTURE
from buildsite.kinds.tests.shared.record import RecordOfTest, Tool, Work
from buildsite.record.forms import OneOrMore
from buildsite.record.parts import Act, Container, Oven, Rejected, StandardFollowed
from buildsite.record.reading import (
    Id,
    Mass,
    Model,
    Moment,
    Percent,
    Reading,
    Text,
    ZeroOrMore,
)
from buildsite.record.units import MassUnit

MOST_LINES = 30
"""A split has two to five fractions: far more are a slip, or meant to be slow."""

BALANCE = ("gravity", "gravity_balance")
PARTICLES = Columns(
    lines_at("specimens", "specimen"),
    (
        Column("surface_dry", "Surface-dry, in air", *BALANCE),
        Column("in_water", "In water", *BALANCE),
        Column("oven_dry", "Oven-dry, in air", *BALANCE),
    ),
)
FRACTIONS = Columns(
    lines_at("fractions", "fraction"),
    (Column("mass", "Mass retained", "split", "balance"),),
)
WHOLE = Columns(
    whole_record, (Column("total_mass", "Sample before sieving", "split", "balance"),)
)


def containers(record: "CoarseFraction") -> Iterator[Line]:
    """Return every line with a moisture container: at most one per fraction."""
    for line in FRACTIONS.lines(record):
        one = line.part
        if len(missing_in(one, MASSES)) < len(MASSES) or one.container is not None:
            yield line


CONTAINERS = Columns(containers, MOISTURE)
COLUMNS = (WHOLE, FRACTIONS, CONTAINERS, PARTICLES)


class Units(Model):
    """The unit of each column of the bench sheet."""

    split: MassUnit | None = None
    moisture: MassUnit | None = None
    gravity: MassUnit | None = None


class EquipmentUsed(Model):
    """Equipment by its id."""

    balance: Id | None = None
    moisture_balance: Id | None = None
    gravity_balance: Id | None = None
    oven: Id | None = None
    sieve: Id | None = None


class Fraction(Container):
    """Soil retained on one sieve, or in the pan, and its water content."""

    retained_on: Annotated[Text, Field(description="A sieve, such as 3/4 in; or pan.")]
    mass: Annotated[
        ZeroOrMore | None, Field(description="As weighed, in `units.split`.")
    ] = None
    water_content: Annotated[
        Percent | None, Field(description="Transcribed, percent of dry mass.")
    ] = None


class Soak(Model):
    """When the particles were in water, and its temperature."""

    in_: Moment | None = Field(default=None, alias="in")
    out: Moment | None = None
    water_temperature_c: Reading | None = None


class Specimen(Model):
    """Particles of one size, weighed dry, saturated and in water (`units.gravity`)."""

    retained_on: Text | None = None
    surface_dry: Annotated[
        Mass | None, Field(description="Saturated surface-dry, in air.")
    ] = None
    in_water: Annotated[
        Mass | None, Field(description="Saturated, in water, without the basket.")
    ] = None
    oven_dry: Annotated[
        OneOrMore[Mass] | None, Field(description="In air, after the oven.")
    ] = None
    rejected: Rejected | None = None


class CoarseFraction(RecordOfTest):
    """The coarse fraction of a sample, as the bench sheet has it."""

    work: ClassVar[Work] = Work(
        acts=("tested", "dried"),
        lines="specimens",
        line="specimen",
        tools=(
            Tool("balance", "balance"),
            Tool("moisture_balance", "balance"),
            Tool("gravity_balance", "balance"),
            Tool("oven", "oven", "dried"),
            Tool("sieve", "sieve"),
        ),
        tells_sample=True,
    )

    kind: Literal["coarse-fraction"]
    standard: StandardFollowed
    sieve: Annotated[
        Text, Field(description="The oversize is retained on it: 3/4 in, No. 4.")
    ]
    nominal_maximum: Annotated[
        Text | None, Field(description="Nominal maximum particle size, a sieve.")
    ] = None
    split_masses: Annotated[
        Literal["moist", "dry"] | None,
        Field(description="Whether the fractions were weighed moist or dry."),
    ] = None
    before_soaking: Annotated[
        Literal["dried", "natural"] | None,
        Field(description="Whether the particles were dried before soaking."),
    ] = None
    tested: Act
    dried: Act | None = None
    units: Units
    equipment: EquipmentUsed | None = None
    total_mass: Annotated[
        Mass | None, Field(description="Before sieving, in `units.split`.")
    ] = None
    fractions: Annotated[tuple[Fraction, ...], Field(max_length=MOST_LINES)] = ()
    soak: Soak | None = None
    specimens: Annotated[tuple[Specimen, ...], Field(max_length=MOST_LINES)] = ()
    oven: Oven | None = None
