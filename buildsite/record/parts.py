"""Sub-records that several kinds share."""

from typing import Annotated, Literal

from pydantic import Field

from buildsite.record.forms import OneOrMore
from buildsite.record.reading import (
    Code,
    Count,
    Day,
    Digest,
    Id,
    Mass,
    Model,
    Moment,
    Percent,
    Portion,
    Positive,
    Reading,
    TaredMass,
    Text,
)

ReportDensity = Literal["kg/m3", "Mg/m3", "lb/ft3", "lbf/ft3", "kN/m3"]
WeighedWith = Literal["mold", "mold and base plate"]


GivenBy = Annotated[
    Literal["customer"],
    Field(description="`customer`: supplied by the customer, not found here."),
]
"""Who supplied a statement that the laboratory did not find itself."""


class Act(Model):
    """Who did something, and on which day."""

    on: Day | None = None
    by: Code | None = None


class Reviewed(Act):
    """A review; `again` counts those after an edit by the same person on that day."""

    again: Annotated[
        Count | None,
        Field(description="Reviews after a later edit, by the same person that day."),
    ] = None


class Entered(Model):
    by: Code | None = None
    checked_by: Code | None = None


class Container(Model):
    """One moisture container: empty, with the wet soil, with the dry soil."""

    container: Text | None = None
    container_mass: TaredMass | None = None
    container_and_wet: Mass | None = None
    container_and_dry: OneOrMore[Mass] | None = None


class StandardUsed(Model):
    """The published method followed, and its edition."""

    designation: Text
    edition: Text | None = None
    method: Text
    variant: Text = "none"


class StandardFollowed(StandardUsed):
    """The published method followed; a standard's only method has no name."""

    method: Text = "none"


class SpecificGravity(Model):
    """Specific gravity of the compacted soil: a value with its basis, or a test."""

    value: Positive | None = None
    basis: Literal["measured", "assumed"] | None = None
    test: Id | None = None
    water_temperature_c: Reading | None = None
    given_by: GivenBy | None = None


class Oversize(Model):
    """Oversize: retained on a sieve, percent by dry mass of the whole sample."""

    sieve: Text | None = None
    percent_retained: Portion | None = None
    bulk_specific_gravity: Positive | None = None
    bulk_basis: Literal["oven-dry", "SSD"] | None = None
    water_content: Percent | None = None
    absorption: Annotated[
        Percent | None,
        Field(description="Water absorbed, saturated surface-dry, % of dry mass."),
    ] = None
    test: Id | None = None
    given_by: GivenBy | None = None


class Deviation(Model):
    """A departure from the method, and who authorized it."""

    clause: Text | None = None
    what: Text
    reason: Text | None = None
    authorized_by: Code | None = None
    customer_agreed_on: Day | None = None


class Accepted(Model):
    """A warning that a person accepted."""

    flag: Text
    by: Code
    reason: Text


class Rejected(Model):
    """Rejection of a point: it stays on record, and out of the curve."""

    by: Code
    reason: Text


class Oven(Model):
    in_: Moment | None = Field(default=None, alias="in")
    out: Moment | None = None
    temperature_c: Reading | None = None


class BenchSheet(Model):
    """The paper sheet of the original readings."""

    file: Text
    sha256: Digest | None = None


class External(Model):
    """Another laboratory that did the test."""

    laboratory: Text
    report: Text | None = None
