"""Effect of added water on the water content. Floats or numpy arrays."""

from buildsite.soil.number import Number, refuse


def dry_mass(moist_mass: Number, water_content: Number) -> Number:
    """
    Return the mass of solids in moist soil.

    Parameters
    ----------
    moist_mass : float or array
        Soil with its water. [kg]
    water_content : float or array
        Mass of water over mass of dry soil. [%]

    Returns
    -------
    float or array
        Dry mass. [kg]

    Raises
    ------
    ValueError
        If the water content is negative.

    Source
    ------
    The definition of water content, solved for the solids.

    Examples
    --------
    >>> dry_mass(1.1, 10.0)
    1.0
    """
    refuse(water_content < 0, "water content is below zero")
    return moist_mass / (1 + water_content / 100)


def water_content_after(
    moist_mass: Number, water_content: Number, water: Number
) -> Number:
    """
    Return the water content of moist soil after water was mixed in without loss.

    Parameters
    ----------
    moist_mass : float or array
        Soil in the pan before the water. [kg]
    water_content : float or array
        Of that soil. [%]
    water : float or array
        Mass of the water; 1 mL is taken for 1 g. [kg]

    Returns
    -------
    float or array
        Water content. [%]

    Raises
    ------
    ValueError
        If the water content is negative.

    Source
    ------
    Conservation of mass: w changes by the water over the dry mass. 10 mL, or 0.010 kg,
    in 1 kg of dry soil are 0.010 / 1 of it: one point. Water is 0.2 % lighter than
    1 g/mL at 20 °C, far less than mixing loses.

    Examples
    --------
    >>> round(water_content_after(1.0, 0.0, 0.010), 6)
    1.0
    """
    return water_content + water / dry_mass(moist_mass, water_content) * 100
