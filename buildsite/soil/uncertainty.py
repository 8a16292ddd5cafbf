"""
Uncertainty of a result, by the GUM's law of propagation.

The model is the computation itself. Sensitivities are computed by changing one input at
a time, so that no curve type needs derivatives.
"""

from collections.abc import Callable, Iterable, Sequence
from math import fsum, sqrt
from typing import NamedTuple

Model = Callable[[Sequence[float]], Sequence[float]]
"""Function from the values of all inputs to the results."""

COVERAGE = 2
"""Coverage factor of an expanded uncertainty: about 95 % of a normal distribution."""


class Quantity(NamedTuple):
    """An input: its value and its standard uncertainty, in one unit."""

    value: float
    standard: float


def rectangular(half_width: float) -> float:
    """
    Return the standard uncertainty of a value known only by its two limits.

    Parameters
    ----------
    half_width : float
        Half the distance between the limits. [any unit]

    Returns
    -------
    float
        Standard uncertainty. [the same unit]

    Source
    ------
    JCGM 100:2008, 4.3.7.

    Examples
    --------
    >>> round(rectangular(0.5), 4)
    0.2887
    """
    return half_width / sqrt(3)


def of_resolution(step: float) -> float:
    """
    Return the standard uncertainty of a reading rounded to a step.

    Parameters
    ----------
    step : float
        Last place of the reading. [any unit]

    Returns
    -------
    float
        Standard uncertainty, 0.29 of the step. [the same unit]

    Source
    ------
    JCGM 100:2008, F.2.2.1.

    Examples
    --------
    >>> round(of_resolution(1.0), 2)
    0.29
    """
    return rectangular(step / 2)


def sensitivities(
    model: Model, inputs: Sequence[Quantity]
) -> tuple[tuple[float, ...], ...]:
    """
    Return the sensitivity of each result to each input, by central differences.

    Each input is changed by its standard uncertainty to both sides, the others fixed.
    An input without uncertainty has no sensitivity.

    Parameters
    ----------
    model : callable
        From the inputs' values to the results. [any units]
    inputs : sequence of Quantity
        Values with their standard uncertainties. [any units]

    Returns
    -------
    tuple of tuple of float
        For each input, the sensitivity of each result. [result over input]

    Source
    ------
    JCGM 100:2008, 5.1.3 and its note 2.

    Examples
    --------
    >>> area = sensitivities(lambda x: (x[0] * x[1],), [(2.0, 0.1), (3.0, 0.1)])
    >>> [round(slope, 6) for slope, in area]
    [3.0, 2.0]
    """
    values = [value for value, _ in inputs]
    found = []
    for i, (value, standard) in enumerate(inputs):
        if standard == 0:
            found.append(tuple(0.0 for _ in model(values)))
            continue
        low, high = (
            model([*values[:i], value + sign * standard, *values[i + 1 :]])
            for sign in (-1, 1)
        )
        found.append(
            tuple(
                (more - less) / (2 * standard)
                for less, more in zip(low, high, strict=True)
            )
        )
    return tuple(found)


def combined(contributions: Iterable[float]) -> float:
    """
    Return the combined standard uncertainty of independent inputs.

    Parameters
    ----------
    contributions : iterable of float
        Sensitivity times standard uncertainty of each input. [unit of the result]

    Returns
    -------
    float
        Root of the sum of their squares. [unit of the result]

    Source
    ------
    JCGM 100:2008, 5.1.2, equation 10.

    Examples
    --------
    >>> combined([3.0, -4.0])
    5.0
    """
    return sqrt(fsum(part * part for part in contributions))


def expanded(standard: float) -> float:
    """
    Return the expanded uncertainty, with coverage factor 2.

    Parameters
    ----------
    standard : float
        Combined standard uncertainty. [any unit]

    Returns
    -------
    float
        Twice that. [the same unit]

    Source
    ------
    JCGM 100:2008, 6.2.1 and 6.3.3.

    Examples
    --------
    >>> expanded(1.5)
    3.0
    """
    return COVERAGE * standard
