"""What a formula is, as data; and the means, of any number of values."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple


class Term(NamedTuple):
    """
    A symbol, the parameter it stands for, and what it is, in words.

    `through` is what the function makes of the parameter first, as the density of
    water at a temperature.
    """

    symbol: str
    parameter: str
    words: str
    through: Callable[[float], float] | None = None


class Formula(NamedTuple):
    """
    A formula of a function: ``symbol`` = ``text``.

    ``constants`` are the symbols with a fixed value, by symbol.
    """

    of: Callable[..., Any]
    symbol: str
    text: str
    terms: tuple[Term, ...]
    source: str
    constants: Mapping[str, float] = MappingProxyType({})


DEFINITION = "A definition"


GRAVITY_OF_TWO = "100 / (P_1 / G_1 + (100 - P_1) / G_2)"
"""
The specific gravity of a mixture of two parts, the second all but the first: the
formula of `coarse.mean_specific_gravity`.
"""


def mean_of_alike(count: int) -> str:
    """
    Return the specific gravity of so many equal shares, as a formula.

    Parameters
    ----------
    count : int
        Specimens, each with its specific gravity G. [1]

    Returns
    -------
    str
        The formula of `coarse.mean_specific_gravity`. [text]

    Examples
    --------
    >>> mean_of_alike(2)
    '2 / (1 / G_1 + 1 / G_2)'
    """
    total = " + ".join(f"1 / G_{i}" for i in range(1, count + 1))
    return f"{count} / ({total})"


def mean_of_gravities(count: int) -> str:
    """
    Return the specific gravity of a mixture of so many sizes, as a formula.

    Parameters
    ----------
    count : int
        Sizes, each with its share P and specific gravity G. [1]

    Returns
    -------
    str
        The formula of `coarse.mean_specific_gravity`. [text]

    Examples
    --------
    >>> mean_of_gravities(2)
    '(P_1 + P_2) / (P_1 / G_1 + P_2 / G_2)'
    """
    every = range(1, count + 1)
    whole = " + ".join(f"P_{i}" for i in every)
    return f"({whole}) / ({' + '.join(f'P_{i} / G_{i}' for i in every)})"


def mean_of_waters(count: int) -> str:
    """
    Return the absorption, or water, of a mixture of so many sizes, as a formula.

    Parameters
    ----------
    count : int
        Sizes, each with its share P and absorption a. [1]

    Returns
    -------
    str
        The formula of `coarse.mean_absorption`. [text]

    Examples
    --------
    >>> mean_of_waters(2)
    '(P_1 * a_1 + P_2 * a_2) / (P_1 + P_2)'
    """
    every = range(1, count + 1)
    whole = " + ".join(f"P_{i}" for i in every)
    return f"({' + '.join(f'P_{i} * a_{i}' for i in every)}) / ({whole})"


def mean(symbol: str, count: int) -> str:
    """
    Return the mean of so many values of a symbol, as a formula.

    Parameters
    ----------
    symbol : str
        The symbol of each value, before its number. [name]
    count : int
        Values. [1]

    Returns
    -------
    str
        The formula. [text]

    Examples
    --------
    >>> mean("w", 2)
    '(w_1 + w_2) / 2'
    """
    total = " + ".join(f"{symbol}_{i}" for i in range(1, count + 1))
    return f"({total}) / {count}"
