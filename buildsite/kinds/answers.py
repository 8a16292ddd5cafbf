"""
Answers that one record gives another: plain values, on a date, in SI.

A test never reads another record: it asks by a `Ref` and gets one of these. Only the
answers go into the `used` digest; a later calibration or a new colleague in lab.yaml
changes no answer. What a later program adds declares its form: `since`.
"""

from dataclasses import field
from datetime import date
from decimal import Decimal
from typing import Any, ClassVar

from buildsite.standards.confirmed import Confirmed
from buildsite.values import dataclass

FORM = "used_form"
"""
Attribute of an answer's class, and key of a field, with the form of `used` with which
it entered: ``used_form: ClassVar[int] = 2``.
"""

FIRST_FORM = 1
NEVER = 0
"""Form of an answer that no digest covers: words of a page about its sources."""


def since(form: int, default: Any) -> Any:
    """
    Return a field that a later program hands over.

    It is declared only where a record of old has a value for it. One that stays empty
    until somebody writes it needs no form: empty values are in no digest.
    """
    return field(default=default, metadata={FORM: form})


CUSTOMER = "customer"
"""In place of a staff code where the customer did the work."""


def doer(code: str) -> str:
    """
    Return who did it; the customer's work is marked (ISO/IEC 17025:2017, 7.8.2.2).

    >>> doer("T07"), doer("customer")
    ('T07', 'by the customer')
    """
    return "by the customer" if code == CUSTOMER else code


def given(text: str, by: str, laboratory: str = "") -> str:
    """
    Return a statement, marked where the customer or another laboratory supplied it.

    >>> given("CL", "customer"), given("CL", ""), given("—", "customer")
    ('CL (from the customer)', 'CL', '—')
    """
    who = "the customer" if by else laboratory
    return f"{text} (from {who})" if who and text not in ("", "—") else text


@dataclass(frozen=True)
class Staff:
    """One person of the staff."""

    code: str
    name: str
    may: tuple[str, ...]
    start: date | None
    until: date | None

    def had(self, authority: str, on: date | None) -> bool:
        """Whether this person had that authority on that date (date unknown: yes)."""
        return authority in self.may and (
            on is None or on_staff(on, self.start, self.until)
        )


def on_staff(on: date, start: date | None, until: date | None) -> bool:
    """Whether a day is among the first and last days of a person, both included."""
    return (start is None or start <= on) and (until is None or on <= until)


def days_on_staff(start: date | None, until: date | None) -> str:
    """
    Return the first and last day of a person as words go on; blank where both are open.

    >>> days_on_staff(date(2024, 3, 1), None)
    ' from 2024-03-01'
    """
    return (f" from {start}" if start else "") + (f" until {until}" if until else "")


@dataclass(frozen=True)
class LaboratoryFacts:
    """The laboratory, its choices, and the staff asked about."""

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
        """Return the place of its tests, as a report states it."""
        return self.address or self.place

    def person(self, code: str) -> Staff | None:
        """Return the person with that code, if known."""
        return next((who for who in self.staff if who.code == code), None)


@dataclass(frozen=True)
class ConfirmedCells:
    """
    Cells of a test's standard that the laboratory confirmed with its own copy.

    They change what a source is called, and no figure: no digest covers them.
    """

    used_form: ClassVar[int] = NEVER
    cells: tuple[Confirmed, ...]


@dataclass(frozen=True)
class OwnRepeatability:
    """Standard deviations of a laboratory's own repeat tests by one method."""

    dry_density: float  # [kg/m³]
    water_content: float  # [%]
    repeats: int | None


@dataclass(frozen=True)
class UncertaintyFacts:
    """
    That a test must state its uncertainty, and the laboratory's own repeatability.

    Where it need not, there is no answer, so that no digest changes.
    """

    asked: bool
    repeatability: OwnRepeatability | None


@dataclass(frozen=True)
class BalanceError:
    """Largest error in a balance's calibration in force on a day."""

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

    Where a test includes the particles retained on a sieve, `value` is that of the
    whole soil, and `passing_value` that of the soil `passing` the sieve.
    """

    value: Decimal
    basis: str  # measured | assumed
    water_temperature_c: Decimal | None
    source: str
    passing: str = ""
    passing_value: Decimal | None = None
    given_by: str = ""  # customer, where not found by a laboratory
    laboratory: str = since(2, "")  # another one, that found it


@dataclass(frozen=True)
class OversizeFact:
    sieve: str
    percent_retained: Decimal
    bulk_specific_gravity: Decimal | None
    bulk_basis: str | None
    water_content: Decimal | None
    absorption: Decimal | None
    source: str
    given_by: str = ""
    laboratory: str = since(2, "")


@dataclass(frozen=True)
class SampleFacts:
    """The sample: description, source, sampling, receipt."""

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
    soil_given_by: str = ""  # customer, where not found here
    gradation_given_by: str = ""


@dataclass(frozen=True)
class MoldFacts:
    """A mold and its calibration in force on a day."""

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
    wrong_since: date | None = None  # where it was found after the test: since when


@dataclass(frozen=True)
class DeviceFacts:
    """A rammer, balance, oven or sieve, and its calibration in force on a day."""

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
    wrong_since: date | None = None  # where it was found after the test: since when


@dataclass(frozen=True)
class PycnometerFacts:
    """A pycnometer and its calibration in force on a day."""

    id: str
    name: str
    capacity_m3: float | None
    calibrated_on: date | None
    next_due: date | None
    mass_kg: float | None  # empty, clean, dry
    volume_m3: float | None  # mean of the fillings
    wrong_since: date | None = None  # where it was found after the test: since when


CALIBRATED = (MoldFacts, DeviceFacts, PycnometerFacts)
"""Answers of equipment: each has an `id` and the date it was `calibrated_on`."""
