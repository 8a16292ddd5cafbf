"""The frame of a figure: grid, axes, ticks and their numbers for one range."""

from collections.abc import Iterator
from functools import cache

from buildsite.kinds.sheet import Axis
from buildsite.pages.figure.boxes import SIZE, Spot
from buildsite.pages.figure.offered_boxes import AXES, HEIGHT, WIDTH
from buildsite.pages.figure.styles import CENTER, GRID, LEFT, RIGHT, TICKS
from buildsite.pages.figure.svg_parts import END, HEAD, line_text, path_text, text_at


def ticks(axis: Axis) -> list[float]:
    """Return the values of the ticks."""
    count = round((axis.high - axis.low) / axis.step)
    return [axis.low + i * axis.step for i in range(count + 1)]


TICK, PAD = 4.0, 3.5
"""Length of a tick, and its distance from the number."""

RISE, MIDDLE = 0.76, 0.36
"""Height of a digit above the baseline, and of its middle, as shares of the size."""


@cache
def frame(x: Axis, y: Axis) -> str:
    """Return the frame for one range of the axes, kept for other tests."""
    return "".join((HEAD, *strokes(x, y), *words(x, y), END))


def strokes(x: Axis, y: Axis) -> Iterator[str]:
    """Yield the grid, and the axes with their ticks."""
    left, right, bottom, top = AXES.left, AXES.right, AXES.bottom, AXES.top
    across = [place_on(x, at, left, right) for at in ticks(x)]
    across = [at for at in across if at <= WIDTH]  # the last step may end beyond
    up = [place_on(y, at, bottom, top) for at in ticks(y)]
    up = [at for at in up if at <= HEIGHT]
    grid = [[Spot(at, bottom), Spot(at, top)] for at in across]
    grid += [[Spot(left, at), Spot(right, at)] for at in up]
    yield line_text(GRID, "".join(map(path_text, grid)))
    marks = [[Spot(at, bottom), Spot(at, bottom - TICK)] for at in across]
    marks += [[Spot(left, at), Spot(left - TICK, at)] for at in up]
    marks.append([Spot(left, top), Spot(left, bottom), Spot(right, bottom)])
    yield line_text(TICKS, "".join(map(path_text, marks)))


def words(x: Axis, y: Axis) -> Iterator[str]:
    """Yield the numbers at the ticks, and what the axes are."""
    foot, beside = AXES.bottom - TICK - PAD - RISE * SIZE, AXES.left - TICK - PAD
    for value in ticks(x):
        at = place_on(x, value, AXES.left, AXES.right)
        yield text_at(at, foot, tick_text(x, value), CENTER)
    for value in ticks(y):
        at = place_on(y, value, AXES.bottom, AXES.top)
        yield text_at(beside, at - MIDDLE * SIZE, tick_text(y, value), RIGHT)
    yield text_at((AXES.left + AXES.right) / 2, 8, axis_label(x), CENTER)
    yield text_at(6, HEIGHT - 14, axis_label(y), LEFT)


def tick_text(axis: Axis, value: float) -> str:
    """
    Return the number at a tick; along stations with its plus.

    >>> tick_text(Axis("Station", "", 0, 2000, 500, 0, plus=2), 1500.0)
    '15+00'
    """
    if not axis.plus:
        return f"{value:.{axis.decimals}f}"
    whole, part = divmod(round(value), 10**axis.plus)
    return f"{whole}+{part:0{axis.plus}d}"


def axis_label(axis: Axis) -> str:
    """Return an axis' label with its unit, if it has one."""
    return ", ".join(filter(None, (axis.label, axis.unit)))


def place_on(axis: Axis, value: float, low: float, high: float) -> float:
    """Return the position of a value of an axis on the figure."""
    return low + (value - axis.low) / (axis.high - axis.low) * (high - low)
