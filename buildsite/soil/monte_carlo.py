"""
Distributions propagated by drawing, JCGM 101:2008: the proof beside a budget.

It needs numpy and thousands of computations of a test: `validate` alone uses it.
"""

from collections.abc import Sequence
from math import sqrt
from typing import NamedTuple

from buildsite.soil.uncertainty import Model, Quantity


class Drawn(NamedTuple):
    """Standard deviation of a result over all draws, and the share within a limit."""

    deviation: float
    covered: float


def drawn(
    model: Model,
    inputs: Sequence[Quantity],
    normal: Sequence[bool],
    limits: Sequence[float],
    draws: int,
) -> tuple[Drawn, ...]:
    """
    Draw all inputs many times, and return how each result spreads.

    Parameters
    ----------
    model : callable
        From the inputs' values to the results. [any units]
    inputs : sequence of Quantity
        Values with their standard uncertainties, independent. [any units]
    normal : sequence of bool
        Of each input, whether it is normal; otherwise rectangular. [truth]
    limits : sequence of float
        Of each result, the expanded uncertainty to both sides of its value. [as result]
    draws : int
        How many. [1]

    Returns
    -------
    tuple of Drawn
        One a result. [as result, 1]

    Source
    ------
    JCGM 101:2008, 5.9 and 7 (from memory). The random numbers have a fixed seed.

    Examples
    --------
    >>> area = lambda x: (x[0] * x[1],)
    >>> [one] = drawn(area, [(2.0, 0.1), (3.0, 0.1)], [True, True], [0.72], 4000)
    >>> round(one.deviation, 1), round(one.covered, 1)  # √(0.3² + 0.2²) = 0.36
    (0.4, 1.0)
    """
    import numpy as np

    chance = np.random.default_rng(20090101)
    columns = [
        chance.normal(value, standard, draws)
        if is_normal
        else value + chance.uniform(-sqrt(3), sqrt(3), draws) * standard
        for (value, standard), is_normal in zip(inputs, normal, strict=True)
    ]
    results = np.array([model(row) for row in np.stack(columns, axis=1).tolist()])
    middle = np.array(model([value for value, _ in inputs]))
    within = np.abs(results - middle) <= np.array(limits)
    return tuple(
        Drawn(float(deviation), float(share))
        for deviation, share in zip(
            results.std(axis=0, ddof=1), within.mean(axis=0), strict=True
        )
    )
