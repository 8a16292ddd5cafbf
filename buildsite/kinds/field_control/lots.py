"""Lots: so many tests of a lift each, whose average is compared with a limit."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from math import fsum

from buildsite.kinds.bounds import PERCENT, how_of
from buildsite.kinds.field_answers import RequirementFacts
from buildsite.soil.acceptance import compared
from buildsite.values import dataclass


@dataclass(frozen=True)
class Lot:
    """The average of the tests of a lot; None where the lot is not full."""

    tests: tuple[str, ...]
    average: float | None = None  # [%]
    compared: Decimal | None = None  # as it is compared with the limit [%]
    met: bool | None = None


def lots_of(
    tests: Sequence[tuple[str, float | None]], requirement: RequirementFacts | None
) -> Iterator[Lot]:
    """
    Return the lots of tests in the order of the work: id and percent compaction.

    The tests are those that a lift rests on: of a failure, the retest that closed it.
    """
    if requirement is None or requirement.lot_average is None:
        return
    size, limit = requirement.lot_average_of, requirement.lot_average
    if not size:
        return
    how = how_of(requirement, PERCENT)
    for start in range(0, len(tests), size):
        lot = tests[start : start + size]
        ids = tuple(id for id, _ in lot)
        known = [value for _, value in lot if value is not None]
        if len(known) < size:
            yield Lot(ids)
            continue
        average = fsum(known) / size
        shown = compared(average, limit, how)
        yield Lot(ids, average, shown, shown >= limit)
