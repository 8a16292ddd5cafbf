"""Coarse particles: specific gravities and absorption, combined over their sizes."""

from collections.abc import Callable, Sequence

from buildsite.kinds.tests.coarse_fraction.model import CoarseFraction, Specimen
from buildsite.kinds.tests.coarse_fraction.split import (
    FractionValues,
    is_oversize,
    opening_of,
)
from buildsite.record.units import to_si
from buildsite.soil import coarse
from buildsite.values import dataclass


@dataclass(frozen=True)
class Gravities:
    """Specific gravities of coarse particles, and their absorption."""

    bulk: float  # oven-dry [1]
    surface_dry: float  # saturated, surface-dry [1]
    apparent: float  # [1]
    absorption: float  # [%]


@dataclass(frozen=True)
class ParticleValues:
    """Values of one specimen; None where a mass is missing."""

    number: int  # from 1, as on the bench sheet
    rejected: bool
    opening_mm: float | None  # None where no size is stated
    share: float | None  # of its size in the whole [%]
    found: Gravities | None
    dry_mass: float | None  # [kg]

    @property
    def bulk(self) -> float | None:
        """Bulk specific gravity, oven-dry, where it could be computed."""
        return self.found.bulk if self.found is not None else None


def masses_of(one: Specimen) -> tuple[float, float, float] | None:
    """Return dry, surface-dry and in-water mass, where all are read and possible."""
    if not one.oven_dry or one.surface_dry is None or one.in_water is None:
        return None
    dry, soaked, sunk = one.oven_dry[-1], one.surface_dry, one.in_water
    if not sunk < dry <= soaked:
        return None
    return float(dry), float(soaked), float(sunk)


def share_of(
    opening: float | None, fractions: Sequence[FractionValues]
) -> float | None:
    """Return the share of one size in the whole. [%]"""
    found = [
        one.retained
        for one in fractions
        if opening is not None and one.opening_mm == opening
    ]
    return found[0] if len(found) == 1 else None


def particle_values(
    record: CoarseFraction, fractions: Sequence[FractionValues]
) -> tuple[ParticleValues, ...]:
    """Return the values of every specimen."""
    unit, made = record.units.gravity, []
    for i, one in enumerate(record.specimens, 1):
        opening, masses = opening_of(one.retained_on), masses_of(one)
        share = share_of(opening, fractions)
        found = mass = None
        if masses is not None:
            dry, soaked, sunk = masses
            found = Gravities(
                coarse.bulk_specific_gravity(dry, soaked, sunk),
                coarse.surface_dry_specific_gravity(soaked, sunk),
                coarse.apparent_specific_gravity(dry, sunk),
                coarse.absorption(dry, soaked),
            )
            mass = to_si(dry, unit) if unit is not None else None
        rejected = one.rejected is not None
        made.append(ParticleValues(i, rejected, opening, share, found, mass))
    return tuple(made)


Weighed = Sequence[tuple[float, Gravities]]


def mean(parts: Weighed) -> Gravities:
    """Return the mean by shares: volumes are added, and masses of water."""

    def by(name: str, how: Callable[[Sequence[tuple[float, float]]], float]) -> float:
        return how([(share, getattr(one, name)) for share, one in parts])

    return Gravities(
        by("bulk", coarse.mean_specific_gravity),
        by("surface_dry", coarse.mean_specific_gravity),
        by("apparent", coarse.mean_specific_gravity),
        by("absorption", coarse.mean_absorption),
    )


def by_size(
    particles: Sequence[ParticleValues], least: float | None
) -> dict[float | None, list[ParticleValues]]:
    """
    Return the specimens of the oversize that count, by size.

    Specimens of a single size represent all coarser sizes too, and so the oversize,
    even if they include finer particles.
    """
    groups: dict[float | None, list[ParticleValues]] = {}
    for one in particles:
        if one.found is not None and not one.rejected:
            groups.setdefault(one.opening_mm, []).append(one)
    if len(groups) == 1:
        return groups
    return {
        size: group
        for size, group in groups.items()
        if size is None or is_oversize(size, least)  # no size stated: all of it
    }


@dataclass(frozen=True)
class SizeValues:
    """The specimens of one size that count, and their mean, each counted equally."""

    share: float  # of the size in the whole [%]; 1 where it is the only one
    specimens: tuple[ParticleValues, ...]
    mean: Gravities


def size_values(
    particles: Sequence[ParticleValues], least: float | None
) -> tuple[SizeValues, ...] | None:
    """
    Return the sizes that the properties of the oversize are the mean of.

    Sizes tested separately are combined by their shares in the split; None where one of
    these is unknown.
    """
    groups = by_size(particles, least)
    made = []
    for group in groups.values():
        share = 1.0 if len(groups) == 1 else group[0].share
        if share is None:
            return None
        if share > 0:
            alike = [(1.0, one.found) for one in group if one.found is not None]
            made.append(SizeValues(share, tuple(group), mean(alike)))
    return tuple(made)
