"""The acceptance of a lift: its record, and what its tests come to."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from math import fsum
from typing import Annotated, ClassVar, Literal, TypeAlias

from pydantic import Field

from buildsite.kinds.bounds import PERCENT, how_of
from buildsite.kinds.field_answers import LiftTerms, RequirementFacts
from buildsite.kinds.kind import Case, Inputs, Ref
from buildsite.kinds.tests.shared.links import unique
from buildsite.kinds.tests.shared.papers.closing import (
    Closed,
    closings,
    counts,
    is_first,
)
from buildsite.kinds.tests.shared.papers.record import (
    FAIL,
    PASS,
    Listed,
    Paper,
    listed_tests,
    paper_refs,
)
from buildsite.kinds.tests.shared.record import Work
from buildsite.record.reading import Day, Model, Remarks, Text
from buildsite.soil.acceptance import compared
from buildsite.standards.method import Method
from buildsite.values import dataclass

EACH_LIFT = "lift"
"""What a number of tests is required of, where it is of a lift."""


class LiftAccepted(Model):
    """The act of the engineer of record: the day, who, and the paper that says so."""

    on: Day | None = None
    by: Annotated[
        Text | None,
        Field(description="Staff code, or name and party, of the engineer of record."),
    ] = None
    document: Annotated[
        Text | None, Field(description="Letter or form in which it was stated.")
    ] = None


class LiftAcceptance(Paper):
    """The acceptance of a lift by the engineer of record."""

    work: ClassVar[Work] = Work(act="lift_accepted", acts=())

    kind: Literal["lift-acceptance"]
    zone: Text
    lift: Text
    lift_accepted: LiftAccepted = LiftAccepted()
    basis: Annotated[
        Remarks | None,
        Field(description="On what it rests besides the tests, if on anything."),
    ] = None


@dataclass(frozen=True)
class LotResult:
    """The average of the tests of a lot; None where the lot is not full."""

    tests: tuple[str, ...]
    average: float | None  # [%]
    compared: Decimal | None  # as it is compared with the limit [%]
    met: bool | None


@dataclass(frozen=True)
class Values:
    """What the tests of a lift come to."""

    listed: tuple[Listed, ...]
    made: int  # places tested, with a verdict
    required: int | None
    met: int  # places that pass, by the first test or by a retest
    closed: tuple[tuple[str, Closed], ...]
    open: tuple[str, ...]  # failures that nothing closes
    lots: tuple[LotResult, ...]


Acceptance: TypeAlias = Case[LiftAcceptance, Values]


def needs(record: LiftAcceptance) -> tuple[Ref, ...]:
    """Return the questions of an acceptance."""
    project, zone = record.project, (record.zone,)
    terms = Ref(LiftTerms, ("project",), project, ("project",), about=zone, silent=True)
    return unique(*with_engineer(record), terms)


def with_engineer(record: LiftAcceptance) -> Iterator[Ref]:
    """Return the questions of any paper; to the laboratory also about the engineer."""
    for ref in paper_refs(record):
        by = record.lift_accepted.by
        if ref.kinds == ("laboratory",) and not ref.silent and by is not None:
            about = tuple(dict.fromkeys((*ref.about, by)))
            yield Ref(ref.asks, ref.kinds, ref.id, ref.field, about=about)
        else:
            yield ref


def terms_of(inputs: Inputs, record: LiftAcceptance) -> LiftTerms | None:
    """Return what the acceptance rests on; None where the project states nothing."""
    return inputs.get(LiftTerms, record.project)


def is_of_lift(record: LiftAcceptance, one: Listed) -> bool:
    """Whether a test is of this zone and lift of this project."""
    facts = one.facts
    here = (record.project, record.zone, record.lift)
    return (facts.project, facts.zone, facts.lift) == here


def lots_of(
    tests: Sequence[Listed], terms: RequirementFacts | None
) -> Iterator[LotResult]:
    """
    Return the lots of a lift: so many tests each, in the order of the work.

    A lot holds the test of each place that counts: of a failure, the retest that
    closed it.
    """
    if terms is None or not terms.lot_average_of or terms.lot_average is None:
        return
    size, limit = terms.lot_average_of, terms.lot_average
    how = how_of(terms, PERCENT)
    for start in range(0, len(tests), size):
        lot = tests[start : start + size]
        ids = tuple(one.id for one in lot)
        values = [one.facts.percent_value for one in lot]
        known = [value for value in values if value is not None]
        if len(known) < size:
            yield LotResult(ids, None, None, None)
            continue
        average = fsum(known) / size
        shown = compared(average, limit, how)
        yield LotResult(ids, average, shown, shown >= limit)


def compute(record: LiftAcceptance, inputs: Inputs, method: Method | None) -> Values:
    """Count the tests of the lift, and find what closes its failures."""
    case: Acceptance = Case(record, inputs, method, None)  # type: ignore[arg-type]
    every = listed_tests(case)
    own = [one for one in every if is_of_lift(record, one)]
    terms = terms_of(inputs, record)
    asked = terms.requirement if terms is not None else None
    counted = [one for one in own if counts(one.facts)]
    closed = closings([one.facts for one in counted])
    places = [one for one in counted if is_first(one.facts)]
    by_id = {one.id: one for one in counted}
    final = [by_id.get(closed[p.id].by, p) if p.id in closed else p for p in places]
    per_lift = asked is not None and asked.tests_required_each == EACH_LIFT
    return Values(
        listed=every,
        made=sum(one.facts.verdict in (PASS, FAIL) for one in places),
        required=asked.tests_required if asked is not None and per_lift else None,
        met=sum(one.facts.verdict == PASS for one in final),
        closed=tuple(sorted(closed.items())),
        open=tuple(
            one.id
            for one in counted
            if one.facts.verdict == FAIL and one.id not in closed
        ),
        lots=tuple(lots_of(final, asked)),
    )
