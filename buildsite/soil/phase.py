"""
Solids, water and air: the definitions that tie mass, volume and water content.

Every function takes floats or numpy arrays, for it only adds, multiplies and
divides; numpy itself is never imported here. Water content and saturation are in
percent, all else in SI. What a rule may argue about (a point right of zero air
voids, an odd specific gravity) is computed without a word; only what physics
forbids is refused.
"""

from buildsite.soil.number import Number, refuse


def water_content(container: Number, wet: Number, dry: Number) -> Number:
    """
    Mass of water over mass of dry soil, not over mass of moist soil.

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
    refuse(dry > wet, "drying added mass: wet and dry may stand in each other's place")
    return (wet - dry) / (dry - container) * 100


def wet_density(mass: Number, volume: Number) -> Number:
    """
    Mass of solids and water over the volume they fill with their air.

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
    refuse(volume <= 0, "a mold holds more than no volume")
    refuse(mass <= 0, "a specimen weighs more than nothing: was the mold left out?")
    return mass / volume


def dry_density(wet_density: Number, water_content: Number) -> Number:
    """
    Mass of the solids alone, over the volume that the moist soil filled.

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
        If a water content is negative: more was dried away than was there.

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
    Volume of voids over volume of solids.

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
    Volume of voids, air and water together, over total volume.

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
    Volume of water over volume of voids. Above 100 where a reading is wrong.

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
    Volume of air over total volume: neither porosity nor 100 less saturation.

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
    From the definitions; the lines of BS 1377-4 rest on it.

    Examples
    --------
    >>> round(air_voids(1800.0, 14.0, 2.70, 1000.0), 2)
    8.13
    """
    filled = 1 / specific_gravity + water_content / 100
    return (1 - dry_density / water_density * filled) * 100


def water_to_add(moist_mass: Number, present: Number, wanted: Number) -> Number:
    """
    Water that brings moist soil from one water content to another.

    Parameters
    ----------
    moist_mass : float or array
        Soil with the water it has. [kg]
    present : float or array
        Water content it has. [%]
    wanted : float or array
        Water content it shall have. [%]

    Returns
    -------
    float or array
        Water to add; below zero, to let dry. [kg]

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
