"""
Rounding for reports: once, at the end, in decimals, a half to the even digit.

A float such as 112.55 is slightly off its decimal value, so it is first taken to ten
significant digits; only then is a half exact.
"""

from decimal import ROUND_HALF_EVEN, Decimal
from functools import lru_cache

Figure = float | Decimal


@lru_cache(1 << 12)  # a page, a file and a digest ask for the same numbers
def snap(value: float) -> float:
    """
    Return a float to ten significant digits, and negative zero as zero.

    Parameters
    ----------
    value : float
        Any finite number. [any]

    Returns
    -------
    float
        The nearest float to those ten digits. [as given]

    Raises
    ------
    ValueError
        If the value is infinite or not a number.

    Examples
    --------
    >>> snap(0.1 + 0.2)
    0.3
    """
    snapped = float(f"{value:.9e}")
    if snapped - snapped != 0:
        raise ValueError(f"only a finite number can be rounded, not {value}")
    return snapped + 0.0


def exact(value: Figure) -> Decimal:
    """
    Return a number as a decimal: a float to ten digits, a Decimal as it is.

    Parameters
    ----------
    value : float or Decimal
        Any finite number. [any]

    Returns
    -------
    Decimal
        The same number. [as given]

    Examples
    --------
    >>> exact(112.55)
    Decimal('112.55')
    """
    return value if isinstance(value, Decimal) else Decimal(repr(snap(value)))


@lru_cache(1 << 12)
def round_half_even(value: Figure, places: int) -> Decimal:
    """
    Round to a number of decimal places; negative places round to tens, hundreds.

    Parameters
    ----------
    value : float or Decimal
        Any finite number. [any]
    places : int
        Digits kept after the decimal point. [1]

    Returns
    -------
    Decimal
        The rounded number, its trailing zeros kept. [as given]

    Source
    ------
    ASTM E29 and AASHTO R 11: a half goes to the even digit (from memory).

    Examples
    --------
    >>> [str(round_half_even(x, 1)) for x in (112.55, 112.45, -0.04)]
    ['112.6', '112.4', '0.0']
    """
    return exact(value).quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN) + 0


def round_to_step(value: Figure, step: Decimal) -> Decimal:
    """
    Round to a multiple of a step, a half to the even multiple.

    Parameters
    ----------
    value : float or Decimal
        Any finite number. [any]
    step : Decimal
        Such as 0.5, 5 or 10; above zero. [as value]

    Returns
    -------
    Decimal
        The multiple, with the places of the step. [as given]

    Raises
    ------
    ValueError
        If the step is not above zero.

    Source
    ------
    ASTM E29: rounding to the nearest 50, 5 or 0.5 (from memory).

    Examples
    --------
    >>> round_to_step(121.25, Decimal("0.5")), round_to_step(1944.7, Decimal(10))
    (Decimal('121.0'), Decimal('1940'))
    """
    if step <= 0:
        raise ValueError("a step is above zero")
    return (exact(value) / step).quantize(Decimal(1), ROUND_HALF_EVEN) * step + 0


def round_significant(value: Figure, figures: int) -> Decimal:
    """
    Round to a number of significant figures.

    Parameters
    ----------
    value : float or Decimal
        Any finite number. [any]
    figures : int
        Significant figures kept, one or more. [1]

    Returns
    -------
    Decimal
        The rounded number; zero stays zero. [as given]

    Raises
    ------
    ValueError
        If fewer than one figure is kept.

    Source
    ------
    ASTM E29 and AASHTO R 11 (from memory).

    Examples
    --------
    >>> plain(round_significant(12.35, 3)), plain(round_significant(1966, 2))
    ('12.4', '2000')
    """
    if figures < 1:
        raise ValueError("at least one figure is kept")
    number = exact(value)
    if not number:
        return Decimal(0)
    rounded = round_half_even(number, figures - 1 - number.adjusted())
    # 9.96 to two figures is 10, one figure longer than meant.
    if rounded.adjusted() > number.adjusted():
        rounded = round_half_even(rounded, figures - 1 - rounded.adjusted())
    return rounded


def plain(number: Decimal) -> str:
    """
    Write a decimal without an exponent and without a negative zero.

    Parameters
    ----------
    number : Decimal
        Any finite number. [any]

    Returns
    -------
    str
        Its digits. [text]

    Examples
    --------
    >>> plain(Decimal("1.2E+3")), plain(Decimal("-0.0"))
    ('1200', '0.0')
    """
    return f"{number if number else abs(number):f}"
