"""A sample: receipt, sampling, soil."""

from dataclasses import replace
from typing import Annotated, Any, Literal

from pydantic import Field

from buildsite.kinds.answers import (
    CUSTOMER,
    LaboratoryFacts,
    OversizeFact,
    ProjectFacts,
    SampleFacts,
    SpecificGravityFact,
)
from buildsite.kinds.kind import Case, Kind, Ref, late
from buildsite.kinds.laboratory.sample.blank import BLANK
from buildsite.kinds.laboratory.sample.checks import RULES
from buildsite.kinds.stated_facts import stated_gravity, stated_oversize
from buildsite.record.parts import Act, GivenBy, Oversize, SpecificGravity
from buildsite.record.reading import (
    Day,
    Id,
    Model,
    Percent,
    Portion,
    Reading,
    Remarks,
    Text,
)


class Received(Model):
    on: Day | None = None
    by: Text | None = None
    condition: Text | None = None


class Sampled(Model):
    on: Day | None = None
    by: Text | None = None
    method: Text | None = None
    place: Text | None = None


class Soil(Model):
    """The soil: name, class and group, and how it was classified."""

    name: Text | None = None
    class_: Text | None = Field(default=None, alias="class")
    class_basis: Literal["tested", "visual"] | None = None
    group: Text | None = None
    source: Text | None = None
    given_by: GivenBy | None = None


class Gradation(Model):
    """Percent by dry mass retained on each sieve, of the whole sample."""

    retained_37_5_mm: Portion | None = None
    retained_31_5_mm: Portion | None = None
    retained_20_mm: Portion | None = None
    retained_3_4_in: Annotated[
        Portion | None, Field(description="On the 3/4 in (19 mm) sieve.")
    ] = None
    retained_16_mm: Portion | None = None
    retained_3_8_in: Portion | None = None
    retained_no_4: Portion | None = None
    given_by: GivenBy | None = None


class Location(Model):
    """Where the sample was taken, with the keys of open data formats."""

    id: Text | None = None
    easting_m: Reading | None = None
    northing_m: Reading | None = None
    grid: Text | None = None
    level_m: Reading | None = None
    depth_top_m: Reading | None = None
    depth_base_m: Reading | None = None


class Sample(Model):
    format: Literal["1"] = "1"
    kind: Literal["sample"]
    id: Id
    project: Id
    received: Received | None = None
    sampled: Sampled | None = None
    soil: Soil | None = None
    gradation: Gradation | None = None
    as_received_water_content: Percent | None = None
    specific_gravity: SpecificGravity | None = None
    oversize: Oversize | None = None
    location: Location | None = None
    retained_until: Day | None = None
    discarded: Act | None = None
    remarks: Remarks | None = None


def needs(record: Sample) -> tuple[Ref, ...]:
    """Return the references to project, people, and tests of the sample."""
    codes = tuple(
        act.by
        for act in (record.received, record.sampled)
        if act is not None and act.by not in (None, CUSTOMER)
    )
    refs = [
        Ref(ProjectFacts, ("project",), record.project, ("project",)),
        Ref(
            LaboratoryFacts,
            ("laboratory",),
            "lab",
            (),
            about=tuple(code for code in codes if code is not None),
        ),
    ]
    gravity, oversize = record.specific_gravity, record.oversize
    if gravity is not None and gravity.test is not None:
        where = ("specific_gravity", "test")
        refs.append(Ref(SpecificGravityFact, (), gravity.test, where))
    if oversize is not None and oversize.test is not None:
        refs.append(Ref(OversizeFact, (), oversize.test, ("oversize", "test")))
    return tuple(refs)


def answers(case: Case[Sample, None], ref: Ref) -> SampleFacts | None:
    """
    Return the facts of a sample for a test.

    A bare question is answered without test results, so that a test's own result,
    entered for the sample, does not change the test.
    """
    if ref.asks is not SampleFacts:
        return None
    facts = facts_of(case)
    if not ref.bare:
        return facts
    return replace(
        facts,
        specific_gravity=None,
        specific_gravity_test="",
        oversize=None,
        oversize_test="",
    )


def facts_of(case: Case[Sample, None]) -> SampleFacts:
    """Return all facts of a sample."""
    sample = case.record
    soil, graded = sample.soil or Soil(), sample.gradation or Gradation()
    received = sample.received or Received()
    sampled = sample.sampled or Sampled()
    gravity, oversize = sample.specific_gravity, sample.oversize
    located = sample.location or Location()
    return SampleFacts(
        id=sample.id,
        project=sample.project,
        soil_name=soil.name or "",
        soil_class=soil.class_ or "",
        class_basis=soil.class_basis or "",
        soil_group=soil.group or "",
        soil_source=soil.source or "",
        received_on=received.on,
        received_by=received.by or "",
        condition=received.condition or "",
        sampled_on=sampled.on,
        sampled_by=sampled.by or "",
        sampled_method=sampled.method or "",
        sampled_place=sampled.place or "",
        as_received_water_content=sample.as_received_water_content,
        retained_3_4_in=graded.retained_3_4_in,
        retained_3_8_in=graded.retained_3_8_in,
        retained_no_4=graded.retained_no_4,
        specific_gravity=stated_gravity(gravity, sample.id, case.inputs),
        specific_gravity_test=(gravity.test or "") if gravity else "",
        oversize=stated_oversize(oversize, sample.id, case.inputs),
        oversize_test=(oversize.test or "") if oversize else "",
        location=located.id or "",
        depth_top_m=located.depth_top_m,
        depth_base_m=located.depth_base_m,
        retained_37_5_mm=graded.retained_37_5_mm,
        retained_31_5_mm=graded.retained_31_5_mm,
        retained_20_mm=graded.retained_20_mm,
        retained_16_mm=graded.retained_16_mm,
        soil_given_by=soil.given_by or "",
        gradation_given_by=graded.given_by or "",
    )


KIND: Kind[Sample, Any] = Kind(
    name="sample",
    title="Sample",
    group="sample",
    model=Sample,
    needs=needs,
    answers=answers,
    sheet=late("buildsite.kinds.laboratory.sample.sheet", "sheet"),
    particulars=late("buildsite.kinds.particulars.sample", "particulars"),
    blank=BLANK,
    rules=RULES,
)
