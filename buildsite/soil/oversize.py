"""
Effect of the oversize on density and water content.

Symbols of the source, with the names used here: Pc `percent_oversize`, Df the
`dry_density` of the fraction tested, Gm `bulk_specific_gravity` of the oversize,
wc and wf the two water contents.
"""

WATER = 1000.0
"""Density of water in the published equations, at 4 °C. [kg/m³]"""


def total_dry_density(
    dry_density: float, percent_oversize: float, bulk_specific_gravity: float
) -> float:
    """
    Return the dry density of the whole soil, from that of the compacted fraction.

    Parameters
    ----------
    dry_density : float
        Of the fraction without oversize. [kg/m³]
    percent_oversize : float
        Oversize by dry mass of the whole. [%]
    bulk_specific_gravity : float
        Oven-dry bulk specific gravity of the oversize. [1]

    Returns
    -------
    float
        Dry density of the whole. [kg/m³]

    Raises
    ------
    ValueError
        If the oversize is not from 0 to below 100 %, or has no mass.

    Source
    ------
    AASHTO T 224 and ASTM D4718, Dd = 100 Df k / (Df Pc + k Pf), k the density of the
    oversize (from memory; the same volumes added give it).

    Examples
    --------
    >>> round(total_dry_density(1970.0, 10.0, 2.73), 1)
    2026.4
    """
    if not 0 <= percent_oversize < 100 or bulk_specific_gravity <= 0:
        raise ValueError("oversize is from 0 to below 100 %, and has mass")
    coarse = percent_oversize / 100
    return 1 / ((1 - coarse) / dry_density + coarse / (bulk_specific_gravity * WATER))


def total_water_content(
    water_content: float, percent_oversize: float, oversize_water_content: float
) -> float:
    """
    Return the water content of the whole soil, from those of its two parts.

    Parameters
    ----------
    water_content : float
        Of the fraction without oversize. [%]
    percent_oversize : float
        Oversize by dry mass of the whole. [%]
    oversize_water_content : float
        Of the oversize. [%]

    Returns
    -------
    float
        Water content of the whole. [%]

    Source
    ------
    AASHTO T 224, moisture of the total sample; the masses of water added.

    Examples
    --------
    >>> total_water_content(12.0, 15.0, 2.0)
    10.5
    """
    coarse = percent_oversize / 100
    return water_content * (1 - coarse) + oversize_water_content * coarse


def fine_dry_density(
    dry_density: float, percent_oversize: float, bulk_specific_gravity: float
) -> float:
    """
    Return the dry density of the fraction without oversize, from the whole soil's.

    From field to laboratory: a field result corrected to the fraction without oversize.

    Parameters
    ----------
    dry_density : float
        Of the whole soil. [kg/m³]
    percent_oversize : float
        Oversize by dry mass of the whole. [%]
    bulk_specific_gravity : float
        Oven-dry bulk specific gravity of the oversize. [1]

    Returns
    -------
    float
        Dry density of the fraction without oversize. [kg/m³]

    Raises
    ------
    ValueError
        If the oversize is not from 0 to below 100 %, has no mass, or fills the volume.

    Source
    ------
    AASHTO T 224 and ASTM D4718, Df = Dd k Pf / (100 k - Dd Pc), k the density of the
    oversize (from memory; the inverse of `total_dry_density`).

    Examples
    --------
    >>> round(fine_dry_density(2026.4, 10.0, 2.73), 1)
    1970.0
    """
    if not 0 <= percent_oversize < 100 or bulk_specific_gravity <= 0:
        raise ValueError("oversize is from 0 to below 100 %, and has mass")
    coarse = percent_oversize / 100
    room = 1 / dry_density - coarse / (bulk_specific_gravity * WATER)
    if room <= 0:
        raise ValueError("the oversize alone fills more than the volume")
    return (1 - coarse) / room


def fine_water_content(
    water_content: float, percent_oversize: float, oversize_water_content: float
) -> float:
    """
    Return the water content of the fraction without oversize, from the whole soil's.

    Parameters
    ----------
    water_content : float
        Of the whole soil. [%]
    percent_oversize : float
        Oversize by dry mass of the whole. [%]
    oversize_water_content : float
        Of the oversize. [%]

    Returns
    -------
    float
        Water content of the fraction without oversize. [%]

    Raises
    ------
    ValueError
        If the oversize is not from 0 to below 100 %, or holds more than all the water.

    Source
    ------
    AASHTO T 224, moisture of the total sample, solved for the fine fraction.

    Examples
    --------
    >>> round(fine_water_content(10.5, 15.0, 2.0), 6)
    12.0
    """
    if not 0 <= percent_oversize < 100:
        raise ValueError("oversize is from 0 to below 100 %")
    coarse = percent_oversize / 100
    left = water_content - oversize_water_content * coarse
    if left < 0:
        raise ValueError("the oversize alone holds more than all the water")
    return left / (1 - coarse)


def oven_dry_bulk(saturated: float, absorption: float) -> float:
    """
    Return the oven-dry bulk specific gravity, from the saturated surface-dry one.

    Parameters
    ----------
    saturated : float
        Bulk specific gravity, saturated and surface-dry. [1]
    absorption : float
        Water held at that state, by dry mass. [%]

    Returns
    -------
    float
        Bulk specific gravity, oven-dry. [1]

    Source
    ------
    AASHTO T 85 and ASTM C127: the definitions share the volume.

    Examples
    --------
    >>> round(oven_dry_bulk(2.65, 1.0), 4)
    2.6238
    """
    return saturated / (1 + absorption / 100)
