"""
Answers of field control: references, requirements, apparatus and families.

As those of `kinds.answers`: plain values, on a date, in SI. They stand by themselves so
that no digest of a laboratory test moves.
"""

from datetime import date
from decimal import Decimal
from typing import ClassVar

from buildsite.kinds.answers import (
    CALIBRATED,
    NEVER,
    OversizeFact,
    SpecificGravityFact,
    since,
)
from buildsite.kinds.field_control.same_place import spoken_key
from buildsite.values import dataclass


@dataclass(frozen=True)
class Peak:
    """A maximum dry density and its optimum, unrounded and as reported."""

    maximum_dry_density: float  # [kg/m³]
    optimum_water_content: float  # [%]
    reported_density: Decimal  # in `density_unit` of the reference
    reported_water: Decimal  # [%]


@dataclass(frozen=True)
class ReferenceFacts:
    """
    What a field density is judged by: a compaction test or a one-point.

    `peak` is of the fraction compacted, `corrected` of the whole sample, where the
    reference was corrected for oversize. `effort` is standard, modified or blank;
    `sieve` the one that the soil compacted passed. `revision` is blank for a working
    record, else as in `HF-0117 r1`.
    """

    id: str
    kind: str  # moisture-density | one-point
    project: str
    sample: str
    soil_name: str
    soil_class: str
    designation: str
    edition: str
    method: str
    effort: str
    sieve: str
    density_unit: str
    peak: Peak | None
    corrected: Peak | None
    specific_gravity: SpecificGravityFact | None
    oversize: OversizeFact | None
    revision: str = ""
    why_none: str = ""  # why there is no peak, in words


@dataclass(frozen=True)
class WaterLimits:
    """The water content allowed about the optimum."""

    from_: Decimal
    to: Decimal
    as_: str  # points | percent of optimum


@dataclass(frozen=True)
class RequirementFacts:
    """
    What a project asks of the soil of one zone, defaults not yet filled in.

    A blank text is not stated. `compare` gives the way of each criterion
    (percent_compaction, dry_density, water_content): rounded or absolute.
    """

    zone: str
    clause: str
    designation: str
    edition: str
    method: str
    least_percent_compaction: Decimal | None
    least_dry_density: Decimal | None
    density_unit: str
    water_content: WaterLimits | None
    compare: tuple[tuple[str, str], ...]
    reference_values: str  # reported | unrounded
    oversize: str  # laboratory-to-field | field-to-fine | none
    decision: str  # simple | guarded
    agreed_on: date | None
    tests_required_each: str = ""
    tests_required: int | None = None
    lot_average_of: int | None = None
    lot_average: Decimal | None = None
    lot_each: Decimal | None = None
    to_nearest: Decimal | None = None  # of a water content that is compared [%]
    oven_check: bool = False  # field-dried water contents need the oven's


@dataclass(frozen=True)
class ProjectRequirements:
    """The requirements of a project, and who may accept a lift there."""

    id: str
    requirements: tuple[RequirementFacts, ...]
    engineers: tuple[str, ...]  # staff codes, or a name with its party
    field_tests_against: str = ""  # corrected | uncorrected

    def of_zone(self, zone: str) -> RequirementFacts | None:
        """Return the requirement of a zone; of the only one where none is named."""
        if not zone and len(self.requirements) == 1:
            return self.requirements[0]
        own, every = spoken_key(zone), self.requirements
        exact = (one for one in every if one.zone == zone)
        alike = (one for one in every if spoken_key(one.zone) == own)
        return next(exact, None) or next(alike, None)


@dataclass(frozen=True)
class RequirementsToServe:
    """
    The requirements of a project that a compaction test can serve by its method.

    Where there are none, `others` are those of other methods, each with its zone; where
    there are, `beside`. What says nothing of the target (tests required, engineers) is
    left out, so that it moves no report.
    """

    used_form: ClassVar[int] = 3
    id: str
    requirements: tuple[RequirementFacts, ...]
    others: tuple[str, ...] = ()
    beside: tuple[str, ...] = since(NEVER, ())  # it serves one, and not these


@dataclass(frozen=True)
class LiftTerms:
    """What a project asks of a lift of a zone, and who may accept it."""

    id: str  # of the project
    zone: str
    requirement: RequirementFacts | None
    engineers: tuple[str, ...]


@dataclass(frozen=True)
class SandConeFacts:
    """A sand-cone apparatus with the sand of one bag, in force on a day."""

    id: str
    name: str
    calibrated_on: date | None
    next_due: date | None
    cone_mass_kg: float | None  # sand that fills cone and plate
    plate: str
    bag: str
    sand_on: date | None  # when the bag's bulk density was found
    sand_next_due: date | None
    sand_density: float | None  # [kg/m³]
    sand_spread: float | None  # largest less smallest determination, % of their mean
    wrong_since: date | None = None
    bags: tuple[str, ...] = since(NEVER, ())  # in use that day, determined last first

    @property
    def parts(self) -> tuple[tuple[str, date | None], ...]:
        """The bag, with the day of its determination in force."""
        return ((self.bag, self.sand_on),) if self.bag else ()


@dataclass(frozen=True)
class DriveCylinderFacts:
    """A drive cylinder, in force on a day."""

    id: str
    name: str
    calibrated_on: date | None
    next_due: date | None
    mass_kg: float | None
    volume_m3: float | None
    diameter_m: float | None
    height_m: float | None
    wrong_since: date | None = None


@dataclass(frozen=True)
class CountsOfDay:
    """Standard counts of a gauge on one day; `repeated` where taken again that day."""

    on: date
    density: float
    water: float
    repeated: bool = False


@dataclass(frozen=True)
class GaugeFacts:
    """A nuclear gauge on a day. Serial, leak test and licence stay in-house."""

    id: str
    name: str
    calibrated_on: date | None
    next_due: date | None
    leak_test_due: date | None
    counts: tuple[CountsOfDay, ...]  # of that day, then the four before, newest first
    density_limit: float | None = None  # the maker's, % of the mean of the last four
    water_limit: float | None = None
    out_of_service: bool = False
    wrong_since: date | None = None


@dataclass(frozen=True)
class BalloonFacts:
    """A rubber-balloon apparatus, in force on a day."""

    id: str
    name: str
    calibrated_on: date | None
    next_due: date | None
    largest_error: float | None  # of the checked volumes [%]
    wrong_since: date | None = None


FIELD_CALIBRATED = (SandConeFacts, DriveCylinderFacts, GaugeFacts, BalloonFacts)
"""Answers of field apparatus, which `DeviceFacts` does not serve."""

EQUIPMENT_ANSWERS = (*CALIBRATED, *FIELD_CALIBRATED)
"""Answers of all equipment: each has an `id` and the date it was `calibrated_on`."""


@dataclass(frozen=True)
class FamilyCurve:
    """One member of a family: its peak and its curve, as last reported."""

    id: str
    designation: str
    method: str
    peak: Peak
    points: tuple[tuple[float, float], ...]  # its specimens: [%], [kg/m³]
    line: tuple[tuple[float, float], ...]  # along the curve: [%], [kg/m³]
    revision: str = ""
    specific_gravity: SpecificGravityFact | None = None
    density_unit: str = ""
    water_density: float | None = None  # for zero air voids [kg/m³]
    edition: str = ""
    effort: str = ""  # standard | modified
    preparation: str = ""  # moist | dry
    operation: str = ""  # of the rammer: mechanical | manual
    face: str = ""  # round | sector


@dataclass(frozen=True)
class CompactedAs:
    """How the specimens of a compaction test were made, as its record says."""

    id: str
    designation: str
    edition: str
    method: str
    effort: str
    preparation: str
    operation: str
    face: str


@dataclass(frozen=True)
class FamilyFacts:
    """A family of curves; those that give no curve are named in `without`."""

    id: str
    members: tuple[FamilyCurve, ...]
    without: tuple[str, ...] = ()


@dataclass(frozen=True)
class PlaceFacts:
    """Where a field test was taken, as its retest asks."""

    id: str
    zone: str
    lift: str
    place: str  # in words, as `station 12+40, 3.2 m left`
    coordinates: tuple[tuple[str, str], ...]
    tested_on: date | None
    verdict: str  # pass | fail | none


@dataclass(frozen=True)
class FieldTestFacts:
    """
    A field density as papers of the fill list it: its place, results and verdict.

    `percent`, `dry_density` (with its unit) and `water` are as reported, blank where
    there is none. `closed_by` is the passing retest after rework at the same place,
    where the record that asks can know it; `disposition` that of a failure, in words.
    `revision` names the report that answers, blank for a working record.
    """

    id: str
    project: str
    zone: str
    lift: str
    place: str  # in words, as `station 12+40, 3.2 m left`
    tested_on: date | None
    purpose: str  # acceptance | contractor-control | assurance | information
    dry_density: str
    percent: str
    water: str
    verdict: str  # pass | fail | none
    why: str
    percent_value: float | None = None  # unrounded [%]
    position: tuple[tuple[str, str], ...] = ()  # as written, by field
    retest_of: str = ""  # of a failure, after the rework
    check_of: str = ""  # of a test at the same place, without rework
    rework: str = ""  # what was done before it, in words
    closed_by: str = ""
    disposition: str = ""
    reference: str = ""  # the curve, as `HF-0117 r1`
    revision: str = ""
    tested_at: str = ""  # time of day, as written
    tested_by: str = ""  # staff code
    apparatus: str = ""  # sand-cone | drive-cylinder | nuclear-gauge | balloon
