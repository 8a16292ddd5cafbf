"""
Coarse particles: specific gravity, absorption, and share of the soil.

Symbols of AASHTO T 85 and ASTM C127, with the names used here: A `oven_dry`, B
`surface_dry` (saturated, its surface dried), C `in_water`; P the share of a size in
the whole, G its specific gravity.
"""

from collections.abc import Sequence
from math import fsum


def bulk_specific_gravity(
    oven_dry: float, surface_dry: float, in_water: float
) -> float:
    """
    Return the dry mass over the mass of water displaced by the saturated particles.

    Parameters
    ----------
    oven_dry : float
        Oven-dry, weighed in air. [kg, or any unit common to the three]
    surface_dry : float
        Saturated, surface-dry, weighed in air. [kg, or the same unit]
    in_water : float
        The same particles, weighed in water. [kg, or the same unit]

    Returns
    -------
    float
        Bulk specific gravity, oven-dry. [1]

    Raises
    ------
    ValueError
        If the particles weigh more in water than in air, or less wet than dry.

    Source
    ------
    AASHTO T 85 and ASTM C127: A / (B - C).

    Examples
    --------
    >>> round(bulk_specific_gravity(3168.5, 3190.0, 1972.0), 2)
    2.6
    """
    _displaces(surface_dry, in_water)
    _soaked(oven_dry, surface_dry)
    return oven_dry / (surface_dry - in_water)


def surface_dry_specific_gravity(surface_dry: float, in_water: float) -> float:
    """
    Return the saturated, surface-dry mass over that of the water displaced.

    Parameters
    ----------
    surface_dry : float
        Saturated, surface-dry, weighed in air. [kg, or any common unit]
    in_water : float
        The same particles, weighed in water. [kg, or the same unit]

    Returns
    -------
    float
        Bulk specific gravity, saturated and surface-dry. [1]

    Raises
    ------
    ValueError
        If the particles weigh no less in water than in air.

    Source
    ------
    AASHTO T 85 and ASTM C127: B / (B - C).

    Examples
    --------
    >>> round(surface_dry_specific_gravity(3190.0, 1972.0), 2)
    2.62
    """
    _displaces(surface_dry, in_water)
    return surface_dry / (surface_dry - in_water)


def apparent_specific_gravity(oven_dry: float, in_water: float) -> float:
    """
    Return the dry mass over that of the water displaced by the solid part alone.

    Parameters
    ----------
    oven_dry : float
        Oven-dry, weighed in air. [kg, or any unit common to the two]
    in_water : float
        The saturated particles, weighed in water. [kg, or the same unit]

    Returns
    -------
    float
        Apparent specific gravity. [1]

    Raises
    ------
    ValueError
        If the particles weigh no less in water than dry.

    Source
    ------
    AASHTO T 85 and ASTM C127: A / (A - C).

    Examples
    --------
    >>> round(apparent_specific_gravity(600.5, 371.5), 2)
    2.62
    """
    _displaces(oven_dry, in_water)
    return oven_dry / (oven_dry - in_water)


def absorption(oven_dry: float, surface_dry: float) -> float:
    """
    Return the water in the pores of saturated, surface-dry particles, by dry mass.

    Parameters
    ----------
    oven_dry : float
        Oven-dry. [kg, or any unit common to the two]
    surface_dry : float
        Saturated, surface-dry. [kg, or the same unit]

    Returns
    -------
    float
        Absorption. [%]

    Raises
    ------
    ValueError
        If the particles weigh less wet than dry.

    Source
    ------
    AASHTO T 85 and ASTM C127: (B - A) / A.

    Examples
    --------
    >>> round(absorption(600.5, 614.5), 2)
    2.33
    """
    _soaked(oven_dry, surface_dry)
    return (surface_dry - oven_dry) / oven_dry * 100


def shares(dry_masses: Sequence[float]) -> tuple[float, ...]:
    """
    Return the share of each fraction in the whole, by dry mass.

    Parameters
    ----------
    dry_masses : sequence of float
        Dry mass of every fraction, including the finest. [kg, or any common unit]

    Returns
    -------
    tuple of float
        Shares, in the order given. [%]

    Raises
    ------
    ValueError
        If a mass is below zero, or all are zero.

    Source
    ------
    A definition, used for the oversize by AASHTO T 224 and ASTM D4718.

    Examples
    --------
    >>> shares([1.5, 3.0, 7.5])
    (12.5, 25.0, 62.5)
    """
    whole = fsum(dry_masses)
    if min(dry_masses, default=0.0) < 0 or whole <= 0:
        raise ValueError(
            "no mass of a fraction is below zero, and their sum is above zero"
        )
    return tuple(mass / whole * 100 for mass in dry_masses)


def mean_specific_gravity(parts: Sequence[tuple[float, float]]) -> float:
    """
    Return the specific gravity of a mixture of sizes: volumes are added.

    Parameters
    ----------
    parts : sequence of (float, float)
        Percent by dry mass of each size, of any sum, and its specific gravity.
        [%, 1]

    Returns
    -------
    float
        Specific gravity of the whole. [1]

    Raises
    ------
    ValueError
        If there are no parts, or one has no mass.

    Source
    ------
    ASTM C127, average of several sizes: 1 / (P1 / 100 G1 + P2 / 100 G2 + …).

    Examples
    --------
    >>> round(mean_specific_gravity([(25.0, 2.5), (75.0, 2.7)]), 3)
    2.647
    """
    whole = _whole(parts)
    if min(gravity for _, gravity in parts) <= 0:
        raise ValueError("a specific gravity is above zero")
    return whole / fsum(share / gravity for share, gravity in parts)


def mean_absorption(parts: Sequence[tuple[float, float]]) -> float:
    """
    Return the absorption of a mixture of sizes: masses of water are added.

    Parameters
    ----------
    parts : sequence of (float, float)
        Percent by dry mass of each size, of any sum, and its absorption (or any water
        by dry mass). [%, %]

    Returns
    -------
    float
        Absorption of the whole. [%]

    Raises
    ------
    ValueError
        If there are no parts.

    Source
    ------
    ASTM C127, average of several sizes: P1 A1 / 100 + P2 A2 / 100 + …

    Examples
    --------
    >>> round(mean_absorption([(85, 12.0), (15, 2.0)]), 6)
    10.5
    """
    return fsum(share * water for share, water in parts) / _whole(parts)


def _whole(parts: Sequence[tuple[float, float]]) -> float:
    whole = fsum(share for share, _ in parts)
    if whole <= 0 or min(share for share, _ in parts) < 0:
        raise ValueError(
            "no share of a part is below zero, and their sum is above zero"
        )
    return whole


def _displaces(in_air: float, in_water: float) -> None:
    if in_water >= in_air:
        raise ValueError("particles weigh less in water than in air")


def _soaked(oven_dry: float, surface_dry: float) -> None:
    if surface_dry < oven_dry:
        raise ValueError("saturated particles weigh no less than dry ones")
