"""The record of a paper of the fill, and what it asks of the field tests it lists."""

from collections.abc import Iterator
from typing import Annotated, Any, TypeAlias

from pydantic import Field as Described

from buildsite.kinds.field_answers import FieldTestFacts
from buildsite.kinds.field_control.closing import in_time
from buildsite.kinds.kind import Case, Ref
from buildsite.kinds.tests.shared.links import common_refs
from buildsite.kinds.tests.shared.record import RecordOfWork, tested_on
from buildsite.kinds.traces import OnFill, Trace
from buildsite.record.reading import Id
from buildsite.values import dataclass

FIELD_TESTS = ("field-density",)
"""Kinds that a paper lists."""

MOST_TESTS = 200
"""Tests of a lift or a day: far more are a slip, or meant to be slow."""

Tests = Annotated[
    tuple[Id, ...],
    Described(description="Field tests, by number.", max_length=MOST_TESTS),
]


class Paper(RecordOfWork):
    """A paper of the fill. Nothing was tested where it was written."""

    tests: Tests = ()

    @property
    def site_of_work(self) -> str:
        """Return a blank: it is a paper alone."""
        return ""


AnyPaper: TypeAlias = Case[Any, Any]
"""The case of a paper of any kind."""


@dataclass(frozen=True)
class Listed:
    """A field test as a paper lists it: its place in the list, and what it answers."""

    index: int
    id: str
    facts: FieldTestFacts


def paper_refs(record: Paper) -> Iterator[Ref]:
    """Return the questions of any paper: those of all work, and to each test."""
    yield from common_refs(record)
    for i, id in enumerate(record.tests):
        yield Ref(FieldTestFacts, FIELD_TESTS, id, ("tests", i))


def listed_tests(case: AnyPaper) -> tuple[Listed, ...]:
    """Return the tests that answer, in the order of the work."""
    found = []
    for i, id in enumerate(case.record.tests):
        facts = case.inputs.get(FieldTestFacts, id)
        if facts is not None and id not in case.record.tests[:i]:
            found.append(Listed(i, id, facts))
    return tuple(sorted(found, key=lambda one: in_time(one.facts)))


def trace_of_paper(record: Paper, file: str, zone: str = "", lift: str = "") -> Trace:
    """Return the trace of a paper: what it lists, to find what it leaves out."""
    fill = OnFill(record.project, zone, lift, lists=record.tests, field=("tests",))
    kept = record.status != "withdrawn"
    return Trace(
        file, record.id, (), (), on=tested_on(record), fill=fill if kept else None
    )
