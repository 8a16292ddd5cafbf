"""
Boxes, line segments, and the size of text.

Widths are for a wide face, so that text in a narrower face of the reader's fits too.
"""

from collections.abc import Iterable, Iterator, Sequence
from functools import cache, lru_cache
from itertools import pairwise
from math import fsum, hypot, inf
from textwrap import wrap
from typing import NamedTuple


class Spot(NamedTuple):
    x: float
    y: float


Edges = tuple[float, float, float, float]
"""Left, bottom, right and top of a box: most boxes are tried, and few are kept."""


class Box(NamedTuple):
    left: float
    bottom: float
    right: float
    top: float

    def grown(self, by: float) -> "Box":
        """Return the box with a margin."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def holds(self, other: Edges) -> bool:
        """Whether another box is inside."""
        a, b, c, d = self
        left, bottom, right, top = other
        return a <= left and b <= bottom and right <= c and top <= d


class Segment(NamedTuple):
    start: Spot
    end: Spot


def cut(segment: Segment, box: Box) -> Segment | None:
    """
    Return the part of a segment inside a box, if any (Liang and Barsky).

    >>> cut(Segment(Spot(0, 0), Spot(10, 10)), Box(2, 0, 4, 10))
    Segment(start=Spot(x=2.0, y=2.0), end=Spot(x=4.0, y=4.0))
    """
    (x, y), (right, up) = segment
    dx, dy = right - x, up - y
    low, high = 0.0, 1.0
    for step, room in (
        (-dx, x - box.left),
        (dx, box.right - x),
        (-dy, y - box.bottom),
        (dy, box.top - y),
    ):
        if step == 0.0:
            if room < 0.0:
                return None
        elif step < 0.0:
            low = max(low, room / step)
        else:
            high = min(high, room / step)
    if low > high:
        return None
    return Segment(Spot(x + low * dx, y + low * dy), Spot(x + high * dx, y + high * dy))


def crosses(path: Sequence[Spot], box: Edges) -> bool:
    """
    Return whether a part of a path is inside a box; as `cut`, without the part.

    >>> crosses([Spot(0, 0), Spot(5, 5), Spot(10, 0)], (8, 1, 9, 10))
    True
    """
    left, bottom, right, top = box
    for x, y in path:  # most that cross have a spot inside
        if left < x < right and bottom < y < top:
            return True
    for (x, y), (to_x, to_y) in pairwise(path):
        if (x <= left and to_x <= left) or (x >= right and to_x >= right):
            continue
        if (y <= bottom and to_y <= bottom) or (y >= top and to_y >= top):
            continue
        if left <= x <= right and bottom <= y <= top:
            return True
        if cut(Segment(Spot(x, y), Spot(to_x, to_y)), Box(*box)) is not None:
            return True
    return False


def apart(one: Edges, other: Edges) -> float:
    """Return the distance of two boxes; 0 where they meet."""
    a, b, c, d = one
    left, bottom, right, top = other
    across = a - right if a > right else left - c if left > c else 0.0
    along = b - top if b > top else bottom - d if bottom > d else 0.0
    return hypot(across, along)


def away(box: Edges, spots: Iterable[Spot]) -> float:
    """
    Return the distance of the nearest of some spots from a box; 0 inside.

    >>> away((0, 0, 10, 10), [Spot(13, 14), Spot(5, 12)])
    2.0
    """
    left, bottom, right, top = box
    nearest = inf
    for x, y in spots:
        across = left - x if x < left else x - right if x > right else 0.0
        along = bottom - y if y < bottom else y - top if y > top else 0.0
        if across < nearest and along < nearest:
            nearest = min(nearest, hypot(across, along))
    return nearest


PIECE = 8
"""Segments of a path that are looked at together."""


def pieces(path: Sequence[Spot]) -> Iterator[Sequence[Spot]]:
    """Yield a path in short pieces, each from where the one before ends."""
    for i in range(0, max(len(path) - 1, 1), PIECE):
        yield path[i : i + PIECE + 1]


def around(path: Sequence[Spot]) -> Box:
    """Return the box around a path."""
    xs, ys = zip(*path, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


SIZE = 12.0
"""Size of the type: 9 px if the figure is 300 px wide, on a phone."""

LINE = 14.0
"""Line spacing of a label."""

WIDTHS = (
    (0.345, " .,:;'|!()[]/-ijl"),
    (0.42, "frt³²"),
    (0.6, "acekosvxyz"),
    (0.8, "ABCDEFGHKLNOPQRSTUVXYZ+±"),
    (1.0, "mwMW%@—"),
)
"""Widths of letters in a wide face, rounded up; any other letter is 0.64 wide. [em]"""

EMS = {letter: ems for ems, letters in WIDTHS for letter in letters}


Size = tuple[float, float]
"""Width and height. [points]"""


@cache
def text_width(text: str) -> float:
    """Return the width of a line of text in a wide face. [points]"""
    return SIZE * fsum(EMS.get(letter, 0.64) for letter in text)


def text_size(lines: Sequence[str]) -> Size:
    """Return the width and height of a label."""
    return max(map(text_width, lines)), LINE * len(lines)


@lru_cache(1 << 10)
def shapes(text: str, breaks: str) -> tuple[tuple[str, ...], ...]:
    """
    Return ways to set a label: in one line, in two, or a word or two in each.

    >>> shapes("100 % saturation curve, Gs 2.7", ", ")[2]
    ('100 %', 'saturation', 'curve', 'Gs 2.7')
    """
    first, _, rest = text.partition(breaks)
    second = (f"{breaks.strip(', ')} {rest}".strip(),) if rest else ()
    parts = (first, *second)
    narrow = [line for part in parts for line in wrap(part, NARROW)]
    return (text,), parts, tuple(narrow)


NARROW = 11
"""Letters in a line of a narrow label."""
