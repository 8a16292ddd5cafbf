"""Which failures are closed, and by what: of the tests that a paper lists."""

from collections.abc import Mapping, Sequence

from buildsite.kinds.field_answers import FieldTestFacts
from buildsite.kinds.tests.shared.papers.record import FAIL, PASS, in_time
from buildsite.values import dataclass

COUNTED = "acceptance"
"""Purpose of the tests that count towards a lift."""


@dataclass(frozen=True)
class Closed:
    """How a failure was closed: by a retest, or by a disposition in words."""

    by: str = ""
    disposition: str = ""


def counts(facts: FieldTestFacts) -> bool:
    """Whether a test counts towards its lift."""
    return facts.purpose == COUNTED


def is_first(facts: FieldTestFacts) -> bool:
    """Whether it is the first test of its place: no retest, and no check."""
    return not (facts.retest_of or facts.check_of)


def first_of(facts: FieldTestFacts, tests: Mapping[str, FieldTestFacts]) -> str:
    """Return the first test of a place, along the retests that are listed."""
    seen = [facts.id]
    while facts.retest_of in tests and facts.retest_of not in seen:
        facts = tests[facts.retest_of]
        seen.append(facts.id)
    return seen[-1]


def answers(later: FieldTestFacts, failure: FieldTestFacts) -> bool:
    """Whether a passing retest after rework, at the same place, closes a failure."""
    places = [(one.zone, one.lift, one.place) for one in (later, failure)]
    return (
        later.verdict == PASS
        and counts(later)
        and bool(later.retest_of and later.rework)
        and in_time(later) > in_time(failure)
        and places[0] == places[1]
    )


def closings(tests: Sequence[FieldTestFacts]) -> dict[str, Closed]:
    """
    Return what closes each failure of a list that is closed.

    A retest that fails is closed by the one that passes after it. A test keeps its own
    verdict, whatever comes later.
    """
    known = {one.id: one for one in tests}
    found = {}
    for failure in tests:
        if failure.verdict != FAIL:
            continue
        place = first_of(failure, known)
        later = [
            one
            for one in sorted(tests, key=in_time)
            if first_of(one, known) == place and answers(one, failure)
        ]
        if later:
            found[failure.id] = Closed(by=later[0].id)
        elif failure.disposition:
            found[failure.id] = Closed(disposition=failure.disposition)
    return found
