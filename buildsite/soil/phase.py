"""
Solids, water and air: the definitions of densities, voids and water content.

Functions take floats or numpy arrays; numpy is not imported here. Water content and
saturation are in percent, all else in SI. Unusual values (a point right of zero air
voids, an odd specific gravity) are computed; only impossible ones are refused.
"""

from buildsite.soil.number import Number, refuse


def water_content(container: Number, wet: Number, dry: Number) -> Number:
    """
    Return the mass of water over the mass of dry soil.

    Parameters
    ----------
    container : float or array
        The empty container. [kg, or any unit common to the three]
    wet : float or array
        Container and moist soil. [kg, or the same unit]
    dry : float or array
        Container and soil after the oven. [kg, or the same unit]

    Returns
    -------
    float or array
        Water content. [%]

    Raises
    ------
    ValueError
        If no dry soil is left, or the oven added mass.

    Source
    ------
    A definition, common to AASHTO T 265, ASTM D2216, BS 1377-2 and ISO 17892-1.

    Examples
    --------
    >>> round(water_content(31.42, 134.90, 127.21), 2)
    8.03
    """
    refuse(dry <= container, "no dry soil: the container alone weighs as much")
    refuse(dry > wet, "drying added mass: wet and dry may be interchanged")
    return (wet - dry) / (dry - container) * 100


def wet_density(mass: Number, volume: Number) -> Number:
    """
    Return the mass of solids and water over the total volume.

    Parameters
    ----------
    mass : float or array
        The moist specimen, without the mold. [kg]
    volume : float or array
        The mold's calibrated volume, not the nominal one. [m³]

    Returns
    -------
    float or array
        Wet density. [kg/m³]

    Raises
    ------
    ValueError
        If the volume, or the mass, is not above zero.

    Examples
    --------
    >>> round(wet_density(2.043, 0.001), 1)
    2043.0
    """
    refuse(volume <= 0, "the volume of a mold is above zero")
    refuse(mass <= 0, "the mass of a specimen is above zero")
    return mass / volume


def dry_density(wet_density: Number, water_content: Number) -> Number:
    """
    Return the mass of the solids over the total volume.

    Parameters
    ----------
    wet_density : float or array
        Mass of solids and water over total volume. [kg/m³]
    water_content : float or array
        Mass of water over mass of solids, not over mass of soil. [%]

    Returns
    -------
    float or array
        Dry density. [kg/m³]

    Raises
    ------
    ValueError
        If a water content is below zero.

    Source
    ------
    A definition, so every standard agrees.

    Examples
    --------
    >>> round(dry_density(2100.0, 12.0), 1)
    1875.0
    """
    refuse(water_content < 0, "water content is below zero")
    return wet_density / (1 + water_content / 100)


def void_ratio(
    dry_density: Number, specific_gravity: float, water_density: float
) -> Number:
    """
    Return the volume of voids over the volume of solids.

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
        Void ratio. [1]

    Raises
    ------
    ValueError
        If the dry density is that of the solids or more: no voids are left.

    Source
    ------
    A definition.

    Examples
    --------
    >>> round(void_ratio(1800.0, 2.70, 1000.0), 3)
    0.5
    """
    solids = specific_gravity * water_density
    refuse(dry_density >= solids, "soil cannot be denser than its own solids")
    return solids / dry_density - 1


def porosity(
    dry_density: Number, specific_gravity: float, water_density: float
) -> Number:
    """
    Return the volume of voids, air and water together, over the total volume.

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
        Porosity. [%]

    Source
    ------
    A definition.

    Examples
    --------
    >>> round(porosity(1800.0, 2.70, 1000.0), 2)
    33.33
    """
    return (1 - dry_density / (specific_gravity * water_density)) * 100


def saturation(
    dry_density: Number,
    water_content: Number,
    specific_gravity: float,
    water_density: float,
) -> Number:
    """
    Return the volume of water over the volume of voids: above 100 by a wrong reading.

    Parameters
    ----------
    dry_density : float or array
        Mass of solids over total volume. [kg/m³]
    water_content : float or array
        Mass of water over mass of solids. [%]
    specific_gravity : float
        Of the solids, to water of ``water_density``. [1]
    water_density : float
        At the temperature the specific gravity refers to. [kg/m³]

    Returns
    -------
    float or array
        Degree of saturation. [%]

    Raises
    ------
    ValueError
        If the dry density is that of the solids or more: no voids are left.

    Source
    ------
    S e = w G, from the definitions.

    Examples
    --------
    >>> round(saturation(1800.0, 14.0, 2.70, 1000.0), 1)
    75.6
    """
    voids = void_ratio(dry_density, specific_gravity, water_density)
    return water_content * specific_gravity / voids


def air_voids(
    dry_density: Number,
    water_content: Number,
    specific_gravity: float,
    water_density: float,
) -> Number:
    """
    Return the volume of air over the total volume.

    Parameters
    ----------
    dry_density : float or array
        Mass of solids over total volume. [kg/m³]
    water_content : float or array
        Mass of water over mass of solids. [%]
    specific_gravity : float
        Of the solids, to water of ``water_density``. [1]
    water_density : float
        At the temperature the specific gravity refers to. [kg/m³]

    Returns
    -------
    float or array
        Air voids; below zero right of the zero-air-voids line. [%]

    Source
    ------
    From the definitions; the basis of the lines of BS 1377-4.

    Examples
    --------
    >>> round(air_voids(1800.0, 14.0, 2.70, 1000.0), 2)
    8.13
    """
    filled = 1 / specific_gravity + water_content / 100
    return (1 - dry_density / water_density * filled) * 100


def water_to_add(moist_mass: Number, present: Number, wanted: Number) -> Number:
    """
    Return the water that brings moist soil from one water content to another.

    Parameters
    ----------
    moist_mass : float or array
        Moist soil. [kg]
    present : float or array
        Present water content. [%]
    wanted : float or array
        Target water content. [%]

    Returns
    -------
    float or array
        Water to add; below zero, to remove by drying. [kg]

    Source
    ------
    Conservation of the solids' mass.

    Examples
    --------
    >>> round(water_to_add(2.5, 6.0, 8.0), 4)
    0.0472
    """
    refuse(present < 0, "water content is below zero")
    return moist_mass / (1 + present / 100) * (wanted - present) / 100
