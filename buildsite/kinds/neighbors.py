"""
Field tests far from their neighbors: the sign of another soil, or of a misread hole.

A kind tells of a test what it is compared by (`Kind.neighbor`); the tests are computed
for it.
"""

from collections.abc import Iterable, Iterator, Sequence
from statistics import median

from buildsite.record.flags import Doubt, Field, Known, Severity
from buildsite.values import dataclass

FAR = Known(
    "far-from-neighbors",
    Severity.WARNING,
    "common practice",
    "A percent compaction far from those of the tests around it on the same reference.",
)


@dataclass(frozen=True)
class Neighbor:
    """
    A test among those it is compared with: alike in `key`, in the order of `order`.

    `value` is what is compared [%], `field` where a doubt of it is placed.
    """

    key: tuple[str, ...]
    order: tuple[str, ...]
    value: float
    field: Field


@dataclass(frozen=True)
class Found:
    """A test that is compared, with its id and file."""

    id: str
    file: str
    what: Neighbor


EACH_SIDE = 5
FEWEST = 5
"""Tests before and after that one is compared with; fewer than so many in all say
nothing. Common practice."""

LEAST_POINTS, DEVIATIONS = 5.0, 4.0
"""A test is far if it is off the median of its neighbors by more than both: points, and
standard deviations of the neighbors as their median deviation gives them. Common
practice: compaction of one soil scatters by some 2 points, and one test in sixteen
thousand of a normal scatter is four deviations off."""

NORMAL = 1.4826
"""Standard deviation over median deviation, of a normal distribution."""


def around(group: Sequence[Found], i: int) -> list[Found]:
    """Return the tests before and after one."""
    return [*group[max(i - EACH_SIDE, 0) : i], *group[i + 1 : i + 1 + EACH_SIDE]]


def far_doubt(one: Found, others: Sequence[Found]) -> Doubt | None:
    """Return the doubt of a test far from others; None where it is not."""
    values = [other.what.value for other in others]
    middle = median(values)
    spread = NORMAL * median(abs(value - middle) for value in values)
    off = one.what.value - middle
    if abs(off) <= max(LEAST_POINTS, DEVIATIONS * spread):
        return None
    return Doubt(
        field=one.what.field,
        found=f"{one.what.value:.1f} % compaction",
        expected=f"about {middle:.1f} %, as in {len(others)} tests around it on the "
        "same reference",
        mend="find out whether this is another soil, and check the readings of this "
        "test",
    )


def doubts(tests: Iterable[Found]) -> Iterator[tuple[Known, str, Doubt]]:
    """Return the doubt of each test that is far from its neighbors, with its file."""
    groups: dict[tuple[str, ...], list[Found]] = {}
    for one in sorted(tests, key=lambda found: (found.what.order, found.id)):
        groups.setdefault(one.what.key, []).append(one)
    for group in groups.values():
        for i, one in enumerate(group):
            others = around(group, i)
            doubt = far_doubt(one, others) if len(others) >= FEWEST else None
            if doubt is not None:
                yield FAR, one.file, doubt
