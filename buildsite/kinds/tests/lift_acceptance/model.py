"""The acceptance of a lift: its record, and what its tests come to."""

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal, TypeAlias

from pydantic import Field

from buildsite.kinds.field_answers import LiftTerms
from buildsite.kinds.field_control.closing import (
    FAIL,
    PASS,
    Closed,
    closings,
    counts,
    final_tests,
    is_first,
)
from buildsite.kinds.field_control.lots import Lot, lots_of
from buildsite.kinds.field_control.same_place import lift_key
from buildsite.kinds.kind import Case, Inputs, Ref
from buildsite.kinds.tests.shared.links import unique
from buildsite.kinds.tests.shared.papers.record import (
    Listed,
    Paper,
    listed_tests,
    paper_refs,
)
from buildsite.kinds.tests.shared.record import Work
from buildsite.record.reading import Day, Model, Remarks, Text
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
class Values:
    """What the tests of a lift come to."""

    listed: tuple[Listed, ...]
    made: int  # places tested, with a verdict
    required: int | None
    met: int  # places that pass, by the first test or by a retest
    closed: tuple[tuple[str, Closed], ...]
    open: tuple[str, ...]  # failures that nothing closes
    lots: tuple[Lot, ...]


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
    here = lift_key(record.zone, record.lift)
    own = lift_key(facts.zone, facts.lift)
    return (facts.project, own) == (record.project, here)


def compute(record: LiftAcceptance, inputs: Inputs, method: Method | None) -> Values:
    """Count the tests of the lift, and find what closes its failures."""
    case: Acceptance = Case(record, inputs, method, None)  # type: ignore[arg-type]
    every = listed_tests(case)
    own = [one for one in every if is_of_lift(record, one)]
    terms = terms_of(inputs, record)
    asked = terms.requirement if terms is not None else None
    counted = [one.facts for one in own if counts(one.facts)]
    closed = closings(counted)
    final = final_tests(counted, closed)
    per_lift = asked is not None and asked.tests_required_each == EACH_LIFT
    return Values(
        listed=every,
        made=sum(one.verdict in (PASS, FAIL) for one in counted if is_first(one)),
        required=asked.tests_required if asked is not None and per_lift else None,
        met=sum(one.verdict == PASS for one in final),
        closed=tuple(sorted(closed.items())),
        open=tuple(
            one.id for one in counted if one.verdict == FAIL and one.id not in closed
        ),
        lots=tuple(lots_of([(one.id, one.percent_value) for one in final], asked)),
    )
