"""Round axes for figures of many field tests."""

from collections.abc import Iterator
from itertools import count
from math import ceil, floor

MOST_STEPS = 12
"""Greatest number of steps of an axis."""


def step_of(span: float, finest: float) -> float:
    """
    Return the finest of 1, 2, 5, 10 … times a step that gives few enough ticks.

    >>> step_of(9.0, 1.0), step_of(61.0, 1.0)
    (1.0, 10.0)
    """
    steps: Iterator[float] = (
        digit * 10.0**power * finest for power in count() for digit in (1, 2, 5)
    )
    return next(step for step in steps if span <= MOST_STEPS * step)


def ends(low: float, high: float, step: float) -> tuple[float, float]:
    """
    Return the round ends about a span.

    >>> ends(94.2, 99.1, 1.0)
    (94.0, 100.0)
    """
    below, above = floor(low / step + 1e-9), ceil(high / step - 1e-9)
    return round(below * step, 6), round(max(above, below + 1) * step, 6)
