"""
Places offered to labels on a figure: its parts, and boxes around what is named.

Lengths are in points of the figure, from its lower left corner.
"""

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from itertools import product
from math import hypot, inf

from buildsite.pages.figure.boxes import Box, Size, Spot, apart, around, pieces

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
            away = Box(left, bottom, left + wide, bottom + tall).away(here)
            if away >= room:
                cost = away + abs(dx) * 0.4 + (4.0 if dy < 0 else 0.0)
                found.append((cost, left, bottom))
    return tuple(Spot(left, bottom) for _, left, bottom in sorted(found))


def boxes_around(target: Spot, size: Size, room: float) -> Iterator[Box]:
    """Return boxes around a spot, nearest first."""
    wide, tall = size
    for x, y in label_offsets(wide, tall, room):
        left, bottom = target.x + x, target.y + y
        yield Box(left, bottom, left + wide, bottom + tall)


ROWS = 21
"""Boxes above each other in the grid of those all over the figure; as many beside."""


@cache
def grid(wide: float, tall: float) -> tuple[Box, ...]:
    """Return boxes of a size all over the figure."""
    ground = AXES.grown(-INSET)
    spare_x = ground.right - ground.left - wide
    spare_y = ground.top - ground.bottom - tall
    corners = [
        (ground.left + spare_x * i / 20, ground.bottom + spare_y * k / 20)
        for i in range(21)
        for k in range(ROWS)
    ]
    return tuple(Box(x, y, x + wide, y + tall) for x, y in corners)


def box_anywhere(
    targets: Sequence[Spot], size: Size, free: Callable[[Box], bool], covered: set[Box]
) -> Iterator[Box]:
    """
    Yield the free box that is nearest, all over the figure, if there is no room nearby.

    Boxes are looked at by their distance from the box around all targets, which is the
    least that their own can be, until no other can be nearer. Those known to be
    `covered` are passed over, and others that are not free are added to them.
    """
    left, bottom, right, top = around(targets)
    every = grid(*size)
    across = [max(box.left - right, 0.0, left - box.right) for box in every[::ROWS]]
    along = [max(box.bottom - top, 0.0, bottom - box.top) for box in every[:ROWS]]
    boxes = [
        (hypot(dx, dy), box)
        for (dx, dy), box in zip(product(across, along), every, strict=True)
        if box not in covered
    ]
    near = [(around(piece), piece) for piece in pieces(targets)]
    nearest, found = inf, None
    for least, box in sorted(boxes):
        if least > nearest + ROUNDING:
            break
        if not free(box):
            covered.add(box)
            continue
        away = nearest + ROUNDING
        for part, piece in near:
            if apart(box, part) <= away:
                away = min(away, min([box.away(at) for at in piece]))
        if found is None or (away, box) < (nearest, found):
            nearest, found = away, box
    if found is not None:
        yield found


ROUNDING = 1e-6
"""What two ways to the same distance may differ by. [points]"""


def boxes_beside(path: Sequence[Spot], size: Size) -> Iterator[Box]:
    """
    Return boxes along a line that falls to the right, the upper end first.

    First above and to the right, where no point can be, then below and to the left.
    """
    wide, tall = size
    aside, apart = GAP, GAP + 0.5
    falling = path if path[0].y >= path[-1].y else path[::-1]
    for x, y in falling:
        left, bottom = x + aside, y + apart
        yield Box(left, bottom, left + wide, bottom + tall)
    for x, y in falling:
        right, top = x - aside, y - apart
        yield Box(right - wide, top - tall, right, top)


def box_above(path: Sequence[Spot], size: Size) -> Iterator[Box]:
    """Return the box above the axes, where a line leaves them."""
    wide, tall = size
    end = max(path, key=lambda at: at.y)
    if end.y > AXES.top - 1.0:
        left = min(max(end.x, STRIP.left), STRIP.right - wide)
        yield Box(left, STRIP.bottom, left + wide, STRIP.bottom + tall)
