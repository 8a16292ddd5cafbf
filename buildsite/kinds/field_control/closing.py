"""
What closes a failure: a passing retest after rework at its place, or a disposition.

Of a test as a page collects it, or as a paper of the fill lists it: both say the same.
A failure keeps its verdict, whatever comes later.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Protocol, TypeVar

from buildsite.kinds.field_control.same_place import at_one_place, lift_key
from buildsite.values import dataclass

PASS, FAIL, NO_VERDICT = "pass", "fail", "none"

COUNTED = "acceptance"
"""The purpose of tests that count towards a lift."""

Pairs = tuple[tuple[str, str], ...]


class Tested(Protocol):
    """A field test, as far as retests are concerned."""

    @property
    def id(self) -> str: ...
    @property
    def zone(self) -> str: ...
    @property
    def lift(self) -> str: ...
    @property
    def place(self) -> str: ...
    @property
    def position(self) -> Pairs: ...
    @property
    def purpose(self) -> str: ...
    @property
    def verdict(self) -> str: ...
    @property
    def retest_of(self) -> str: ...
    @property
    def check_of(self) -> str: ...
    @property
    def rework(self) -> str: ...
    @property
    def disposition(self) -> str: ...
    @property
    def tested_on(self) -> date | None: ...
    @property
    def tested_at(self) -> str: ...


T = TypeVar("T", bound=Tested)


@dataclass(frozen=True)
class Closed:
    """How a failure was closed: by a retest, or by a disposition in words."""

    by: str = ""
    disposition: str = ""

    @property
    def words(self) -> str:
        """The retest by its id, or the disposition."""
        return self.by or self.disposition


def counts(test: Tested) -> bool:
    """Whether a test counts towards its lift."""
    return test.purpose == COUNTED


def is_first(test: Tested) -> bool:
    """Whether it is the first test of its place: no retest, and no check."""
    return not (test.retest_of or test.check_of)


CLOCK = re.compile(r"([01]?[0-9]|2[0-3]):([0-5][0-9])$")
"""A time of day, as 9:40: "2 pm" is put in no order, and is before nothing."""


def in_time(test: Tested) -> tuple[date, str, str]:
    """Return the order of the work: by day, time of day (last if not told), number."""
    told = CLOCK.match(test.tested_at.strip())
    clock = f"{told[1]:0>2}:{told[2]}" if told is not None else "99:99"
    return (test.tested_on or date.max, clock, test.id)


def first_of(test: Tested, tests: Mapping[str, Tested]) -> str:
    """Return the id of the first test of the place, along retests; of a circle, one."""
    seen = [test.id]
    while test.retest_of in tests:
        test = tests[test.retest_of]
        if test.id in seen:
            return min(seen)
        seen.append(test.id)
    return test.id


def same_place(later: Tested, earlier: Tested) -> bool:
    """Whether two tests are of one lift, and at one place by what both say of it."""
    if lift_key(later.zone, later.lift) != lift_key(earlier.zone, earlier.lift):
        return False
    one, other = dict(later.position), dict(earlier.position)
    if not (one or other):
        return bool(later.place) and later.place == earlier.place
    return at_one_place(one, other)


def closes(later: Tested, failure: Tested) -> bool:
    """Whether a later test of the same chain of retests closes a failure."""
    return (
        later.verdict == PASS
        and counts(later)
        and bool(later.retest_of and later.rework)
        and in_time(later) > in_time(failure)
        and same_place(later, failure)
    )


def closings(tests: Iterable[Tested]) -> dict[str, Closed]:
    """
    Return what closes each failure among some tests that is closed.

    A retest that fails is closed by the one that passes after it.
    """
    known = {test.id: test for test in tests}
    chains: dict[str, list[Tested]] = {}
    for test in sorted(known.values(), key=in_time):
        chains.setdefault(first_of(test, known), []).append(test)
    found = {}
    for chain in chains.values():
        for failure in chain:
            if failure.verdict == FAIL:
                later = next((one for one in chain if closes(one, failure)), None)
                if later is not None:
                    found[failure.id] = Closed(by=later.id)
                elif failure.disposition:
                    found[failure.id] = Closed(disposition=failure.disposition)
    return found


def final_tests(tests: Sequence[T], closed: Mapping[str, Closed]) -> list[T]:
    """
    Return the test of each place that its lift rests on, in the order given.

    It is the first test of the place; of a failure, the retest that closed it.
    """
    known = {test.id: test for test in tests}
    none = Closed()
    return [
        known.get(closed.get(test.id, none).by, test)
        for test in tests
        if is_first(test)
    ]
