"""The record of a specific gravity test by pycnometer: observations only."""

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from buildsite.kinds.tests.shared.columns import Column, Columns, lines_at
from buildsite.kinds.tests.shared.record import RecordOfTest, Tool, Work
from buildsite.record.forms import OneOrMore
from buildsite.record.parts import Act, GivenBy, Rejected, StandardFollowed
from buildsite.record.reading import (
    Id,
    Mass,
    Model,
    Portion,
    Positive,
    Reading,
    TaredMass,
    Text,
    ZeroOrMore,
)
from buildsite.record.units import MassUnit

MOST_DETERMINATIONS = 30
"""A test has one to four: far more are a slip, or meant to be slow."""

BALANCE = ("mass", "balance", "resolution_mass")
PYCNOMETER_MASS = Column("pycnometer_mass", "Empty pycnometer", *BALANCE)
PYCNOMETER_AND_WATER = Column(
    "pycnometer_and_water", "Pycnometer full of water", *BALANCE
)
SOIL_AND_WATER = Column(
    "pycnometer_soil_and_water", "Pycnometer, soil and water", *BALANCE
)
DRY_SOIL = Column("dry_soil", "Dry soil", *BALANCE)
CONTAINER_MASS = Column("container_mass", "Empty container", *BALANCE)
CONTAINER_AND_DRY = Column("container_and_dry", "Container and dry soil", *BALANCE)

DETERMINATIONS = Columns(
    lines_at("determinations", "determination"),
    (
        PYCNOMETER_MASS,
        PYCNOMETER_AND_WATER,
        SOIL_AND_WATER,
        DRY_SOIL,
        CONTAINER_MASS,
        CONTAINER_AND_DRY,
    ),
)


class Units(Model):
    """The unit of the balance."""

    mass: MassUnit | None = None


class DeAired(Model):
    """How the soil was de-aired, and for how long."""

    by: Literal["boiling", "vacuum", "heat and vacuum"] | None = None
    hours: ZeroOrMore | None = None


class Coarse(Model):
    """Coarse particles retained on the sieve, to be included by dry mass."""

    percent_retained: Portion | None = None
    specific_gravity: Positive | None = None
    basis: Literal["apparent", "oven-dry", "SSD"] | None = None
    given_by: GivenBy | None = None
    test: Annotated[Id | None, Field(description="A test of the coarse fraction.")] = (
        None
    )


class EquipmentUsed(Model):
    """Equipment by its id. Each determination names its own pycnometer."""

    pycnometer: Id | None = None
    balance: Id | None = None
    oven: Id | None = None
    sieve: Id | None = None


class Determination(Model):
    """One pycnometer with soil: all masses in `units.mass`."""

    pycnometer: Id | None = None
    pycnometer_mass: Annotated[
        Mass | None, Field(description="Empty, as weighed for this test.")
    ] = None
    pycnometer_and_water: Annotated[
        Mass | None, Field(description="Full of water, where no calibration states it.")
    ] = None
    water_temperature_c: Annotated[
        Reading | None, Field(description="Of `pycnometer_and_water`.")
    ] = None
    pycnometer_soil_and_water: Mass | None = None
    temperature_c: Annotated[
        Reading | None, Field(description="Of the water with the soil in it.")
    ] = None
    dry_soil: Annotated[
        Mass | None, Field(description="Soil alone, weighed without a container.")
    ] = None
    container: Text | None = None
    container_mass: TaredMass | None = None
    container_and_dry: OneOrMore[Mass] | None = None
    specific_gravity: Annotated[
        Positive | None, Field(description="Transcribed, at 20 °C.")
    ] = None
    rejected: Rejected | None = None


class SpecificGravityTest(RecordOfTest):
    """A specific gravity test, as the bench sheet has it."""

    work: ClassVar[Work] = Work(
        acts=("prepared", "tested", "dried"),
        free=("dried",),  # oven-dry soil before the test, moist soil after it
        lines="determinations",
        line="determination",
        tools=(
            Tool("balance", "balance"),
            Tool("oven", "oven", "dried"),
            Tool("sieve", "sieve", "prepared"),
        ),
        tells_sample=True,
    )

    kind: Literal["specific-gravity"]
    standard: StandardFollowed
    specimen: Literal["moist", "oven-dry"] | None = None
    processed_through: Text | None = None
    prepared: Act | None = None
    deaired: DeAired | None = None
    tested: Act
    dried: Act | None = None
    units: Units
    equipment: EquipmentUsed | None = None
    coarse: Coarse | None = None
    determinations: Annotated[
        tuple[Determination, ...], Field(max_length=MOST_DETERMINATIONS)
    ]
