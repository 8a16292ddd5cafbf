"""The rule that draws a curve where nobody asked for a form."""

from buildsite.soil.curves.shape import Points

AUTO = "auto"


def choose(found: Points) -> str:
    """
    Name the form for these points.

    Parameters
    ----------
    found : sequence of tuple of float
        Places: water content [%] and dry density. [kg/m³]

    Returns
    -------
    str
        A name in `FORMS`. [name]
    """
    del found
    return "modified-akima"
