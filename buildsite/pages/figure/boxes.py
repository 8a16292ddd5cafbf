"""Boxes and lines on a plane: do they meet, and how far apart are they?"""

from math import hypot
from typing import NamedTuple


class Spot(NamedTuple):
    x: float
    y: float


class Box(NamedTuple):
    left: float
    bottom: float
    right: float
    top: float

    def grown(self, by: float) -> "Box":
        """The box with a rim."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def holds(self, other: "Box") -> bool:
        """Whether another box lies inside."""
        return (
            self.left <= other.left
            and self.bottom <= other.bottom
            and other.right <= self.right
            and other.top <= self.top
        )

    def meets(self, other: "Box") -> bool:
        """Whether two boxes share any space."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.bottom < other.top
            and other.bottom < self.top
        )

    def away(self, spot: Spot) -> float:
        """Distance of a spot from the box; 0 inside."""
        across = max(self.left - spot.x, 0.0, spot.x - self.right)
        along = max(self.bottom - spot.y, 0.0, spot.y - self.top)
        return hypot(across, along)


class Segment(NamedTuple):
    start: Spot
    end: Spot


def cut(segment: Segment, box: Box) -> Segment | None:
    """
    Part of a segment inside a box, if any (Liang and Barsky's way).

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
