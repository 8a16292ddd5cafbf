"""
What one record may tell another: plain values, on a date, in SI.

A test never reads another record. It asks (`Ref`) and is answered with one of these.
What was answered, and only that, goes into the `used` digest: a later calibration or
a new colleague in lab.yaml changes a file and no answer.
"""

from datetime import date
from decimal import Decimal

from buildsite.values import dataclass

CUSTOMER = "customer"
"""Stands for a staff code where the customer did it."""


def doer(code: str) -> str:
    """
    Write who did it; what the customer did is marked (ISO/IEC 17025:2017, 7.8.2.2).

    >>> doer("T07"), doer("customer")
    ('T07', 'by the customer')
    """
    return "by the customer" if code == CUSTOMER else code


@dataclass(frozen=True)
class Staff:
    """One person, as far as a report needs."""

    code: str
    name: str
    may: tuple[str, ...]
    start: date | None
    until: date | None

    def had(self, authority: str, on: date | None) -> bool:
        """Whether this person had that authority on that day (today unknown: yes)."""
        if authority not in self.may:
            return False
        if on is None:
            return True
        return not (
            (self.start is not None and on < self.start)
            or (self.until is not None and on > self.until)
        )


@dataclass(frozen=True)
class LaboratoryFacts:
    """The laboratory, its choices, and those of its people who were asked about."""

    name: str
    place: str
    invented: bool
    curve: str
    report_density: str | None
    oversize_least_percent: Decimal | None
    demands: tuple[str, ...]
    reviewer_may_be_tester: bool | None
    staff: tuple[Staff, ...]
    address: str = ""

    @property
    def where(self) -> str:
        """Where its tests are made, as a report states it."""
        return self.address or self.place

    def person(self, code: str) -> Staff | None:
        """Who that code is, if the laboratory knows it."""
        return next((who for who in self.staff if who.code == code), None)


@dataclass(frozen=True)
class OwnRepeatability:
    """Standard deviations of a laboratory's own repeat tests by one method."""

    dry_density: float  # [kg/m³]
    water_content: float  # [%]
    repeats: int | None


@dataclass(frozen=True)
class UncertaintyFacts:
    """
    That a test is to state its uncertainty, and what the laboratory knows of it.

    Where it is not to, this is not answered at all, so that no digest moves.
    """

    asked: bool
    repeatability: OwnRepeatability | None


@dataclass(frozen=True)
class BalanceError:
    """Largest error that a balance's calibration found, on the day asked about."""

    id: str
    calibrated_on: date
    largest_error_kg: float


@dataclass(frozen=True)
class ProjectFacts:
    id: str
    name: str
    customer: str
    contact: str
    report_density: str | None
    field_tests_against: str | None = None  # corrected | uncorrected


@dataclass(frozen=True)
class SpecificGravityFact:
    """
    Specific gravity of the soil compacted. `source`: the record it came from.

    Where a test put the grains held back on a sieve to the others, `value` is that of
    them all, and `passing_value` that of the soil `passing` the sieve alone.
    """

    value: Decimal
    basis: str  # measured | assumed
    water_temperature_c: Decimal | None
    source: str
    passing: str = ""
    passing_value: Decimal | None = None


@dataclass(frozen=True)
class OversizeFact:
    sieve: str
    percent_retained: Decimal
    bulk_specific_gravity: Decimal | None
    bulk_basis: str | None
    water_content: Decimal | None
    absorption: Decimal | None
    source: str


@dataclass(frozen=True)
class SampleFacts:
    """The sample: what it is, where it came from, when it was received."""

    id: str
    project: str
    soil_name: str
    soil_class: str
    class_basis: str
    soil_group: str
    soil_source: str
    received_on: date | None
    received_by: str
    condition: str
    sampled_on: date | None
    sampled_by: str
    sampled_method: str
    sampled_place: str
    as_received_water_content: Decimal | None
    retained_3_4_in: Decimal | None
    retained_3_8_in: Decimal | None
    retained_no_4: Decimal | None
    specific_gravity: SpecificGravityFact | None
    specific_gravity_test: str
    oversize: OversizeFact | None
    oversize_test: str
    location: str = ""
    depth_top_m: Decimal | None = None
    depth_base_m: Decimal | None = None
    retained_37_5_mm: Decimal | None = None
    retained_31_5_mm: Decimal | None = None
    retained_20_mm: Decimal | None = None
    retained_16_mm: Decimal | None = None


@dataclass(frozen=True)
class MoldFacts:
    """A mold and the calibration in force on the day asked about."""

    id: str
    nominal: str
    calibrated_on: date | None
    next_due: date | None
    state: str
    certificate: str
    weighed_with: str
    mass_kg: float | None
    volume_m3: float | None
    how: str  # by water | by dimensions | as certified | nominal
    volume_by_water_m3: float | None
    volume_by_dimensions_m3: float | None
    diameter_m: float | None
    height_m: float | None


@dataclass(frozen=True)
class DeviceFacts:
    """A rammer, balance, oven or sieve, and its calibration on the day asked about."""

    id: str
    kind: str
    name: str
    calibrated_on: date | None
    next_due: date | None
    state: str
    operation: str = ""  # rammer: mechanical | manual
    face: str = ""  # rammer: round | sector
    mass_kg: float | None = None  # rammer
    drop_m: float | None = None  # rammer
    face_diameter_m: float | None = None  # rammer
    resolution_kg: float | None = None  # balance
    capacity_kg: float | None = None  # balance
    opening: str = ""  # sieve


@dataclass(frozen=True)
class PycnometerFacts:
    """A pycnometer and its calibration on the day asked about."""

    id: str
    name: str
    capacity_m3: float | None
    calibrated_on: date | None
    next_due: date | None
    mass_kg: float | None  # empty, clean, dry
    volume_m3: float | None  # mean of the fillings


CALIBRATED = (MoldFacts, DeviceFacts, PycnometerFacts)
"""What answers for equipment: each has an `id` and the day it was `calibrated_on`."""
