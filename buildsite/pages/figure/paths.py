"""Paths of a figure: lines cut at its axes, and arrows between two marks."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import hypot

from buildsite.pages.figure.boxes import Box, Segment, Spot, around, cut

CLEAR = 5.0
"""Distance of both ends from the middle of the marks. [points]"""

HEAD = 5.0
"""Length of the arrow's head along the shaft; it is as wide. [points]"""


def clipped(path: Sequence[Spot], box: Box) -> Iterator[tuple[Spot, ...]]:
    """Return the parts of a path inside a box."""
    if len(path) > 1 and box.holds(around(path)):
        yield tuple(path)
        return
    part: list[Spot] = []
    for start, end in pairwise(path):
        inside = cut(Segment(start, end), box)
        if inside is None:
            continue
        if part and part[-1] != inside.start:
            yield tuple(part)
            part = []
        if not part:
            part.append(inside.start)
        part.append(inside.end)
    if part:
        yield tuple(part)


def arrow(way: Sequence[Spot]) -> Iterator[tuple[Spot, ...]]:
    """
    Return the path of an arrow, shaft and head in one line; none without room.

    >>> (path,) = arrow([Spot(0.0, 0.0), Spot(20.0, 0.0)])
    >>> path[0], path[1], path[2]
    (Spot(x=5.0, y=0.0), Spot(x=15.0, y=0.0), Spot(x=10.0, y=2.5))
    >>> list(arrow([Spot(0.0, 0.0), Spot(0.0, 12.0)]))
    []
    """
    start, end = way[0], way[-1]
    dx, dy = end.x - start.x, end.y - start.y
    far = hypot(dx, dy)
    if far < 2 * CLEAR + HEAD / 2:
        return
    dx, dy = dx / far, dy / far
    tail = Spot(start.x + CLEAR * dx, start.y + CLEAR * dy)
    tip = Spot(end.x - CLEAR * dx, end.y - CLEAR * dy)
    back = Spot(tip.x - HEAD * dx, tip.y - HEAD * dy)
    left = Spot(back.x - HEAD / 2 * dy, back.y + HEAD / 2 * dx)
    right = Spot(back.x + HEAD / 2 * dy, back.y - HEAD / 2 * dx)
    yield tail, tip, left, tip, right
