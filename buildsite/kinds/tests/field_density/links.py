"""What a field density needs from other records, and what is compared across."""

from collections.abc import Iterator
from dataclasses import replace

from buildsite.kinds.answers import SpecificGravityFact
from buildsite.kinds.field_answers import (
    PlaceFacts,
    ProjectRequirements,
    ReferenceFacts,
)
from buildsite.kinds.kind import Ref
from buildsite.kinds.laboratory.requirements import ENGINEERS
from buildsite.kinds.tests.field_density.holes import FACTS_OF, FIELD_OF, apparatus_id
from buildsite.kinds.tests.field_density.model import CONTAINERS, HOLE, FieldDensity
from buildsite.kinds.tests.field_density.places import position_words
from buildsite.kinds.tests.shared.columns import as_written
from buildsite.kinds.tests.shared.links import (
    common_refs,
    device_refs,
    trace_of,
    unique,
)
from buildsite.kinds.traces import OnFill, Trace

REFERENCES = ("moisture-density", "one-point")
"""Kinds of test that a field density may be judged by; a family alone gives none."""

ENOUGH = 3
"""Readings that two tests do not share by chance."""


def apparatus_refs(record: FieldDensity) -> Iterator[Ref]:
    """Yield the question to the apparatus, as of the day of the test."""
    id = apparatus_id(record)
    if id:
        about = (record.sand_bag,) if record.sand_bag else ()
        where = ("equipment", FIELD_OF[record.apparatus])
        asks, on = FACTS_OF[record.apparatus], record.tested.on
        kind = "gauge" if record.apparatus == "nuclear-gauge" else record.apparatus
        yield Ref(asks, (kind,), id, where, on, about=about)


def requirements_ref(record: FieldDensity, project: str) -> Ref:
    """Ask what the project requires of the test's zone; if failed, who may dispose."""
    who = (ENGINEERS,) if record.disposition is not None else ()
    about, where = (record.zone or "", *who), ("project",)
    return Ref(ProjectRequirements, where, project, where, about=about, silent=True)


def refs(record: FieldDensity) -> Iterator[Ref]:
    """Yield every question of a field density."""
    if record.project:
        yield from common_refs(record)
        yield requirements_ref(record, record.project)
    yield from apparatus_refs(record)
    yield from device_refs(record)
    if record.reference is not None:
        yield Ref(ReferenceFacts, REFERENCES, record.reference, ("reference",))
    for name in ("retest_of", "check_of"):
        id = getattr(record, name)
        if id is not None:
            yield Ref(PlaceFacts, ("field-density",), id, (name,))
    gravity = record.specific_gravity
    if gravity is not None and gravity.test is not None:
        place = ("specific_gravity", "test")
        yield Ref(SpecificGravityFact, (), gravity.test, place)


def needs(record: FieldDensity) -> tuple[Ref, ...]:
    """Return the questions of a field density, each once."""
    return unique(*refs(record))


def trace(record: FieldDensity, file: str) -> Trace:
    """Return what rules compare across records."""
    readings = (
        *as_written(record, HOLE, ENOUGH, "hole"),
        *as_written(record, CONTAINERS, ENOUGH),
    )
    made = trace_of(record, file, readings, repeats=False)
    if record.status == "withdrawn":
        return made
    place = position_words(record)
    fill = OnFill(
        record.project,
        record.zone or "",
        record.lift or "",
        place,
        record.purpose,
        names=tuple(filter(None, (record.retest_of, record.check_of))),
    )
    return replace(made, fill=fill)
