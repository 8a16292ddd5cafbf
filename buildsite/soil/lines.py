"""
Lines of equal air voids or saturation on a plot of dry density and water content.

Functions take floats or numpy arrays; numpy is not imported here.
"""

from buildsite.soil.number import Number


def air_voids_line(
    water_content: Number,
    air_voids: float,
    specific_gravity: float,
    water_density: float,
) -> Number:
    """
    Return the dry density at which air fills a given share of the total volume.

    Parameters
    ----------
    water_content : float or array
        Mass of water over mass of solids. [%]
    air_voids : float
        Volume of air over total volume, such as 5 or 10. [%]
    specific_gravity : float
        Of the solids, to water of ``water_density``. [1]
    water_density : float
        At the temperature the specific gravity refers to. [kg/m³]

    Returns
    -------
    float or array
        Dry density. [kg/m³]

    Source
    ------
    From the definitions; BS 1377-4:1990 draws the 0, 5 and 10 % lines (edition
    from memory).

    Examples
    --------
    >>> round(air_voids_line(12.0, 5.0, 2.65, 1000.0), 1)
    1910.1
    """
    volume = 1 / specific_gravity + water_content / 100
    return water_density * (1 - air_voids / 100) / volume


def saturation_line(
    water_content: Number,
    saturation: float,
    specific_gravity: float,
    water_density: float,
) -> Number:
    """
    Return the dry density at which water fills a given share of the voids.

    Parameters
    ----------
    water_content : float or array
        Mass of water over mass of solids. [%]
    saturation : float
        Volume of water over volume of voids, above zero. [%]
    specific_gravity : float
        Of the solids, to water of ``water_density``. [1]
    water_density : float
        At the temperature the specific gravity refers to. [kg/m³]

    Returns
    -------
    float or array
        Dry density. [kg/m³]

    Source
    ------
    S e = w G, from the definitions.

    Examples
    --------
    >>> round(saturation_line(14.0, 75.6, 2.70, 1000.0), 1)
    1800.0
    """
    return water_density / (1 / specific_gravity + water_content / saturation)


def zero_air_voids_density(
    water_content: Number, specific_gravity: float, water_density: float
) -> Number:
    """
    Return the dry density without air voids.

    Parameters
    ----------
    water_content : float or array
        Mass of water over mass of solids. [%]
    specific_gravity : float
        Of the solids, to water of ``water_density``. [1]
    water_density : float
        At the temperature the specific gravity refers to. [kg/m³]

    Returns
    -------
    float or array
        Dry density. [kg/m³]

    Source
    ------
    G ρw / (1 + w G), from the definitions.

    Examples
    --------
    >>> round(zero_air_voids_density(12.0, 2.65, 1000.0), 1)
    2010.6
    """
    return water_density / (1 / specific_gravity + water_content / 100)


def water_content_at_zero_air_voids(
    dry_density: Number, specific_gravity: float, water_density: float
) -> Number:
    """
    Return the water content that fills the voids at a dry density.

    Parameters
    ----------
    dry_density : float or array
        Mass of solids over total volume. [kg/m³]
    specific_gravity : float
        Of the solids, to water of ``water_density``. [1]
    water_density : float
        At the temperature the specific gravity refers to. [kg/m³]

    Returns
    -------
    float or array
        Water content; below zero where soil would be denser than its solids. [%]

    Source
    ------
    The inverse of `zero_air_voids_density`.

    Examples
    --------
    >>> round(water_content_at_zero_air_voids(1800.0, 2.70, 1000.0), 2)
    18.52
    """
    return (water_density / dry_density - 1 / specific_gravity) * 100
