"""The record of a moisture-density (compaction) test: raw observations only."""

from functools import cached_property
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from buildsite.kinds.tests.shared.columns import (
    Column,
    Columns,
    Line,
    lines_at,
    whole_record,
)
from buildsite.kinds.tests.shared.containers import MOISTURE
from buildsite.kinds.tests.shared.record import RecordOfTest, Tool, Work
from buildsite.record.forms import OneOrMore
from buildsite.record.parts import (
    Act,
    Container,
    Oven,
    Oversize,
    Rejected,
    SpecificGravity,
    WeighedWith,
)
from buildsite.record.reading import (
    Code,
    Count,
    Id,
    Mass,
    Model,
    Moment,
    Percent,
    Positive,
    Reading,
    TaredMass,
    Text,
    YesNo,
    ZeroOrMore,
)
from buildsite.record.units import DensityUnit, MassUnit, VolumeUnit

MOST_POINTS = 60
"""A test has four to eight points: far more are a mistake or an attack."""


class Units(Model):
    """The unit of each column of the bench sheet."""

    compacted: MassUnit | None = None
    moisture: MassUnit | None = None
    density: DensityUnit | None = None
    volume: VolumeUnit | None = None


class DriedBack(Model):
    """Drying of the soil before the test: to which water content, and how hot."""

    to_water_content: Percent | None = None
    max_temperature_c: Reading | None = None


class RammerUse(Model):
    operation: Literal["mechanical", "manual"] | None = None
    face: Literal["round", "sector"] | None = None


class EquipmentUsed(Model):
    """Equipment by its id."""

    mold: Id | None = None
    rammer: Id | None = None
    balance: Id | None = None
    moisture_balance: Id | None = None
    oven: Id | None = None
    sieve: Id | None = None


class Drawn(Model):
    """A peak read off a curve drawn by hand, in `units.density` and percent."""

    maximum_dry_density: Positive
    optimum_water_content: Percent


class CurveAsked(Model):
    """A curve type by name, or a drawn peak with who drew it and why."""

    form: Text | None = None
    drawn: Drawn | None = None
    by: Code | None = None
    reason: Text | None = None


class Point(Model):
    """One compacted specimen and its water content."""

    water_added_ml: ZeroOrMore | None = None
    specimen_mass: Annotated[
        Mass | None, Field(description="Soil in the pan, in `units.compacted`.")
    ] = None
    wetted_at: Moment | None = None
    compacted_at: Moment | None = None
    compacted: Act | None = None
    mold: Id | None = None
    mold_mass: Mass | None = None
    mold_and_wet_soil: Annotated[
        Mass | None, Field(description="As weighed, in `units.compacted`.")
    ] = None
    wet_density: Annotated[
        Positive | None, Field(description="Transcribed, in `units.density`.")
    ] = None
    dry_density: Annotated[
        Positive | None, Field(description="Transcribed, in `units.density`.")
    ] = None
    water_content: Annotated[
        Percent | None, Field(description="Transcribed, percent of dry mass.")
    ] = None
    container: Text | None = None
    container_mass: Annotated[
        TaredMass | None, Field(description="Empty, in `units.moisture`.")
    ] = None
    container_and_wet: Mass | None = None
    container_and_dry: OneOrMore[Mass] | None = None
    containers: tuple[Container, ...] = ()
    oven: Annotated[
        Oven | None,
        Field(description="Its own drying, if not in the oven with the others."),
    ] = None
    dried: Annotated[
        Act | None, Field(description="Who weighed it dry, if not with the others.")
    ] = None
    bleeding: YesNo | None = None
    rejected: Rejected | None = None

    @cached_property
    def all_containers(self) -> tuple[Container, ...]:
        """Return the point's own container, if any, then the listed ones."""
        own: dict[str, Any] = {
            "container": self.container,
            "container_mass": self.container_mass,
            "container_and_wet": self.container_and_wet,
            "container_and_dry": self.container_and_dry,
        }
        if all(value is None for value in own.values()):
            return self.containers
        typed = Container.model_construct(**own)  # already, as part of the point
        return (typed, *self.containers)


class MoistureDensity(RecordOfTest):
    """A compaction test, as on the bench sheet."""

    work: ClassVar[Work] = Work(
        act="compacted",
        acts=("prepared", "compacted", "dried"),
        lines="points",
        line="point",
        tools=(
            Tool("rammer", "rammer"),
            Tool("balance", "balance"),
            Tool("moisture_balance", "balance", "dried"),
            Tool("oven", "oven", "dried"),
            Tool("sieve", "sieve"),
        ),
    )

    kind: Literal["moisture-density"]
    preparation: Literal["moist", "dry"] | None = None
    dried_back: DriedBack | None = None
    processed_through: Text | None = None
    specimens: Literal["separate", "reused"] | None = None
    rammer: RammerUse | None = None
    layers: Count | None = None
    blows_per_layer: Count | None = None
    prepared: Act | None = None
    compacted: Act
    dried: Act | None = None
    units: Units
    equipment: EquipmentUsed | None = None
    mold_volume: Annotated[
        Positive | None,
        Field(description="In `units.volume`; instead of `equipment.mold`."),
    ] = None
    mold_mass: Annotated[
        Mass | None,
        Field(description="As weighed for this test, in `units.compacted`."),
    ] = None
    weighed_with: WeighedWith | None = None
    water_added: Literal["each", "cumulative"] | None = None
    curve: CurveAsked | None = None
    uncertainty: Annotated[
        YesNo | None, Field(description="Whether the report is to state it.")
    ] = None
    points: Annotated[tuple[Point, ...], Field(max_length=MOST_POINTS)]
    oven: Oven | None = None
    specific_gravity: SpecificGravity | None = None
    oversize: Oversize | None = None

    @cached_property
    def container_lines(self) -> tuple[Line, ...]:
        """Return every container of every point."""
        lines = []
        for i, point in enumerate(self.points):
            own = len(point.all_containers) - len(point.containers)
            for k, one in enumerate(point.all_containers, -own):
                field = ("points", i, *(("containers", k) if k >= 0 else ()))
                rejected = point.rejected is not None
                lines.append(Line(field, one, f"point {i + 1}", rejected))
        return tuple(lines)

    @property
    def drawn_peaks(self) -> tuple[Line, ...]:
        """Return the peak that a person drew, if any."""
        drawn = self.curve.drawn if self.curve is not None else None
        return (Line(("curve", "drawn"), drawn, "the peak"),) if drawn else ()


COMPACTED_MASS = ("compacted", "balance")
SOIL_IN_PAN = Column(
    "specimen_mass", "Soil in the pan, before the water", *COMPACTED_MASS
)
FILLED_MOLD = Column(
    "mold_and_wet_soil", "Mold and wet soil", *COMPACTED_MASS, "resolution_compacted"
)
EMPTY_MOLD = Column("mold_mass", "Empty mold", *COMPACTED_MASS, "resolution_compacted")

SPECIMENS = Columns(
    lines_at("points", "point"),
    (
        SOIL_IN_PAN,
        Column("mold_mass", "Empty mold", *COMPACTED_MASS),
        FILLED_MOLD,
        Column("wet_density", "Wet density", "density"),
        Column("dry_density", "Dry density", "density"),
    ),
)
CONTAINERS = Columns(lambda record: record.container_lines, MOISTURE)
MOLD = Columns(
    whole_record,
    (EMPTY_MOLD, Column("mold_volume", "Volume of the mold", "volume")),
)
DRAWN = Columns(
    lambda record: record.drawn_peaks,
    (Column("maximum_dry_density", "Maximum dry density", "density"),),
)
COLUMNS = (SPECIMENS, CONTAINERS, MOLD, DRAWN)
"""All readings that have a unit."""
