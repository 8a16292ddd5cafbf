"""What a one-point needs from other records, and what is compared across."""

from collections.abc import Iterator
from dataclasses import replace

from buildsite.kinds.answers import OversizeFact, SpecificGravityFact
from buildsite.kinds.field_answers import CompactedAs, FamilyCurve, FamilyFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.tests.moisture_density.links import ENOUGH, mold_refs, mold_uses
from buildsite.kinds.tests.one_point.model import (
    CONTAINERS,
    SPECIMEN,
    OnePoint,
    as_full_test,
)
from buildsite.kinds.tests.shared.columns import as_written
from buildsite.kinds.tests.shared.links import (
    common_refs,
    device_refs,
    trace_of,
    unique,
)
from buildsite.kinds.traces import Trace

CURVES = ("moisture-density",)
"""Kinds of test that one point may be held against."""


def refs(record: OnePoint) -> Iterator[Ref]:
    """Yield every question of a one-point."""
    if record.project:
        yield from common_refs(record)
    yield from mold_refs(as_full_test(record))
    yield from device_refs(record)
    if record.family is not None:
        yield Ref(FamilyFacts, ("family-of-curves",), record.family, ("family",))
    if record.reference is not None:
        where, id = ("reference",), record.reference
        yield Ref(FamilyCurve, CURVES, id, where)
        yield Ref(CompactedAs, CURVES, id, where, silent=True, bare=True)
    gravity, coarse = record.specific_gravity, record.oversize
    if gravity is not None and gravity.test is not None:
        place = ("specific_gravity", "test")
        yield Ref(SpecificGravityFact, (), gravity.test, place)
    if coarse is not None and coarse.test is not None:
        yield Ref(OversizeFact, (), coarse.test, ("oversize", "test"))


def needs(record: OnePoint) -> tuple[Ref, ...]:
    """Return the questions of a one-point, each once."""
    return unique(*refs(record))


def trace(record: OnePoint, file: str) -> Trace:
    """Return what rules compare across records."""
    filled = [str(one.part.mold_and_wet_soil) for one in SPECIMEN.lines(record)]
    read = as_written(record, CONTAINERS, ENOUGH - 1, *filled)
    made = trace_of(record, file, read, repeats=False)
    return replace(made, molds=tuple(mold_uses(as_full_test(record))))
