"""
Stones: what they weigh, what water they take up, and what share of a soil they are.

Symbols of AASHTO T 85 and ASTM C127, with the names used here: A `oven_dry`, B
`surface_dry` (saturated, its surface dried), C `in_water`; P the share of a size in
the whole, G its specific gravity.
"""

from collections.abc import Sequence


def bulk_specific_gravity(
    oven_dry: float, surface_dry: float, in_water: float
) -> float:
    """
    Dry mass over the mass of water that the stones displace, their pores filled.

    Parameters
    ----------
    oven_dry : float
        Stones dried in the oven, weighed in air. [kg, or any unit common to the three]
    surface_dry : float
        Stones saturated, their surface dried, weighed in air. [kg, or the same unit]
    in_water : float
        The same stones, weighed in water. [kg, or the same unit]

    Returns
    -------
    float
        Bulk specific gravity, oven-dry. [1]

    Raises
    ------
    ValueError
        If the stones gained mass in water, or weigh less wet than dry.

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
    Mass of saturated, surface-dry stones over that of the water they displace.

    Parameters
    ----------
    surface_dry : float
        Stones saturated, their surface dried, weighed in air. [kg, or any common unit]
    in_water : float
        The same stones, weighed in water. [kg, or the same unit]

    Returns
    -------
    float
        Bulk specific gravity, saturated and surface-dry. [1]

    Raises
    ------
    ValueError
        If the stones weigh no less in water than in air.

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
    Dry mass over that of the water which the solid part alone displaces.

    Parameters
    ----------
    oven_dry : float
        Stones dried in the oven, weighed in air. [kg, or any unit common to the two]
    in_water : float
        The saturated stones, weighed in water. [kg, or the same unit]

    Returns
    -------
    float
        Apparent specific gravity. [1]

    Raises
    ------
    ValueError
        If the stones weigh no less in water than dry.

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
    Water in the pores of saturated, surface-dry stones, by their dry mass.

    Parameters
    ----------
    oven_dry : float
        Stones dried in the oven. [kg, or any unit common to the two]
    surface_dry : float
        Stones saturated, their surface dried. [kg, or the same unit]

    Returns
    -------
    float
        Absorption. [%]

    Raises
    ------
    ValueError
        If the stones weigh less wet than dry.

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


def dry_mass(moist_mass: float, water_content: float) -> float:
    """
    What is left of moist soil when its water is gone.

    Parameters
    ----------
    moist_mass : float
        Soil with its water. [kg]
    water_content : float
        Mass of water over mass of dry soil. [%]

    Returns
    -------
    float
        Dry mass. [kg]

    Raises
    ------
    ValueError
        If the water content is below zero.

    Source
    ------
    A definition.

    Examples
    --------
    >>> round(dry_mass(11.2, 12.0), 6)
    10.0
    """
    if water_content < 0:
        raise ValueError("water content is below zero")
    return moist_mass / (1 + water_content / 100)


def shares(dry_masses: Sequence[float]) -> tuple[float, ...]:
    """
    Share of each fraction in the whole, by dry mass.

    Parameters
    ----------
    dry_masses : sequence of float
        Dry mass of every fraction, the finest too. [kg, or any common unit]

    Returns
    -------
    tuple of float
        Shares, in the order given. [%]

    Raises
    ------
    ValueError
        If a mass is below zero, or none is above it.

    Source
    ------
    A definition; AASHTO T 224 and ASTM D4718 count the oversize so.

    Examples
    --------
    >>> shares([1.5, 3.0, 7.5])
    (12.5, 25.0, 62.5)
    """
    whole = sum(dry_masses)
    if min(dry_masses, default=0.0) < 0 or whole <= 0:
        raise ValueError("fractions have masses, and make a whole")
    return tuple(mass / whole * 100 for mass in dry_masses)


def mean_specific_gravity(parts: Sequence[tuple[float, float]]) -> float:
    """
    Specific gravity of a mixture, from those of its sizes: volumes are added.

    Parameters
    ----------
    parts : sequence of (float, float)
        Percent by dry mass of each size, whatever they add up to, and its specific
        gravity. [%, 1]

    Returns
    -------
    float
        Specific gravity of the whole. [1]

    Raises
    ------
    ValueError
        If there is nothing to mix, or something without mass.

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
    return whole / sum(share / gravity for share, gravity in parts)


def mean_absorption(parts: Sequence[tuple[float, float]]) -> float:
    """
    Absorption of a mixture, from those of its sizes: masses of water are added.

    Parameters
    ----------
    parts : sequence of (float, float)
        Percent by dry mass of each size, whatever they add up to, and its absorption
        (or any water by dry mass). [%, %]

    Returns
    -------
    float
        Absorption of the whole. [%]

    Raises
    ------
    ValueError
        If there is nothing to mix.

    Source
    ------
    ASTM C127, average of several sizes: P1 A1 / 100 + P2 A2 / 100 + …

    Examples
    --------
    >>> round(mean_absorption([(85, 12.0), (15, 2.0)]), 6)
    10.5
    """
    return sum(share * water for share, water in parts) / _whole(parts)


def _whole(parts: Sequence[tuple[float, float]]) -> float:
    whole = sum(share for share, _ in parts)
    if whole <= 0 or min(share for share, _ in parts) < 0:
        raise ValueError("parts have shares, and make a whole")
    return whole


def _displaces(in_air: float, in_water: float) -> None:
    if in_water >= in_air:
        raise ValueError("stones weigh less in water than in air")


def _soaked(oven_dry: float, surface_dry: float) -> None:
    if surface_dry < oven_dry:
        raise ValueError("saturated stones weigh no less than dry ones")
