"""
Numbers of field control by zone: counts, share failing, mean, moving mean.

Of first tests that count: a retest is made because of a failure, so it would flatter a
share or a mean. No spread and no capability: tests are few, chosen and not alike.
"""

from collections.abc import Iterable, Iterator, Sequence
from math import fsum

from buildsite.kinds.field_control.closing import FAIL, PASS, in_time, is_first
from buildsite.kinds.field_control.results import FieldTest
from buildsite.kinds.field_control.same_place import spoken_key
from buildsite.values import dataclass

LAST = 5
"""Tests in a moving mean where the requirement has no lot (common practice)."""

FEWEST = 3
"""Tests below which no mean is given (common practice)."""

FEWEST_FOR_SHARE = 20
"""Tests below which a share is no percentage: one test would move it by more than 5."""


@dataclass(frozen=True)
class ZoneNumbers:
    """Numbers of one zone. Means are in percent, unrounded; None with too few tests."""

    zone: str
    first: int  # first tests that count, with a verdict
    failed: int  # of these
    retests: int
    without: int  # tests that count without a verdict
    percents: int  # first tests with a percent compaction
    least: float | None
    mean: float | None
    last: float | None  # mean of the last `window`
    window: int

    @property
    def share(self) -> str:
        """
        The share failing: a percentage only of many tests.

        >>> few = ZoneNumbers("", 7, 2, 0, 0, 7, None, None, None, 5)
        >>> few.share
        '2 of 7'
        """
        text = f"{self.failed} of {self.first}"
        if self.first < FEWEST_FOR_SHARE:
            return text
        return f"{text} ({100 * self.failed / self.first:.0f} %)"


def mean(values: Sequence[float]) -> float:
    """Return the arithmetic mean."""
    return fsum(values) / len(values)


def window_of(tests: Iterable[FieldTest]) -> int:
    """Return how many tests a moving mean takes: those of a lot, where one is asked."""
    sizes = [
        test.requirement.lot_average_of
        for test in tests
        if test.requirement is not None and test.requirement.lot_average_of
    ]
    return sizes[-1] if sizes else LAST


def moving_means(values: Sequence[float], window: int) -> Iterator[tuple[int, float]]:
    """
    Return the mean of the last `window` values at each value that has so many.

    >>> list(moving_means([94.0, 96.0, 98.0], 2))
    [(1, 95.0), (2, 97.0)]
    """
    for end in range(window, len(values) + 1):
        yield end - 1, mean(values[end - window : end])


def in_zones(tests: Iterable[FieldTest]) -> dict[str, list[FieldTest]]:
    """Return the tests that count by zone, as first written, in order of date."""
    zones: dict[str, list[FieldTest]] = {}
    names: dict[str, str] = {}
    for test in sorted(tests, key=in_time):
        if test.counts:
            name = names.setdefault(spoken_key(test.zone), test.zone)
            zones.setdefault(name, []).append(test)
    return dict(sorted(zones.items()))


def numbers_of(zone: str, tests: Sequence[FieldTest]) -> ZoneNumbers:
    """Return the numbers of one zone from its tests that count, in order."""
    first = [test for test in tests if is_first(test)]
    judged = [test for test in first if test.verdict in (PASS, FAIL)]
    values = [one for test in first if (one := test.percent) is not None]
    window = window_of(tests)
    return ZoneNumbers(
        zone,
        len(judged),
        sum(test.verdict == FAIL for test in judged),
        sum(bool(test.retest_of) for test in tests),
        sum(test.verdict not in (PASS, FAIL) for test in tests),
        len(values),
        min(values, default=None),
        mean(values) if len(values) >= FEWEST else None,
        mean(values[-window:]) if len(values) >= window else None,
        window,
    )
