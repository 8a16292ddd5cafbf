"""
Where each lift of a fill stands: tests made, required and met, failures, acceptance.

A test has a verdict; a lift is accepted by nothing but a dated act of the engineer of
record.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property

from buildsite.kinds.field_answers import RequirementFacts
from buildsite.kinds.field_control.closing import (
    FAIL,
    PASS,
    Closed,
    closings,
    final_tests,
    in_time,
    is_first,
)
from buildsite.kinds.field_control.lots import Lot, lots_of
from buildsite.kinds.field_control.results import FieldTest, LiftPaper
from buildsite.kinds.field_control.same_place import lift_key
from buildsite.values import dataclass

FAILED, OPEN, MET, ACCEPTED = "failed", "open", "met", "accepted"
"""States of a lift, the ones to act on first."""

RANKS = (FAILED, OPEN, MET, ACCEPTED)

EACH_LIFT = "lift"
"""What a number of tests is required of, where it is of a lift."""


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
    """One lift of a zone: its tests in order, what closes failures, its acceptance."""

    zone: str
    lift: str
    tests: tuple[FieldTest, ...]
    closed: Mapping[str, Closed]
    acceptance: LiftPaper | None = None  # which accepts it once it is issued

    @property
    def counted(self) -> tuple[FieldTest, ...]:
        """The tests that count, in order."""
        return tuple(test for test in self.tests if test.counts)

    @property
    def failing(self) -> tuple[FieldTest, ...]:
        """Failures that nothing closes."""
        return tuple(
            test
            for test in self.counted
            if test.verdict == FAIL and test.id not in self.closed
        )

    @property
    def settled(self) -> tuple[FieldTest, ...]:
        """Failures that a retest or a disposition closes."""
        return tuple(
            test
            for test in self.counted
            if test.verdict == FAIL and test.id in self.closed
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
                if is_first(test) and test.verdict in (PASS, FAIL)
            ]
        )

    @cached_property
    def final(self) -> tuple[FieldTest, ...]:
        """The tests that it rests on: of a failure, the retest that closed it."""
        return tuple(final_tests(self.counted, self.closed))

    @property
    def met(self) -> int:
        """Places that pass, by the first test or by a retest that closes a failure."""
        return len([test for test in self.final if test.verdict == PASS])

    @cached_property
    def lots(self) -> tuple[Lot, ...]:
        """Its lots, where the requirement has any."""
        told = [(test.id, test.percent) for test in self.final]
        return tuple(lots_of(told, self.requirement))

    @property
    def low(self) -> tuple[Lot, ...]:
        """Lots whose average is below its limit."""
        return tuple(lot for lot in self.lots if lot.met is False)

    @property
    def unjudged(self) -> tuple[FieldTest, ...]:
        """Tests without a verdict."""
        return tuple(t for t in self.counted if t.verdict not in (PASS, FAIL))

    @cached_property
    def requirement(self) -> RequirementFacts | None:
        """The requirement that its last test was judged by."""
        asked = [one.requirement for one in self.counted if one.requirement is not None]
        return asked[-1] if asked else None

    @property
    def required(self) -> int | None:
        """Tests required of each lift; None where the requirement says none."""
        asked = self.requirement
        if asked is None or asked.tests_required_each != EACH_LIFT:
            return None
        return asked.tests_required

    @property
    def state(self) -> str:
        """Where it stands: an acceptance does not outweigh an open failure."""
        if self.failing or self.low:
            return FAILED
        if self.acceptance is not None and self.acceptance.issued:
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
    known = closings(test for test in tests if not test.withdrawn)
    names = {key: (paper.zone, paper.lift) for key, paper in accepted.items()}
    groups: dict[tuple[str, str], list[FieldTest]] = {key: [] for key in accepted}
    for test in sorted(tests, key=in_time):
        if not test.withdrawn:
            key = lift_key(test.zone, test.lift)
            names.setdefault(key, (test.zone, test.lift))
            groups.setdefault(key, []).append(test)
    found = [
        Lift(*names[key], tuple(group), known, accepted.get(key))
        for key, group in groups.items()
    ]
    return tuple(sorted(found, key=lambda one: one.order))


def last_acceptances(
    papers: Iterable[LiftPaper],
) -> Iterator[tuple[tuple[str, str], LiftPaper]]:
    """
    Return the acceptance of each lift: the last one issued, else the last draft.

    A withdrawn one accepts nothing.
    """
    for paper in sorted(papers, key=lambda one: (one.issued, one.on, one.id)):
        if not paper.withdrawn:
            yield lift_key(paper.zone, paper.lift), paper
