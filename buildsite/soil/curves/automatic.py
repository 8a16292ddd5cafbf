"""
The rule that draws a curve where nobody asked for a form.

The parabola through the highest point and its two neighbours, unless one neighbour
is more than three times as far away as the other, or the parabola would stand more than
1 % above every measured point; then Akima's curve. If that too would stand so high,
there is no peak that a measurement supports. Why this rule: docs/curve-forms.md.
"""

from buildsite.soil.curves.peak import SCATTER
from buildsite.soil.curves.shape import Points

AUTO = "auto"
"""The name by which the rule is asked for."""

LOPSIDED = 3.0
"""Greatest ratio of the distances to the two neighbours of the highest point. [1]"""


def candidates(found: Points) -> tuple[str, ...]:
    """
    Name the forms the rule may draw, first choice first.

    Parameters
    ----------
    found : sequence of tuple of float
        Places: water content [%] and dry density. [kg/m³]

    Returns
    -------
    tuple of str
        Names of forms. [name]

    Examples
    --------
    >>> candidates([(10.0, 1850.0), (10.5, 1880.0), (11.0, 1900.0), (15.0, 1800.0)])
    ('modified-akima',)
    """
    top = max(range(len(found)), key=lambda i: found[i][1])
    if not 0 < top < len(found) - 1:
        return ("modified-akima",)
    before = found[top][0] - found[top - 1][0]
    after = found[top + 1][0] - found[top][0]
    # The hair lets 11, 12 and 15 % be what they are on paper.
    if max(before, after) > LOPSIDED * min(before, after) * (1 + 1e-9):
        return ("modified-akima",)
    return "parabola-through-three", "modified-akima"


def bulges(peak_dry_density: float, found: Points) -> bool:
    """
    Whether a peak stands higher above every measured point than a repeat would.

    Parameters
    ----------
    peak_dry_density : float
        Of the curve. [kg/m³]
    found : sequence of tuple of float
        Places: water content [%] and dry density. [kg/m³]

    Returns
    -------
    bool
        Whether it does. [truth]
    """
    highest = max(density for _, density in found)
    return peak_dry_density > highest * (1 + SCATTER)
