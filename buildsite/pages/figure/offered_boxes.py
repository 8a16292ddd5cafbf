"""
Places offered to labels on a figure: its parts, and boxes around what is named.

Lengths are in points of the figure, from its lower left corner.
"""

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from math import inf

from buildsite.pages.figure.boxes import (
    Box,
    Edges,
    Size,
    Spot,
    apart,
    around,
    away,
    pieces,
)

WIDTH, HEIGHT = 400.0, 320.0
GAP = 3.0
"""Least clear space around a label."""

RADIUS = {
    "point": 4.5,
    "point-before": 4.0,
    "second": 4.5,
    "rejected": 5.0,
    "failed": 5.0,
    "peak": 7.0,
    "peak-before": 6.0,
    "governing": 6.5,
}
"""Half the size of each mark."""


PEAKS = ("governing", "peak", "peak-before")
"""Marks of a pair: their labels are placed first, the governing one before others."""

INSET = 1.5
"""Room between a label and the axes, so that its ground covers none of them."""

AXES = Box(46.0, 42.0, 388.0, 292.0)
"""The part of the figure between its axes."""

STRIP = Box(172.0, 295.5, 397.0, 312.0)
"""Above the axes, next to the name of the vertical axis: room for the label of a line
that leaves through the top."""


@cache
def label_offsets(wide: float, tall: float, room: float) -> tuple[Spot, ...]:
    """
    Return offsets of a label's corner from what it names, the nearest first.

    Above is better than below, centered better than far aside. `room` is the clear
    space that the mark needs.
    """
    found = []
    here = Spot(0.0, 0.0)
    for dy in range(-9, 10):
        for dx in range(-12, 13):
            left = -wide / 2 + dx * (wide / 2 + room + GAP + 24) / 12
            bottom = -tall / 2 + dy * (tall / 2 + room + GAP + 30) / 9
            far = away((left, bottom, left + wide, bottom + tall), [here])
            if far >= room:
                cost = far + abs(dx) * 0.4 + (4.0 if dy < 0 else 0.0)
                found.append((cost, left, bottom))
    return tuple(Spot(left, bottom) for _, left, bottom in sorted(found))


def boxes_around(target: Spot, size: Size, room: float) -> Iterator[Edges]:
    """Return boxes around a spot, nearest first."""
    wide, tall = size
    at_x, at_y = target
    for x, y in label_offsets(wide, tall, room):
        left, bottom = at_x + x, at_y + y
        yield left, bottom, left + wide, bottom + tall


@cache
def grid(wide: float, tall: float) -> tuple[Edges, ...]:
    """Return boxes of a size all over the figure."""
    ground = AXES.grown(-INSET)
    spare_x = ground.right - ground.left - wide
    spare_y = ground.top - ground.bottom - tall
    corners = [
        (ground.left + spare_x * i / 20, ground.bottom + spare_y * k / 20)
        for i in range(21)
        for k in range(21)
    ]
    return tuple((x, y, x + wide, y + tall) for x, y in corners)


def box_anywhere(
    targets: Sequence[Spot],
    boxes: set[Edges],
    free: Callable[[Edges], bool],
) -> Iterator[Edges]:
    """
    Yield the free box that is nearest, all over the figure, if there is no room nearby.

    Boxes are looked at by their distance from the box around all targets, which is the
    least that their own can be, until no other can be nearer. Those that are not free
    are taken out of `boxes`: they need not be looked at for another label.
    """
    whole = around(targets)
    near = [(around(piece), piece) for piece in pieces(targets)]
    nearest, found = inf, None
    for least, box in sorted([(apart(box, whole), box) for box in boxes]):
        if least > nearest + ROUNDING:
            break
        if not free(box):
            boxes.remove(box)
            continue
        far = nearest + ROUNDING
        for part, piece in near:
            if apart(box, part) <= far:
                far = min(far, away(box, piece))
        if found is None or (far, box) < (nearest, found):
            nearest, found = far, box
    if found is not None:
        yield found


ROUNDING = 1e-6
"""What two ways to the same distance may differ by. [points]"""


def boxes_beside(path: Sequence[Spot], size: Size) -> Iterator[Edges]:
    """
    Return boxes along a line that falls to the right, the upper end first.

    First above and to the right, where no point can be, then below and to the left.
    """
    wide, tall = size
    aside, above = GAP, GAP + 0.5
    falling = path if path[0].y >= path[-1].y else path[::-1]
    for x, y in falling:
        left, bottom = x + aside, y + above
        yield left, bottom, left + wide, bottom + tall
    for x, y in falling:
        right, top = x - aside, y - above
        yield right - wide, top - tall, right, top


def box_above(path: Sequence[Spot], size: Size) -> Iterator[Edges]:
    """Return the box above the axes, where a line leaves them."""
    wide, tall = size
    end = max(path, key=lambda at: at.y)
    if end.y > AXES.top - 1.0:
        left = min(max(end.x, STRIP.left), STRIP.right - wide)
        yield left, STRIP.bottom, left + wide, STRIP.bottom + tall
