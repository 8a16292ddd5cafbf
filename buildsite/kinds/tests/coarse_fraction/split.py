"""The split: the dry mass retained on each sieve, in percent of the whole."""

from collections.abc import Sequence
from math import fsum

from buildsite.kinds.sieves import opening_mm
from buildsite.kinds.tests.coarse_fraction.model import CoarseFraction, Fraction
from buildsite.kinds.tests.shared.containers import possible_masses
from buildsite.record.units import to_si
from buildsite.soil import coarse, phase
from buildsite.soil.wetting import dry_mass
from buildsite.values import dataclass

PAN = "pan"
"""Name of the fraction that passed every sieve."""


@dataclass(frozen=True)
class FractionValues:
    """Values of one fraction; None where readings are missing."""

    number: int  # from 1, as on the bench sheet
    opening_mm: float | None  # 0 for the pan; None for an unknown sieve
    water_content: float | None  # 0 where it was weighed dry [%]
    dry_mass: float | None  # [kg]
    retained: float | None  # of the whole, by dry mass [%]


def opening_of(name: str | None) -> float | None:
    """
    Return the opening of a sieve, 0 for the pan. [mm]

    >>> opening_of("3/4 in"), opening_of("Pan"), opening_of("bucket")
    (19.0, 0.0, None)
    """
    if name is None:
        return None
    return 0.0 if name.casefold() == PAN else opening_mm(name)


def water_of(record: CoarseFraction, fraction: Fraction) -> float | None:
    """Return the water content of a fraction as weighed. [%]"""
    if record.split_masses == "dry":
        return 0.0
    masses = possible_masses(fraction)
    if masses is not None:
        return phase.water_content(*map(float, masses))
    return None if fraction.water_content is None else float(fraction.water_content)


def dry_of(
    record: CoarseFraction, fraction: Fraction, water: float | None
) -> float | None:
    """Return the dry mass of a fraction. [kg]"""
    unit = record.units.split
    if fraction.mass is None or unit is None:
        return None
    if fraction.mass == 0:
        return 0.0
    if water is None:
        return None
    return dry_mass(to_si(fraction.mass, unit), water)


def fraction_values(record: CoarseFraction) -> tuple[FractionValues, ...]:
    """Return the values of every fraction; its share where the whole is known."""
    waters = [water_of(record, one) for one in record.fractions]
    masses = [
        dry_of(record, one, water)
        for one, water in zip(record.fractions, waters, strict=True)
    ]
    openings = [opening_of(one.retained_on) for one in record.fractions]
    retained: Sequence[float | None] = [None] * len(masses)
    dry = [mass for mass in masses if mass is not None]
    # Without what passed the last sieve the whole is not known.
    if 0.0 in openings and len(dry) == len(masses) and fsum(dry) > 0:
        retained = coarse.shares(dry)
    rows = zip(openings, waters, masses, retained, strict=True)
    return tuple(FractionValues(i, *row) for i, row in enumerate(rows, 1))


def is_oversize(opening: float | None, least: float | None) -> bool:
    """Whether a size is retained on the oversize sieve."""
    return opening is not None and least is not None and opening >= least


def oversize(
    fractions: Sequence[FractionValues], least: float | None
) -> tuple[float | None, float | None]:
    """Return the percent retained on the oversize sieve, and its water content. [%]"""
    if not any(one.opening_mm == least for one in fractions):
        return None, None
    kept = [one for one in fractions if is_oversize(one.opening_mm, least)]
    shares = [one.retained for one in kept if one.retained is not None]
    if len(shares) < len(kept):
        return None, None
    wet = [
        (one.retained, one.water_content)
        for one in kept
        if one.retained and one.water_content is not None
    ]
    return fsum(shares), coarse.mean_absorption(wet) if wet else None
