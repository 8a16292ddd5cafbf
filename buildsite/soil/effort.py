"""Compactive effort: the work of the rammer per volume of soil."""

STANDARD_GRAVITY = 9.80665
"""By definition of the third CGPM, 1901. [m/s²]"""


def compactive_effort(
    rammer_mass: float,
    drop: float,
    blows_per_layer: float,
    layers: float,
    volume: float,
) -> float:
    """
    Return the work of all blows over the volume of the mold.

    The effort is nominal: friction in the sleeve and rebound are neglected.

    Parameters
    ----------
    rammer_mass : float
        The falling part. [kg]
    drop : float
        Height of free fall. [m]
    blows_per_layer : float
        Blows on each layer. [1]
    layers : float
        Layers in the mold. [1]
    volume : float
        Of the mold, without its collar. [m³]

    Returns
    -------
    float
        Effort; divide by 1000 for kN·m/m³. [J/m³]

    Raises
    ------
    ValueError
        If the volume is not above zero.

    Source
    ------
    m g h n / V, the basis of the nominal efforts in ASTM D698 and D1557, clause 1.1.

    Examples
    --------
    >>> round(compactive_effort(2.5, 0.3, 27, 3, 0.001) / 1000, 1)
    595.8
    """
    if volume <= 0:
        raise ValueError("the volume of a mold is above zero")
    work = rammer_mass * STANDARD_GRAVITY * drop
    return work * blows_per_layer * layers / volume
