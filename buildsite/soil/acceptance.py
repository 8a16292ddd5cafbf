"""
Comparison of a result with a limit: as ASTM E29 and JCGM 106 have it.

The two methods of E29 differ in what is compared: the result as it is, or rounded once
to the place of the limit. A guarded decision moves the limit by a guard band into the
safe side, and compares the result as it is.
"""

from decimal import Decimal
from typing import Literal

from buildsite.soil.rounding import Figure, exact, round_half_even, round_to_step

How = Literal["rounded", "absolute"]
Side = Literal["least", "most"]

COVERAGE = 2.0
"""Coverage factor of an expanded uncertainty, where a guard band is as wide."""


def compared(
    value: Figure, limit: Decimal, how: How = "rounded", step: Decimal | None = None
) -> Decimal:
    """
    Return a result as its method compares it with a limit.

    Parameters
    ----------
    value : float or Decimal
        The result, not yet rounded. [any]
    limit : Decimal
        The limit, with the places it was written with: 95 is not 95.0. [as value]
    how : str
        Rounded: only the limit's places count. Absolute: every digit does. [name]
    step : Decimal or None
        Round to a multiple of this instead, as to the nearest 0.1. [as value]

    Returns
    -------
    Decimal
        What meets the limit or not. [as value]

    Source
    ------
    ASTM E29-13, sections 5 (absolute method) and 6 (rounding method): a half goes to
    the even digit (from memory). Neither is the default: 1.3.

    Examples
    --------
    >>> compared(94.57, Decimal("95")), compared(94.57, Decimal("95.0"))
    (Decimal('95'), Decimal('94.6'))
    >>> compared(94.57, Decimal("95"), "absolute")
    Decimal('94.57')
    >>> compared(35940, Decimal("36000"), step=Decimal(100))
    Decimal('35900')
    """
    if how == "absolute":
        return exact(value)
    if step is not None:
        return round_to_step(value, step)
    return round_half_even(value, -int(limit.as_tuple().exponent))


def meets(found: Decimal, limit: Decimal, side: Side) -> bool:
    """
    Whether what is compared meets its limit; on the limit it does.

    Parameters
    ----------
    found : Decimal
        The result as compared. [any]
    limit : Decimal
        The limit. [as found]
    side : str
        Least: at least the limit. Most: at most the limit. [name]

    Returns
    -------
    bool
        Whether it does. [truth]

    Examples
    --------
    >>> meets(Decimal("95"), Decimal("95"), "least")
    True
    >>> meets(Decimal("2.1"), Decimal("2"), "most")
    False
    """
    return found >= limit if side == "least" else found <= limit


def guard_band(uncertainty: float, coverage: float = COVERAGE) -> float:
    """
    Return the width of a guard band from a standard uncertainty.

    Parameters
    ----------
    uncertainty : float
        Standard uncertainty of the result. [any]
    coverage : float
        How many of them. With 2, at most 2.3 % of the results accepted on the limit
        do not conform, if their errors are normal. [1]

    Returns
    -------
    float
        The width. [as uncertainty]

    Raises
    ------
    ValueError
        If either is negative.

    Source
    ------
    JCGM 106:2012, 8.3.2: w = r U, here with r = 1 and U = k u (from memory).

    Examples
    --------
    >>> guard_band(0.6)
    1.2
    """
    if uncertainty < 0 or coverage < 0:
        raise ValueError("an uncertainty and its coverage factor are not negative")
    return coverage * uncertainty


def acceptance_limit(limit: Decimal, side: Side, guard: Figure) -> Decimal:
    """
    Return the limit that a result must meet under guarded acceptance.

    Parameters
    ----------
    limit : Decimal
        The tolerance limit. [any]
    side : str
        Least or most. [name]
    guard : float or Decimal
        Width of the guard band. [as limit]

    Returns
    -------
    Decimal
        The limit, moved by the guard band into the tolerance. [as limit]

    Source
    ------
    JCGM 106:2012, 8.3.2: each one-sided limit is moved inwards by its own guard band
    (from memory).

    Examples
    --------
    >>> acceptance_limit(Decimal("95"), "least", 1.2)
    Decimal('96.2')
    """
    width = exact(guard)
    return limit + width if side == "least" else limit - width
