"""The record of a one-point: raw observations of one compacted specimen."""

from decimal import Decimal
from functools import cached_property
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from buildsite.kinds.tests.field_density.parts import Coarse, Position, PositionUnit
from buildsite.kinds.tests.field_density.places import position_words
from buildsite.kinds.tests.moisture_density.model import (
    EMPTY_MOLD,
    FILLED_MOLD,
    EquipmentUsed,
    RammerUse,
)
from buildsite.kinds.tests.shared.columns import Column, Columns, Line, whole_record
from buildsite.kinds.tests.shared.containers import MOISTURE
from buildsite.kinds.tests.shared.record import RecordOfWork, Tool, Work
from buildsite.record.parts import (
    Act,
    Container,
    Oven,
    Oversize,
    SpecificGravity,
    StandardUsed,
    WeighedWith,
)
from buildsite.record.reading import (
    Count,
    Id,
    Mass,
    Model,
    Percent,
    Positive,
    Text,
    YesNo,
)
from buildsite.record.units import DensityUnit, MassUnit, VolumeUnit

MOST = 60
"""Members, or points of one, that a record states: more are a slip."""


class Standard(StandardUsed):
    """AASHTO T 272 serves two efforts: `effort` names the standard of the curves."""

    effort: Annotated[
        Text | None, Field(description="T 99 or T 180: the standard of the curves.")
    ] = None


class Units(Model):
    """The unit of each group of readings."""

    compacted: MassUnit | None = None
    moisture: MassUnit | None = None
    density: DensityUnit | None = None
    volume: VolumeUnit | None = None
    mass: MassUnit | None = None
    position: PositionUnit | None = None


class Specimen(Container):
    """The compacted specimen and its water content, as a point of a full test."""

    # What a point of a full test may have besides, and one specimen has not.
    mold: ClassVar[None] = None
    mold_mass: ClassVar[None] = None
    compacted: ClassVar[None] = None
    rejected: ClassVar[None] = None
    specimen_mass: ClassVar[None] = None
    water_added_ml: ClassVar[None] = None
    oven: ClassVar[None] = None
    dried: ClassVar[None] = None

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
        Percent | None, Field(description="Stated, in percent by `water_basis`.")
    ] = None
    containers: tuple[Container, ...] = ()
    bleeding: YesNo | None = None

    @cached_property
    def all_containers(self) -> tuple[Container, ...]:
        """Return the specimen's own container, if any, then the listed ones."""
        own = Container.model_construct(  # typed already, as part of the specimen
            container=self.container,
            container_mass=self.container_mass,
            container_and_wet=self.container_and_wet,
            container_and_dry=self.container_and_dry,
        )
        written = any(value is not None for _, value in own)
        return (own, *self.containers) if written else self.containers


class StatedPoint(Model):
    """A point of a stated curve, its density in `units.density`."""

    water_content: Percent
    dry_density: Positive


class StatedMember(Model):
    """A curve that is not on file: its peak, and points along it."""

    name: Text | None = None
    maximum_dry_density: Annotated[Positive, Field(description="In `units.density`.")]
    optimum_water_content: Percent
    points: Annotated[tuple[StatedPoint, ...], Field(max_length=MOST)] = ()


class OnePoint(RecordOfWork):
    """One compacted specimen, and the curves that it is held against."""

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

    curve: ClassVar[None] = None  # its curve is found, not asked for

    kind: Literal["one-point"]
    project: Id = ""
    sample: Annotated[
        Id | None, Field(description="The sample that was compacted, if logged in.")
    ] = None
    position: Annotated[
        Position | None, Field(description="Where the soil was taken, if no sample is.")
    ] = None
    family: Annotated[Id | None, Field(description="A family of curves.")] = None
    reference: Annotated[
        Id | None, Field(description="A single compaction test, in place of a family.")
    ] = None
    members: Annotated[
        tuple[StatedMember, ...],
        Field(max_length=MOST, description="Curves that are not on file."),
    ] = ()
    standard: Standard
    preparation: Literal["moist", "dry"] | None = None
    processed_through: Text | None = None
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
    water_content_by: Literal["oven", "microwave", "stove", "gas-pressure"] | None = (
        None
    )
    water_basis: Literal["dry", "wet"] | None = None
    point: Specimen | None = None
    oven: Oven | None = None
    specific_gravity: SpecificGravity | None = None
    oversize: Oversize | None = None
    coarse: Annotated[
        Coarse | None,
        Field(description="The split of the soil as dug; its masses in `units.mass`."),
    ] = None

    @property
    def site_of_work(self) -> str | None:
        """Where the soil was taken, if no sample was: it was compacted there too."""
        return position_words(self) or None

    @cached_property
    def points(self) -> tuple[Specimen, ...]:
        """Return the specimen as the only point, its water content on dry mass."""
        point = self.point
        if point is None:
            return ()
        stated = point.water_content
        if self.water_basis == "wet" and stated is not None and stated < 100:
            dry = Decimal(100) * stated / (100 - stated)
            return (point.model_copy(update={"water_content": dry}),)
        return (point,)

    @property
    def specimen_lines(self) -> tuple[Line, ...]:
        """Return the specimen as a line of readings."""
        point = self.point
        return (Line(("point",), point, "the point"),) if point is not None else ()

    @cached_property
    def container_lines(self) -> tuple[Line, ...]:
        """Return every container of the specimen."""
        point = self.point
        if point is None:
            return ()
        own = len(point.all_containers) - len(point.containers)
        return tuple(
            Line(("point", *(("containers", k) if k >= 0 else ())), one, "the point")
            for k, one in enumerate(point.all_containers, -own)
        )

    @property
    def split_lines(self) -> tuple[Line, ...]:
        """Return the split of the coarse fraction as a line of readings."""
        split = self.coarse
        return (Line(("coarse",), split, "the split"),) if split is not None else ()

    @property
    def member_lines(self) -> tuple[Line, ...]:
        """Return the stated curves as lines of figures."""
        return tuple(
            Line(("members", i), one, f"member {i + 1}")
            for i, one in enumerate(self.members)
        )


def as_full_test(record: OnePoint) -> Any:
    """Return the record as a full test of one point: it has the same fields."""
    return record


SPECIMEN = Columns(
    lambda record: record.specimen_lines,
    (
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
SPLIT = Columns(
    lambda record: record.split_lines,
    (
        Column("wet_retained", "Moist soil retained", "mass", "balance"),
        Column("wet_passing", "Moist soil passing", "mass", "balance"),
    ),
)
MEMBERS = Columns(
    lambda record: record.member_lines,
    (Column("maximum_dry_density", "Maximum dry density", "density"),),
)
COLUMNS = (SPECIMEN, CONTAINERS, MOLD, SPLIT, MEMBERS)
"""All readings that have a unit."""
