"""Volume of a mold, by water filling or by dimensions."""

from math import pi


def volume_by_water(empty: float, full: float, water_density: float) -> float:
    """
    Return the mass of the water that fills a mold over the density of the water.

    Parameters
    ----------
    empty : float
        The mold with its plates, dry. [kg]
    full : float
        The same, filled with water without bubbles. [kg]
    water_density : float
        At the temperature of that water. [kg/m³]

    Returns
    -------
    float
        Volume. [m³]

    Raises
    ------
    ValueError
        If the filled mold is no heavier than the empty one.

    Source
    ------
    The water-filling method of the annexes to ASTM D698 and D1557 (annex number
    not read).

    Examples
    --------
    >>> round(volume_by_water(3.1102, 4.0525, 997.8858) * 1e6, 1)
    944.3
    """
    if full <= empty:
        raise ValueError("a filled mold is heavier than an empty one")
    return (full - empty) / water_density


def volume_by_dimensions(
    top_diameter: float, bottom_diameter: float, height: float
) -> float:
    """
    Return the volume of a cylinder measured at both ends.

    Parameters
    ----------
    top_diameter : float
        Mean of the inside diameters at the top. [m]
    bottom_diameter : float
        Mean of those at the bottom; the same value where the readings were not
        recorded separately. [m]
    height : float
        Mean height. [m]

    Returns
    -------
    float
        Volume. [m³]

    Raises
    ------
    ValueError
        If a dimension is not above zero.

    Source
    ------
    π h (dt + db)² / 16, as the annexes to ASTM D698 and D1557 give it (from memory).

    Examples
    --------
    >>> round(volume_by_dimensions(0.1016, 0.1016, 0.1164) * 1e6, 1)
    943.7
    """
    if min(top_diameter, bottom_diameter, height) <= 0:
        raise ValueError("a mold's dimensions are above zero")
    return pi * height * (top_diameter + bottom_diameter) ** 2 / 16
