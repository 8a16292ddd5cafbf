"""The amount and properties of the oversize, from its readings. SI throughout."""

from collections.abc import Sequence
from typing import TypeAlias

from buildsite.kinds.kind import Case, Inputs
from buildsite.kinds.tests.coarse_fraction.model import CoarseFraction
from buildsite.kinds.tests.coarse_fraction.particles import (
    Gravities,
    ParticleValues,
    SizeValues,
    mean,
    particle_values,
    size_values,
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
    particles: tuple[ParticleValues, ...]
    opening_mm: float | None  # of the oversize sieve
    percent_retained: float | None  # on it, by dry mass of the whole [%]
    water_content: float | None  # of the oversize, as received [%]
    sizes: tuple[SizeValues, ...]  # that have specimens, none if a share is unknown
    gravities: Gravities | None  # of the oversize
    shares_unknown: bool  # sizes were tested separately, and the split lacks them


Test: TypeAlias = Case[CoarseFraction, Values]


def untested(
    fractions: Sequence[FractionValues],
    particles: Sequence[ParticleValues],
    least: float | None,
) -> tuple[FractionValues, ...]:
    """
    Return the oversize fractions that no specimen represents.

    Specimens of one size represent it and all coarser sizes; where there are several
    sizes, each specimen represents its own.
    """
    openings = {one.opening_mm for one in particles if one.bulk and not one.rejected}
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
    """Compute a whole test from its readings."""
    least = opening_of(record.sieve)
    fractions = fraction_values(record)
    particles = particle_values(record, fractions)
    percent, water = oversize(fractions, least)
    sizes = size_values(particles, least)
    return Values(
        fractions=fractions,
        particles=particles,
        opening_mm=least,
        percent_retained=percent,
        water_content=None if record.split_masses == "dry" else water,
        sizes=sizes or (),
        gravities=mean([(one.share, one.mean) for one in sizes]) if sizes else None,
        shares_unknown=sizes is None,
    )
