"""
Density of soil in place, and its comparison with a laboratory's reference.

Hole volumes of a sand cone, densities of a gauge, a split on a sieve by dry mass. The
definitions of wet and dry density are in `phase`, corrections for coarse particles in
`oversize`.
"""

from buildsite.soil.number import refuse


def sand_cone_volume(
    before: float, after: float, cone: float, sand_density: float
) -> float:
    """
    Return the volume of a test hole from the sand that filled it.

    Parameters
    ----------
    before : float
        Apparatus with sand, before the hole was filled. [kg]
    after : float
        Apparatus with what sand was left. [kg]
    cone : float
        Sand that fills cone and base plate; on rough ground as measured there. [kg]
    sand_density : float
        Bulk density of that bag of sand, as poured. [kg/m³]

    Returns
    -------
    float
        Volume of the hole. [m³]

    Raises
    ------
    ValueError
        If the sand has no density, or none was left for the hole.

    Source
    ------
    AASHTO T 191 and ASTM D1556: the mass of sand in the hole over its bulk density.

    Examples
    --------
    >>> round(sand_cone_volume(8.084, 4.172, 1.480, 1507.0) * 1e6, 1)
    1613.8
    """
    refuse(sand_density <= 0, "the bulk density of sand is above zero")
    hole = before - after - cone
    refuse(hole <= 0, "no sand was left for the hole: check the masses of apparatus")
    return hole / sand_density


def balloon_volume(before: float, after: float) -> float:
    """
    Return the volume of a test hole from two readings of a balloon apparatus.

    Parameters
    ----------
    before : float
        Reading on the surface, before the hole was dug. [m³]
    after : float
        Reading in the hole, at the same pressure. [m³]

    Returns
    -------
    float
        Volume of the hole. [m³]

    Raises
    ------
    ValueError
        If the reading did not rise.

    Source
    ------
    ASTM D2167: the difference of the two volume readings.

    Examples
    --------
    >>> round(balloon_volume(0.000350, 0.001770) * 1e6)
    1420
    """
    refuse(after <= before, "the reading in the hole is above that on the surface")
    return after - before


def gauge_dry_density(wet_density: float, water_mass: float) -> float:
    """
    Return the dry density from the wet density and the water of a nuclear gauge.

    Parameters
    ----------
    wet_density : float
        Mass of soil and water over total volume. [kg/m³]
    water_mass : float
        Mass of water over total volume, corrected for this soil. [kg/m³]

    Returns
    -------
    float
        Dry density. [kg/m³]

    Raises
    ------
    ValueError
        If the water is below zero, or leaves no soil.

    Source
    ------
    AASHTO T 310 and ASTM D6938: DD = WD - M, and w = 100 M / DD.

    Examples
    --------
    >>> gauge_dry_density(2014.0, 182.0)
    1832.0
    """
    refuse(water_mass < 0, "the water of a gauge is not below zero")
    refuse(water_mass >= wet_density, "the water alone has the mass of the soil")
    return wet_density - water_mass


def water_on_dry_basis(of_wet_mass: float) -> float:
    """
    Return a water content by dry mass, from one by wet mass.

    Parameters
    ----------
    of_wet_mass : float
        Mass of water over mass of moist soil. [%]

    Returns
    -------
    float
        Mass of water over mass of dry soil. [%]

    Raises
    ------
    ValueError
        If it is not from 0 to below 100 %.

    Source
    ------
    AASHTO T 217 and ASTM D4944, 100 r / (100 - r): from the two definitions.

    Examples
    --------
    >>> round(water_on_dry_basis(11.5), 2)
    12.99
    """
    refuse(of_wet_mass < 0, "water content is below zero")
    refuse(of_wet_mass >= 100, "by wet mass, water is below 100 %")
    return 100 * of_wet_mass / (100 - of_wet_mass)


def coarse_percent(
    wet_retained: float,
    wet_passing: float,
    water_retained: float,
    water_passing: float,
) -> float:
    """
    Return the coarse fraction by dry mass, from the moist masses of a split.

    Parameters
    ----------
    wet_retained : float
        Moist soil retained on the sieve. [kg, or any unit common to the two]
    wet_passing : float
        Moist soil that passed it. [kg, or the same unit]
    water_retained : float
        Water content of what was retained. [%]
    water_passing : float
        Water content of what passed. [%]

    Returns
    -------
    float
        Coarse particles by dry mass of the whole. [%]

    Raises
    ------
    ValueError
        If a mass or a water content is below zero, or there is no soil.

    Source
    ------
    AASHTO T 224 and ASTM D4718: each fraction's moist mass is divided by one and its
    own water content (from memory; conservation of mass).

    Examples
    --------
    >>> round(coarse_percent(1.02, 3.96, 2.0, 10.0), 3)
    21.739
    """
    refuse(min(wet_retained, wet_passing) < 0, "a mass is not below zero")
    refuse(min(water_retained, water_passing) < 0, "water content is below zero")
    coarse = wet_retained / (1 + water_retained / 100)
    fine = wet_passing / (1 + water_passing / 100)
    refuse(coarse + fine <= 0, "there is no soil")
    return 100 * coarse / (coarse + fine)


def percent_compaction(dry_density: float, maximum_dry_density: float) -> float:
    """
    Return a dry density in percent of a reference's maximum, for the same fraction.

    Parameters
    ----------
    dry_density : float
        In place. [kg/m³]
    maximum_dry_density : float
        Of the reference. [kg/m³]

    Returns
    -------
    float
        Percent compaction. [%]

    Raises
    ------
    ValueError
        If one of the two is not above zero.

    Source
    ------
    A definition, common to specifications.

    Examples
    --------
    >>> round(percent_compaction(1792.0, 1950.0), 2)
    91.9
    """
    refuse(min(dry_density, maximum_dry_density) <= 0, "a density is above zero")
    return 100 * dry_density / maximum_dry_density
