"""The laboratory: its name, staff, and choices left by the standards."""

from collections.abc import Iterator
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import Field

from buildsite.kinds.answers import (
    ConfirmedCells,
    LaboratoryFacts,
    OwnRepeatability,
    Staff,
    UncertaintyFacts,
    days_on_staff,
    on_staff,
)
from buildsite.kinds.kind import (
    Case,
    Kind,
    Ref,
    late,
)
from buildsite.kinds.laboratory.confirmed_cells import RULES as CONFIRMED_RULES
from buildsite.kinds.laboratory.confirmed_cells import Confirmation, confirmed_answer
from buildsite.kinds.laboratory.procedure_checks import RULES as PROCEDURE_RULES
from buildsite.kinds.shared_rules import METHOD_NAMED
from buildsite.kinds.sheet import Cell, Column, Row, Sheet, Table
from buildsite.record.flags import Doubt, Flag, error, warning
from buildsite.record.parts import ReportDensity
from buildsite.record.reading import (
    Address,
    Code,
    Count,
    Day,
    Model,
    Percent,
    Positive,
    Text,
    YesNo,
)
from buildsite.record.units import DensityUnit, to_si
from buildsite.standards.confirmed import same_standard
from buildsite.standards.tables import designations, nearest, standard

DEMANDS = (
    "bench_sheet",
    "blows_per_layer",
    "container",
    "dried",
    "entered",
    "equipment.balance",
    "equipment.moisture_balance",
    "equipment.oven",
    "equipment.rammer",
    "equipment.sieve",
    "layers",
    "oven",
    "oven_check",
    "prepared",
    "preparation",
    "processed_through",
    "rammer",
    "specimens",
    "standard.edition",
    "water_added_ml",
    "weighed_with",
)
"""Optional fields that a laboratory's procedures may demand of each test."""


class StaffMember(Model):
    """One person's roles and authorities, and their dates."""

    roles: tuple[Text, ...] = ()
    may: tuple[Literal["test", "review", "authorize"], ...] = ()
    from_: Day | None = Field(default=None, alias="from")
    until: Day | None = None
    name: Text | None = None
    emails: tuple[Text, ...] = ()
    keys: tuple[Text, ...] = ()

    def serves(self, on: date) -> bool:
        """Whether this person is on the staff on a day."""
        return on_staff(on, self.from_, self.until)

    def had(self, authority: str, on: date) -> bool:
        """Whether this person has an authority on a day."""
        return authority in self.may and self.serves(on)

    @property
    def days(self) -> str:
        """Return the first and last day, as words go on; blank where both are open."""
        return days_on_staff(self.from_, self.until)


class Repeatability(Model):
    """Repeatability from the laboratory's own repeat tests by one method."""

    standard: Text
    method: Text | None = None
    density_unit: DensityUnit
    maximum_dry_density: Annotated[
        Positive, Field(description="Standard deviation, in `density_unit`.")
    ]
    optimum_water_content: Annotated[
        Positive, Field(description="Standard deviation, in points.")
    ]
    repeats: Count | None = None


class Procedures(Model):
    """Choices that the standards leave to the laboratory."""

    curve: Text = "auto"
    report_density: ReportDensity | None = None
    oversize_least_percent: Percent | None = None
    demands: tuple[Text, ...] = ()
    reviewer_may_be_tester: YesNo | None = None
    signed_edits: YesNo = False
    published_branch: Text = "main"
    published_at: Annotated[
        Address | None,
        Field(description="Where clients read the site; reports sent out lead there."),
    ] = None
    uncertainty_from: Annotated[
        Day | None,
        Field(description="Tests compacted from this day on state their uncertainty."),
    ] = None
    repeatability: tuple[Repeatability, ...] = ()
    standards: Annotated[
        tuple[Text, ...], Field(description="Standards in use, the usual one first.")
    ] = ()


class Laboratory(Model):
    format: Literal["1"] = "1"
    kind: Literal["laboratory"]
    name: Text
    place: Text
    address: Text | None = None
    invented: YesNo = False
    staff: Annotated[
        dict[Code, StaffMember], Field(description="Each person by staff code.")
    ]
    procedures: Procedures = Procedures()
    confirmed: Annotated[
        tuple[Confirmation, ...],
        Field(description="Cells of standards, checked in the laboratory's own copy."),
    ] = ()
    robots: Literal["none"] | None = None


def signatory(lab: Laboratory | None, code: str, on: date) -> str:
    """
    Return who authorized a report: printed name and code, and the function that day.

    ISO/IEC 17025:2017, 7.8.2.1 o: who authorizes a report is identified.
    """
    who = lab.staff.get(code) if lab is not None else None
    if who is None:
        return code
    named = f"{who.name} ({code})" if who.name else code
    return ", ".join((named, *(who.roles if who.serves(on) else ())))


ASKED = "asked"
"""Part of a question by a test that requests its own uncertainty."""


def uncertainty(chosen: Procedures, ref: Ref) -> UncertaintyFacts | None:
    """Return the facts for a test's uncertainty, if it must be stated."""
    designation, method, *asked = ref.about
    since = chosen.uncertainty_from
    if ASKED not in asked and (since is None or ref.on is None or ref.on < since):
        return None
    for own in chosen.repeatability:
        if same_standard(own.standard, designation) and own.method in (None, method):
            density = to_si(own.maximum_dry_density, own.density_unit)
            water = float(own.optimum_water_content)
            known = OwnRepeatability(density, water, own.repeats)
            return UncertaintyFacts(asked=True, repeatability=known)
    return UncertaintyFacts(asked=True, repeatability=None)


def answers(case: Case[Laboratory, None], ref: Ref) -> object | None:
    """Return the facts of the laboratory, and of the people asked about."""
    if ref.asks is UncertaintyFacts:
        return uncertainty(case.record.procedures, ref)
    if ref.asks is ConfirmedCells:
        return confirmed_answer(case.record, ref)
    if ref.asks is not LaboratoryFacts:
        return None
    lab, chosen = case.record, case.record.procedures
    return LaboratoryFacts(
        name=lab.name,
        place=lab.place,
        invented=lab.invented,
        curve=chosen.curve,
        report_density=chosen.report_density,
        oversize_least_percent=chosen.oversize_least_percent,
        demands=tuple(sorted(chosen.demands)),
        reviewer_may_be_tester=chosen.reviewer_may_be_tester,
        staff=tuple(
            Staff(
                code,
                lab.staff[code].name or "",
                tuple(lab.staff[code].may),
                lab.staff[code].from_,
                lab.staff[code].until,
            )
            for code in sorted(set(ref.about))
            if code in lab.staff
        ),
        address=lab.address or "",
    )


@error("unknown-demand", "common practice")
def unknown_demand(case: Case[Laboratory, None]) -> Iterator[Doubt]:
    """A demand of the procedures is not a field of a test."""
    for i, name in enumerate(case.record.procedures.demands):
        if name not in DEMANDS:
            yield Doubt(
                field=("procedures", "demands", i),
                found=name,
                expected="one of " + ", ".join(DEMANDS),
                mend="enter an optional field of a test",
            )


@warning("unknown-standard", METHOD_NAMED)
def unknown_standard(case: Case[Laboratory, None]) -> Iterator[Doubt]:
    """The standard is not on file: its method is not checked."""
    for i, name in enumerate(case.record.procedures.standards):
        if standard(name) is None:
            near = nearest(name)
            yield Doubt(
                field=("procedures", "standards", i),
                found=name,
                expected="one of " + ", ".join(designations()),
                mend=f"enter perhaps {near}" if near else "enter one of these",
            )


@warning("email-of-two-people", "ISO/IEC 17025:2017, 7.5.1")
def email_of_two_people(case: Case[Laboratory, None]) -> Iterator[Doubt]:
    """Two people have one e-mail address: a commit could be by either."""
    first: dict[str, str] = {}
    for code, who in case.record.staff.items():
        for i, email in enumerate(who.emails):
            owner = first.setdefault(email.casefold(), code)
            if owner != code:
                yield Doubt(
                    field=("staff", code, "emails", i),
                    found=f"{email}, as for {owner}",
                    expected="the address of one person only",
                    mend="enter each person's own address for commits",
                )


@error("authority-ends-before-it-begins", "common practice")
def authority_ends_before_it_begins(case: Case[Laboratory, None]) -> Iterator[Doubt]:
    """A person's `until` is before `from`."""
    for code, who in case.record.staff.items():
        if who.from_ and who.until and who.until < who.from_:
            yield Doubt(
                field=("staff", code, "until"),
                found=who.until.isoformat(),
                expected=f"{who.from_} or later",
                mend="check for interchanged dates",
            )


def sheet(case: Case[Laboratory, None], flags: tuple[Flag, ...]) -> Sheet:
    """Return the sheet of the laboratory and its staff."""
    lab = case.record
    named = any(who.name for who in lab.staff.values())
    people = tuple(
        Row(
            (
                Cell(code),
                *((Cell(who.name or "—"),) if named else ()),
                Cell(", ".join(who.roles) or "—"),
                Cell(", ".join(who.may) or "—"),
                Cell(who.from_.isoformat() if who.from_ else "—"),
                Cell(who.until.isoformat() if who.until else "—"),
            )
        )
        for code, who in sorted(lab.staff.items())
    )
    name = ("Name",) if named else ()
    labels = ("Code", *name, "Roles", "Authorized to", "From", "Until")
    columns = tuple(map(Column, labels))
    return Sheet(
        title=lab.name,
        subtitle=lab.address or lab.place,
        blocks=(
            Table(
                "people", "Staff", columns, people, role="more", laboratory_only=True
            ),
        ),
    )


KIND: Kind[Laboratory, Any] = Kind(
    name="laboratory",
    title="Laboratory",
    group="laboratory",
    model=Laboratory,
    answers=answers,
    sheet=sheet,
    particulars=late("buildsite.kinds.particulars.laboratory", "laboratory"),
    rules=(
        unknown_standard,
        unknown_demand,
        authority_ends_before_it_begins,
        email_of_two_people,
        *CONFIRMED_RULES,
        *PROCEDURE_RULES,
    ),
)
