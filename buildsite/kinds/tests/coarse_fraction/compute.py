"""From a split, and weighings of stones, to what the oversize is. SI throughout."""

from collections.abc import Sequence
from typing import TypeAlias

from buildsite.kinds.kind import Case, Inputs
from buildsite.kinds.tests.coarse_fraction.model import CoarseFraction
from buildsite.kinds.tests.coarse_fraction.particles import (
    Gravities,
    StoneValues,
    gravities,
    stone_values,
)
from buildsite.kinds.tests.coarse_fraction.split import (
    FractionValues,
    fraction_values,
    is_oversize,
    opening_of,
    oversize,
)
from buildsite.standards.method import Method
from buildsite.values import dataclass


@dataclass(frozen=True)
class Values:
    """All that was computed of one test."""

    fractions: tuple[FractionValues, ...]
    stones: tuple[StoneValues, ...]
    opening_mm: float | None  # of the oversize sieve
    percent_retained: float | None  # on it, by dry mass of the whole [%]
    water_content: float | None  # of the oversize, as it came [%]
    gravities: Gravities | None  # of the oversize
    shares_unknown: bool  # sizes were tested apart, and nobody knows their shares


Test: TypeAlias = Case[CoarseFraction, Values]


def untested(
    fractions: Sequence[FractionValues],
    stones: Sequence[StoneValues],
    least: float | None,
) -> tuple[FractionValues, ...]:
    """
    Oversize fractions that no specimen stands for.

    One specimen stands for its size and all that is coarser; of several each stands
    for its own.
    """
    openings = {one.opening_mm for one in stones if one.bulk and not one.rejected}
    if not openings or None in openings:
        return ()
    only = min(size for size in openings if size is not None)
    return tuple(
        one
        for one in fractions
        if is_oversize(one.opening_mm, least)
        and one.retained
        and one.opening_mm is not None
        and (
            one.opening_mm < only
            if len(openings) == 1
            else one.opening_mm not in openings
        )
    )


def compute(record: CoarseFraction, inputs: Inputs, method: Method | None) -> Values:
    """Work out a whole test from its readings."""
    least = opening_of(record.sieve)
    fractions = fraction_values(record)
    stones = stone_values(record, fractions)
    percent, water = oversize(fractions, least)
    found, shares_unknown = gravities(stones, least)
    return Values(
        fractions=fractions,
        stones=stones,
        opening_mm=least,
        percent_retained=percent,
        water_content=None if record.split_masses == "dry" else water,
        gravities=found,
        shares_unknown=shares_unknown,
    )
