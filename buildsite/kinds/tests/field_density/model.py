"""The record of a field density: raw observations only."""

from collections.abc import Iterator
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from buildsite.kinds.laboratory.requirements import StatedRequirement
from buildsite.kinds.tests.field_density.parts import (
    MOST,
    Apparatus,
    Coarse,
    Cylinder,
    Disposition,
    EquipmentUsed,
    Expanded,
    Gauge,
    OvenCheck,
    Position,
    Pushed,
    Rework,
    Sand,
    SoilSeen,
    Specimen,
    StatedTarget,
    Surface,
    Tested,
    Units,
    WaterBy,
    Works,
)
from buildsite.kinds.tests.field_density.places import place_words
from buildsite.kinds.tests.shared.columns import (
    Column,
    Columns,
    Line,
    lines_at,
    whole_record,
)
from buildsite.kinds.tests.shared.containers import MOISTURE
from buildsite.kinds.tests.shared.record import RecordOfWork, Signature, Tool, Work
from buildsite.record.parts import Act, Oven, SpecificGravity, StandardFollowed
from buildsite.record.reading import Code, Id, Mass, Percent, Positive, Reading, Text


class FieldDensity(RecordOfWork):
    """A density test in place, as on the field sheet."""

    work: ClassVar[Work] = Work(
        acts=("tested", "dried"),
        lines="containers",
        line="container",
        tools=(
            Tool("balance", "balance"),
            Tool("moisture_balance", "balance", "dried"),
            Tool("oven", "oven", "dried"),
            Tool("sieve", "sieve"),
        ),
        signed=(Signature("reference_by", "matched the reference", ("test",)),),
    )

    kind: Literal["field-density"]
    project: Id = ""
    sample: Annotated[
        Id | None, Field(description="A sample taken at the place, if any.")
    ] = None
    standard: StandardFollowed
    purpose: Annotated[
        Literal["acceptance", "contractor-control", "assurance", "information"],
        Field(description="Only acceptance counts among the tests of a lift."),
    ] = "acceptance"
    zone: Text | None = None
    lift: Text | None = None
    position: Position | None = None
    works: Works | None = None
    soil: SoilSeen | None = None
    apparatus: Apparatus
    reference: Annotated[
        Id | None, Field(description="A compaction test or a one-point.")
    ] = None
    reference_basis: Literal["one-point", "visual match", "source"] | None = None
    reference_by: Code | None = None
    tested: Tested
    dried: Act | None = None
    retest_of: Annotated[
        Id | None, Field(description="The failure, with the rework after it.")
    ] = None
    rework: Rework | None = None
    check_of: Annotated[
        Id | None, Field(description="A test at the same place, without rework.")
    ] = None
    disposition: Disposition | None = None
    units: Units
    equipment: EquipmentUsed | None = None
    largest_particle: Annotated[
        Text | None,
        Field(description="The finest sieve that all of the soil passes, visually."),
    ] = None
    sand_bag: Text | None = None
    apparatus_before: Mass | None = None
    apparatus_after: Mass | None = None
    surface: Surface | None = None
    wet_soil: Mass | None = None
    container_mass: Mass | None = None
    container_and_wet_soil: Mass | None = None
    cylinder_and_wet_soil: Mass | None = None
    cylinder_mass: Annotated[
        Mass | None, Field(description="Empty, as weighed for this test.")
    ] = None
    cylinder_specimen: Pushed | None = None
    volume_before: Reading | None = None
    volume_after: Reading | None = None
    pressure: Annotated[Positive | None, Field(description="In kPa.")] = None
    gauge: Gauge | None = None
    wet_density: Annotated[
        Positive | None, Field(description="Transcribed, in `units.density`.")
    ] = None
    dry_density: Annotated[
        Positive | None, Field(description="Transcribed, in `units.density`.")
    ] = None
    water_content_by: WaterBy | None = None
    containers: Annotated[tuple[Specimen, ...], Field(max_length=MOST)] = ()
    water_content: Annotated[
        Percent | None, Field(description="Percent, by `water_basis`.")
    ] = None
    water_basis: Literal["dry", "wet"] | None = None
    water_fraction: Literal["total", "fine"] | None = None
    oven: Oven | None = None
    oven_check: OvenCheck | None = None
    coarse: Coarse | None = None
    specific_gravity: SpecificGravity | None = None
    sand: Sand | None = None
    cylinder: Cylinder | None = None
    target: StatedTarget | None = None
    requirement: StatedRequirement | None = None
    uncertainty: Expanded | None = None

    @property
    def site_of_work(self) -> str:
        """Where it was tested: never in the laboratory."""
        return place_words(self) or "on the site, place not stated"


def container_lines(record: FieldDensity) -> Iterator[Line]:
    """Yield every container: of the field, then of the oven's check."""
    yield from lines_at("containers", "container")(record)
    check = record.oven_check.containers if record.oven_check is not None else ()
    for i, one in enumerate(check):
        words = f"container {i + 1} of the oven's check"
        field = ("oven_check", "containers", i)
        yield Line(field, one, words, one.rejected is not None)


def gauge_lines(record: FieldDensity) -> Iterator[Line]:
    """Yield every reading of a gauge."""
    for i, one in enumerate(record.gauge.readings if record.gauge is not None else ()):
        rejected = one.rejected is not None
        yield Line(("gauge", "readings", i), one, f"reading {i + 1}", rejected)


def part_line(name: str, words: str) -> Any:
    """Return the function that gives one part of the record as a line."""

    def lines(record: Any) -> Iterator[Line]:
        part = getattr(record, name)
        if part is not None:
            yield Line((name,), part, words)

    return lines


MASS = ("mass", "balance", "resolution_mass")
HOLE = Columns(
    whole_record,
    (
        Column("apparatus_before", "Apparatus and sand, before", *MASS),
        Column("apparatus_after", "Apparatus and sand, after", *MASS),
        Column("wet_soil", "Wet soil from the hole", *MASS),
        Column("container_mass", "Container for the soil", "mass", "balance"),
        Column("container_and_wet_soil", "Container and wet soil", *MASS),
        Column("cylinder_mass", "Empty cylinder", "mass", "balance"),
        Column("cylinder_and_wet_soil", "Cylinder and wet soil", *MASS),
        Column("volume_before", "Volume reading on the surface", "volume"),
        Column("volume_after", "Volume reading in the hole", "volume"),
        Column("wet_density", "Wet density", "density"),
        Column("dry_density", "Dry density", "density"),
    ),
)
SURFACE = Columns(
    part_line("surface", "the surface"),
    (
        Column("before", "Apparatus and sand, before the surface", *MASS),
        Column("after", "Apparatus and sand, after the surface", *MASS),
    ),
)
GAUGE = Columns(
    gauge_lines,
    (
        Column("wet_density", "Wet density", "density"),
        Column("water", "Water", "density"),
    ),
)
CONTAINERS = Columns(container_lines, MOISTURE)
SPLIT = Columns(
    part_line("coarse", "the coarse fraction"),
    (
        Column("wet_retained", "Moist soil retained", "mass", "balance"),
        Column("wet_passing", "Moist soil passing", "mass", "balance"),
    ),
)
STATED = (
    Columns(
        part_line("sand", "the sand"),
        (
            Column("bulk_density", "Bulk density of the sand", "density"),
            Column("cone", "Sand in cone and plate", "mass"),
        ),
    ),
    Columns(
        part_line("cylinder", "the cylinder"),
        (
            Column("volume", "Volume of the cylinder", "volume"),
            Column("mass", "Mass of the cylinder", "mass"),
        ),
    ),
    Columns(
        part_line("target", "the target"),
        (Column("maximum_dry_density", "Maximum dry density", "density"),),
    ),
)
COLUMNS = (HOLE, SURFACE, GAUGE, CONTAINERS, SPLIT, *STATED)
"""All readings that have a unit."""
