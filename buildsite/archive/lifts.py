"""
Where each lift of a fill stands: tests made, required and met, failures, acceptance.

A test has a verdict; a lift is accepted by nothing but a dated act of the engineer of
record. A failure is answered by a passing retest after rework at the same place, or by
a disposition; its own verdict stays.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property

from buildsite.kinds.field_control.results import FAIL, PASS, FieldTest, LiftPaper
from buildsite.values import dataclass

FAILED, OPEN, MET, ACCEPTED = "failed", "open", "met", "accepted"
"""States of a lift, the ones to act on first."""

RANKS = (FAILED, OPEN, MET, ACCEPTED)

EACH_LIFT = "lift"
"""What a number of tests is required of, where it is of a lift."""


def first_of(test: FieldTest, tests: Mapping[str, FieldTest]) -> str:
    """Return the id of the first test of the place, along retests; of a circle, one."""
    seen = [test.id]
    while test.retest_of in tests:
        test = tests[test.retest_of]
        if test.id in seen:
            return min(seen)
        seen.append(test.id)
    return test.id


def answers(later: FieldTest, failure: FieldTest) -> bool:
    """Whether a later test of the same chain of retests answers a failure."""
    return (
        later.verdict == PASS
        and later.counts
        and bool(later.retest_of and later.rework)
        and later.order > failure.order
        and same_place(later, failure)
    )


LEVELS = {"elevation", "depth_below_grade"}
"""Parts of a position that rework changes: a lift rolled again has another surface."""


def same_place(later: FieldTest, earlier: FieldTest) -> bool:
    """Whether two tests are of one lift, and at one place as far as both say."""
    if (later.zone, later.lift) != (earlier.zone, earlier.lift):
        return False
    one, other = dict(later.position), dict(earlier.position)
    shared = (one.keys() & other.keys()) - LEVELS
    if not shared:
        return later.place == earlier.place
    return all(one[name].casefold() == other[name].casefold() for name in shared)


def answered(tests: Iterable[FieldTest]) -> dict[str, str]:
    """
    Return each failure that is answered, and by what: the id of a test, or words.

    A retest that fails is answered by the one that passes after it.
    """
    known = {test.id: test for test in tests if not test.withdrawn}
    chains: dict[str, list[FieldTest]] = {}
    for test in known.values():
        chains.setdefault(first_of(test, known), []).append(test)
    found: dict[str, str] = {}
    for chain in chains.values():
        for test in chain:
            if test.verdict != FAIL:
                continue
            later = sorted(
                (one for one in chain if answers(one, test)), key=lambda one: one.order
            )
            if later:
                found[test.id] = later[0].id
            elif test.disposition:
                found[test.id] = test.disposition
    return found


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """
    Return a sort key by which lift 10 comes after lift 9.

    >>> sorted(["10", "9", "9 b"], key=natural)
    ['9', '9 b', '10']
    """
    return tuple(
        (0, int(part), "") if part.isdigit() else (1, 0, part)
        for part in re.findall(r"[0-9]+|[^0-9]+", text)
    )


@dataclass(frozen=True)
class Lift:
    """One lift of a zone: its tests in order, what answers failures, its acceptance."""

    zone: str
    lift: str
    tests: tuple[FieldTest, ...]
    answered: Mapping[str, str]
    acceptance: LiftPaper | None = None

    @property
    def counted(self) -> tuple[FieldTest, ...]:
        """The tests that count, in order."""
        return tuple(test for test in self.tests if test.counts)

    @property
    def failing(self) -> tuple[FieldTest, ...]:
        """Failures that nothing answers."""
        return tuple(
            test
            for test in self.counted
            if test.verdict == FAIL and test.id not in self.answered
        )

    @property
    def settled(self) -> tuple[FieldTest, ...]:
        """Failures that a retest or a disposition answers."""
        return tuple(
            test
            for test in self.counted
            if test.verdict == FAIL and test.id in self.answered
        )

    @property
    def retests(self) -> tuple[FieldTest, ...]:
        """Retests after rework."""
        return tuple(test for test in self.counted if test.retest_of)

    @property
    def made(self) -> int:
        """Places tested, with a verdict; a retest is of a place tested before."""
        return len(
            [
                test
                for test in self.counted
                if test.is_first and test.verdict in (PASS, FAIL)
            ]
        )

    @cached_property
    def met(self) -> int:
        """Places that pass, by the first test or by a retest that answers it."""
        known = {test.id for test in self.counted}
        return sum(
            test.verdict == PASS or self.answered.get(test.id, "") in known
            for test in self.counted
            if test.is_first
        )

    @property
    def unjudged(self) -> tuple[FieldTest, ...]:
        """Tests without a verdict."""
        return tuple(t for t in self.counted if t.verdict not in (PASS, FAIL))

    @cached_property
    def required(self) -> int | None:
        """Tests required of each lift; None where the requirement says none."""
        for test in reversed(self.counted):
            asked = test.requirement
            if asked is not None and asked.tests_required_each == EACH_LIFT:
                return asked.tests_required
        return None

    @property
    def state(self) -> str:
        """Where it stands: an acceptance does not outweigh an unanswered failure."""
        if self.failing:
            return FAILED
        if self.acceptance is not None:
            return ACCEPTED
        if self.unjudged or not self.counted or self.made < (self.required or 0):
            return OPEN
        return MET

    @property
    def order(self) -> tuple[object, ...]:
        """Sort key: what needs an act first, then by zone and lift."""
        return (RANKS.index(self.state), natural(self.zone), natural(self.lift))


def lifts_of(
    tests: Sequence[FieldTest], papers: Iterable[LiftPaper] = ()
) -> tuple[Lift, ...]:
    """Return every lift that a test or an acceptance names, failing ones first."""
    accepted = dict(last_acceptances(papers))
    known = answered(tests)
    groups: dict[tuple[str, str], list[FieldTest]] = {key: [] for key in accepted}
    for test in sorted(tests, key=lambda one: one.order):
        if not test.withdrawn:
            groups.setdefault((test.zone, test.lift), []).append(test)
    found = [
        Lift(*key, tuple(group), known, accepted.get(key))
        for key, group in groups.items()
    ]
    return tuple(sorted(found, key=lambda one: one.order))


def last_acceptances(
    papers: Iterable[LiftPaper],
) -> Iterator[tuple[tuple[str, str], LiftPaper]]:
    """Return the last acceptance of each lift that is not withdrawn."""
    for paper in sorted(papers, key=lambda one: (one.on, one.id)):
        if not paper.withdrawn:
            yield (paper.zone, paper.lift), paper
