"""
Specific gravity of soil solids by pycnometer.

Symbols of ASTM D854, with the names used here: Mp `empty`, Mρw,t `full_of_water`,
Mρws,t `with_soil`, Ms `dry_soil`, Vp the volume of the pycnometer, K
`temperature_factor`.
"""

from buildsite.soil.number import refuse
from buildsite.soil.water import water_density

STANDARD_TEMPERATURE = 20.0
"""Reference temperature of a specific gravity: ASTM D854, AASHTO T 100. [°C]"""


def filled_mass(empty: float, volume: float, temperature: float) -> float:
    """
    Return the mass of a pycnometer full of water, from its calibration.

    Parameters
    ----------
    empty : float
        Clean and dry. [kg]
    volume : float
        As calibrated; the expansion of glass is neglected. [m³]
    temperature : float
        Of the water in it. [°C]

    Returns
    -------
    float
        Mass. [kg]

    Source
    ------
    ASTM D854, mass of the pycnometer and water at the test temperature: Mp + Vp ρw,t.
    AASHTO T 100 uses the ratio of two densities, with the same result.

    Examples
    --------
    >>> round(filled_mass(0.16842, 0.0004985, 22.4) * 1000, 2)
    665.76
    """
    return empty + volume * water_density(temperature)


def temperature_factor(temperature: float) -> float:
    """
    Return the factor that refers a specific gravity to water at 20 °C.

    Parameters
    ----------
    temperature : float
        Of the water in which the soil was weighed. [°C]

    Returns
    -------
    float
        Density of water at that temperature over that at 20 °C. [1]

    Source
    ------
    ASTM D854, table 2, and AASHTO T 100, table 1: K.

    Examples
    --------
    >>> round(temperature_factor(25.0), 5)
    0.99884
    """
    return water_density(temperature) / water_density(STANDARD_TEMPERATURE)


def displaced(dry_soil: float, full_of_water: float, with_soil: float) -> float:
    """
    Return the mass of the water displaced by the solids.

    Parameters
    ----------
    dry_soil : float
        Solids alone. [kg]
    full_of_water : float
        Pycnometer filled with water. [kg]
    with_soil : float
        The same pycnometer filled with soil and water, of the same temperature. [kg]

    Returns
    -------
    float
        Mass of water; not above zero if the readings are impossible. [kg]

    Source
    ------
    ASTM D854 and AASHTO T 100: the divisor of the specific gravity.

    Examples
    --------
    >>> round(displaced(0.05, 0.66578, 0.697), 5)
    0.01878
    """
    return full_of_water + dry_soil - with_soil


def specific_gravity(dry_soil: float, full_of_water: float, with_soil: float) -> float:
    """
    Return the mass of the solids over that of the displaced water.

    Parameters
    ----------
    dry_soil : float
        Solids alone. [kg]
    full_of_water : float
        Pycnometer filled with water. [kg]
    with_soil : float
        The same pycnometer filled with soil and water, of the same temperature. [kg]

    Returns
    -------
    float
        Specific gravity, to water of that temperature. [1]

    Raises
    ------
    ValueError
        If the soil displaces no water.

    Source
    ------
    ASTM D854 and AASHTO T 100: Ms / (Mρw,t - (Mρws,t - Ms)).

    Examples
    --------
    >>> round(specific_gravity(0.05, 0.66578, 0.697), 3)
    2.662
    """
    water = displaced(dry_soil, full_of_water, with_soil)
    refuse(water <= 0, "soil displaces water")
    return dry_soil / water


def apparent_of_bulk(bulk: float, absorption: float) -> float:
    """
    Return the apparent specific gravity of coarse particles, from the bulk one.

    Parameters
    ----------
    bulk : float
        Bulk specific gravity, oven-dry. [1]
    absorption : float
        Water in the filled pores, by dry mass. [%]

    Returns
    -------
    float
        Apparent specific gravity. [1]

    Raises
    ------
    ValueError
        If the pores would fill the whole volume of the particles.

    Source
    ------
    AASHTO T 85 and ASTM C127: from A / (B - C), A / (A - C) and (B - A) / A.

    Examples
    --------
    >>> round(apparent_of_bulk(2.62, 1.0), 3)
    2.69
    """
    solid = 1 / bulk - absorption / 100
    refuse(solid <= 0, "the pores fill less than the volume of the particles")
    return 1 / solid
