"""
Traces: the few facts of each test that rules across records see.

A kind gives them (`Kind.trace`), so that tests are compared without computing them.
"""

from dataclasses import replace
from datetime import date
from typing import Any, NamedTuple

from buildsite.kinds.field_answers import EQUIPMENT_ANSWERS
from buildsite.kinds.kind import Kind
from buildsite.record.flags import Doubt, Field
from buildsite.values import dataclass


class MoldUse(NamedTuple):
    """A mold as weighed for one test."""

    mold: str
    on: date
    mass_kg: float
    resolution_kg: float
    weighed_with: str
    shown: str  # as written, with its unit
    field: Field


class ContainerUse(NamedTuple):
    """A labelled container as weighed empty for one test."""

    label: str
    on: date | None
    mass_kg: float
    resolution_kg: float
    shown: str  # as written, with its unit
    field: Field


class Use(NamedTuple):
    """A piece of equipment used in one test, on a day."""

    equipment: str
    on: date
    specimens: int  # compacted with it, or in it
    parts: tuple[str, ...] = ()  # of it, as a bag of sand


Standard = tuple[str, str, str, str]
"""Designation, method, variant and edition, as for `standards.find`."""


def standard_of(record: Any) -> Standard | None:
    """Return the standard of a test, as it is looked up."""
    used = getattr(record, "standard", None)
    if used is None:
        return None
    return (used.designation, used.method, used.variant, used.edition or "")


@dataclass(frozen=True)
class OnFill:
    """
    What field tests and papers of the fill are compared by; none if withdrawn.

    A test has its place and `purpose`; a paper `lists` tests, all those of its lift (or
    of its day, where `lift` is blank) up to its own day. `field`: of the list.
    """

    project: str
    zone: str
    lift: str
    place: str = ""
    purpose: str = ""
    lists: tuple[str, ...] = ()
    field: Field = ()
    names: tuple[str, ...] = ()  # tests at its place that a test retests or checks

    @property
    def is_paper(self) -> bool:
        """Whether it lists tests, and is none."""
        return bool(self.field)


@dataclass(frozen=True)
class Trace:
    """The facts of one test, for comparison with others."""

    file: str
    id: str
    molds: tuple[MoldUse, ...]
    readings: tuple[tuple[Field, tuple[str, ...]], ...]  # a line, all its readings
    alike: tuple[str, ...] = ()  # common to its repeat tests: sample, method
    on: date | None = None
    uses: tuple[Use, ...] = ()
    containers: tuple[ContainerUse, ...] = ()
    standard: Standard | None = None
    fill: OnFill | None = None
    sample: str = ""
    has_curve: bool = False  # whether it measures a compaction curve


@dataclass(frozen=True)
class Repeated:
    """Two repeat tests by their files, compared."""

    earlier: str
    later: str
    words: str
    doubt: Doubt | None


def trace_of_record(kind: Kind[Any, Any], record: Any, file: str) -> Trace | None:
    """Return the trace of a record, if its kind gives one or it names equipment."""
    found: Trace | None = kind.trace(record, file) if kind.trace is not None else None
    if found is not None and found.uses:
        return found
    uses = [
        Use(ref.id, ref.on, 0, ref.about)
        for ref in kind.needs(record)
        if ref.asks in EQUIPMENT_ANSWERS and ref.on is not None
    ]
    if not uses:
        return found
    bare = found or Trace(file, record.id, (), ())
    return replace(bare, uses=tuple(dict.fromkeys(uses)))
