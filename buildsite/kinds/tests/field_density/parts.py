"""Parts of the record of a field density: place, works, gauge, coarse fraction."""

from typing import Annotated, Literal

from pydantic import Field

from buildsite.record.parts import Act, Container, Oven, Rejected
from buildsite.record.reading import (
    Code,
    Count,
    Day,
    Id,
    Mass,
    Model,
    Percent,
    Portion,
    Positive,
    Reading,
    Text,
    YesNo,
)
from buildsite.record.units import DensityUnit, LengthUnit, MassUnit, VolumeUnit

PositionUnit = Literal["m", "ft"]
Apparatus = Literal["sand-cone", "drive-cylinder", "nuclear-gauge", "balloon"]
WaterBy = Literal["oven", "microwave", "stove", "gas-pressure", "gauge"]

MOST = 60
"""Readings of a gauge, or containers, in one test: more are a slip."""


class Units(Model):
    """The unit of each group of readings."""

    mass: MassUnit | None = None
    moisture: MassUnit | None = None
    density: DensityUnit | None = None
    volume: VolumeUnit | None = None
    position: PositionUnit | None = None
    depth: LengthUnit | None = None


class EquipmentUsed(Model):
    """Equipment by its id."""

    sand_cone: Id | None = None
    cylinder: Id | None = None
    gauge: Id | None = None
    balloon: Id | None = None
    balance: Id | None = None
    moisture_balance: Id | None = None
    oven: Id | None = None
    sieve: Id | None = None


class Tested(Act):
    """Who tested, on which day, and at what time."""

    at: Annotated[
        Text | None, Field(description="Time of day on the site's clock, as 10:40.")
    ] = None


class Position(Model):
    """Where the test was made: station and offset, grid, or geographic."""

    station: Text | None = None
    offset: Reading | None = None
    side: Literal["left", "right", "centerline"] | None = None
    elevation: Reading | None = None
    depth_below_grade: Reading | None = None
    easting: Reading | None = None
    northing: Reading | None = None
    grid: Text | None = None
    latitude: Reading | None = None
    longitude: Reading | None = None


class Works(Model):
    """What the contractor did; thicknesses in `units.depth`."""

    thickness_loose: Positive | None = None
    thickness_compacted: Positive | None = None
    roller: Text | None = None
    passes: Count | None = None
    weather: Text | None = None
    source: Text | None = None


class SoilSeen(Model):
    """The soil as seen at the place, by name and class."""

    name: Text | None = None
    class_: Annotated[Text | None, Field(alias="class")] = None


class Rework(Model):
    """What was done at the place after a failure and before its retest."""

    what: Text | None = None
    on: Day | None = None
    by: Text | None = None


class Disposition(Model):
    """How a failure was disposed of without a passing retest, and by whom."""

    as_: Annotated[Literal["removed", "accepted-as-is"], Field(alias="as")]
    document: Text | None = None
    by: Text | None = None
    on: Day | None = None


class Surface(Model):
    """Sand to fill under the plate on rough ground: the apparatus before and after."""

    before: Mass | None = None
    after: Mass | None = None


class Pushed(Model):
    """How the specimen came out of the drive cylinder."""

    recovery: Literal["full", "short"] | None = None
    ends: Literal["sound", "disturbed"] | None = None
    soil: Literal["cohesive", "friable", "very hard"] | None = None


class GaugeReading(Model):
    """One reading of a gauge, in `units.density`; each rotated one is kept."""

    wet_density: Positive | None = None
    water: Annotated[
        Reading | None, Field(description="Mass of water over total volume.")
    ] = None
    rejected: Rejected | None = None


class Counts(Model):
    """Standard counts of the day."""

    density: Positive | None = None
    water: Positive | None = None


class Offset(Model):
    """What is added to the water of a gauge for one soil."""

    value: Reading | None = None
    unit: Annotated[
        Literal["kg/m3", "Mg/m3", "g/cm3", "lb/ft3", "lbf/ft3", "kN/m3", "%"] | None,
        Field(description="Of the value; if not stated, `units.density`."),
    ] = None
    applied: Annotated[
        Literal["in-gauge", "here"] | None,
        Field(description="in-gauge: the readings have it. here: it is added here."),
    ] = None
    soil: Annotated[
        Text | None, Field(description="The soil it was found for, by name or class.")
    ] = None


class Gauge(Model):
    """Readings of a nuclear gauge."""

    mode: Literal["direct", "backscatter"] | None = None
    depth: Annotated[
        Positive | None, Field(description="Of the rod, in `units.depth`.")
    ] = None
    readings: Annotated[tuple[GaugeReading, ...], Field(max_length=MOST)] = ()
    standard_counts: Counts | None = None
    offset: Offset | None = None
    near_wall: Annotated[
        YesNo | None, Field(description="Within 0.6 m of a wall or a trench face.")
    ] = None
    trench_count: Positive | None = None


class Specimen(Container):
    """One container of soil. A rejected one stays on file and does not count."""

    rejected: Rejected | None = None


class OvenCheck(Model):
    """The oven's water content of soil that was dried in the field."""

    containers: Annotated[tuple[Specimen, ...], Field(max_length=MOST)] = ()
    water_content: Percent | None = None
    dried: Act | None = None
    oven: Oven | None = None


class CoarseGravity(Model):
    """Bulk specific gravity of the coarse particles; SSD needs the absorption."""

    value: Positive | None = None
    basis: Literal["oven-dry", "SSD"] | None = None
    absorption: Percent | None = None


class Coarse(Model):
    """The split of the field's own soil on a sieve, moist or in percent."""

    sieve: Text | None = None
    wet_retained: Annotated[
        Reading | None, Field(description="Moist, in `units.mass`.")
    ] = None
    wet_passing: Reading | None = None
    percent_retained: Annotated[
        Portion | None, Field(description="By dry mass; instead of the two masses.")
    ] = None
    water_retained: Percent | None = None
    water_passing: Percent | None = None
    specific_gravity: CoarseGravity | None = None


class Sand(Model):
    """Sand and cone, where they are not on file."""

    bulk_density: Annotated[
        Positive | None, Field(description="In `units.density`.")
    ] = None
    cone: Annotated[Mass | None, Field(description="In `units.mass`.")] = None


class Cylinder(Model):
    """A drive cylinder that is not on file."""

    volume: Annotated[Positive | None, Field(description="In `units.volume`.")] = None
    mass: Annotated[Mass | None, Field(description="In `units.mass`.")] = None


class StatedTarget(Model):
    """What the test is compared with, where no reference is on file."""

    maximum_dry_density: Annotated[
        Positive | None, Field(description="In `units.density`.")
    ] = None
    optimum_water_content: Percent | None = None
    source: Text | None = None


class Expanded(Model):
    """Expanded uncertainties (k = 2), for a guarded decision."""

    percent_compaction: Positive | None = None
    dry_density: Annotated[
        Positive | None, Field(description="In `units.density`.")
    ] = None
    water_content: Positive | None = None
    by: Code | None = None
