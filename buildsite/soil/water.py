"""Density of water, for mold calibration and specific gravity."""

from buildsite.soil.number import Number, refuse

COEFFICIENTS = (-3.983035, 301.797, 522528.9, 69.34881, 999.974950)
"""a1 to a5 of the source: °C, °C, °C², °C and kg/m³."""

COLDEST, WARMEST = 0.0, 40.0
"""The formula's range. [°C]"""


def water_density(temperature: Number) -> Number:
    """
    Return the density of pure, air-free water at one atmosphere.

    Parameters
    ----------
    temperature : float or array
        Of the water, not of the room; from 0 to 40. [°C]

    Returns
    -------
    float or array
        Density. [kg/m³]

    Raises
    ------
    ValueError
        If a temperature lies outside the range of the formula.

    Source
    ------
    M. Tanaka, G. Girard, R. Davis, A. Peuto, N. Bignell: Recommended table for the
    density of water between 0 °C and 40 °C based on recent experimental reports,
    *Metrologia* 38 (2001) 301-309, equation 1 and table 1 (adopted by the CIPM).

    Examples
    --------
    >>> round(water_density(20.0), 4)
    998.2067
    """
    refuse(temperature < COLDEST, "the formula for water begins at 0 °C")
    refuse(temperature > WARMEST, "the formula for water ends at 40 °C")
    a1, a2, a3, a4, a5 = COEFFICIENTS
    bent = (temperature + a1) * (temperature + a1) * (temperature + a2)
    return a5 * (1 - bent / (a3 * (temperature + a4)))
