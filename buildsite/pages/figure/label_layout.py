"""
Positions of labels on a figure: next to what they name, clear of lines and labels.

Lengths are in points of the figure, from its lower left corner.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import field
from functools import cache
from itertools import pairwise
from math import fsum

from buildsite.kinds.sheet import Dot, Line, Plot
from buildsite.pages.figure.boxes import (
    Box,
    Segment,
    Size,
    Spot,
    cut,
    shapes,
    text_size,
)
from buildsite.pages.figure.paths import arrow, clipped
from buildsite.values import dataclass

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
}
"""Half the size of each mark."""


PEAKS = ("peak", "peak-before")
"""Marks of a peak: their labels are placed first."""

AXES = Box(46.0, 42.0, 388.0, 292.0)
"""The part of the figure between its axes."""

STRIP = Box(172.0, 295.5, 397.0, 312.0)
"""Above the axes, next to the name of the vertical axis: room for the label of a line
that leaves through the top."""


@dataclass(frozen=True)
class Label:
    """Text with its position, line by line."""

    text: tuple[str, ...]
    box: Box
    kind: str  # peak | line | point
    away: float  # distance from what it names


@dataclass(frozen=True)
class Layout:
    """A figure in points: paths, marks and labels."""

    paths: tuple[tuple[str, tuple[Spot, ...]], ...]  # kind of line, path
    marks: tuple[tuple[str, Spot], ...]  # kind of mark, position
    labels: tuple[Label, ...]


def spots(plot: Plot, xs: Iterable[float], ys: Iterable[float]) -> list[Spot]:
    """Return displayed values as points of the figure."""
    left, low, span = AXES.left, plot.x.low, plot.x.high - plot.x.low
    bottom, foot, height = AXES.bottom, plot.y.low, plot.y.high - plot.y.low
    wide, tall = AXES.right - left, AXES.top - bottom
    return [
        Spot(left + (x - low) / span * wide, bottom + (y - foot) / height * tall)
        for x, y in zip(xs, ys, strict=True)
    ]


def spot(plot: Plot, dot: Dot) -> Spot:
    """Return one dot in points of the figure."""
    return spots(plot, [dot.x], [dot.y])[0]


@dataclass
class Taken:
    """Space that labels must not cover."""

    segments: list[tuple[Segment, Box]]  # each with its bounding box
    boxes: list[Box] = field(default_factory=list)

    def free(self, box: Box) -> bool:
        """Whether a label fits there."""
        if not (AXES.holds(box) or STRIP.holds(box)):
            return False
        # The next box tried is near and meets the same obstacle, so test that first.
        rim = left, bottom, right, top = box.grown(GAP)
        for i, other in enumerate(self.boxes):
            if rim.meets(other):
                self.boxes.insert(0, self.boxes.pop(i))
                return False
        for i, (segment, (a, b, c, d)) in enumerate(self.segments):
            if a < right and c > left and b < top and d > bottom and cut(segment, rim):
                self.segments.insert(0, self.segments.pop(i))
                return False
        return True


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


def boxes_anywhere(targets: Sequence[Spot], size: Size) -> Iterator[Box]:
    """Return boxes all over the figure, nearest first, if there is no room nearby."""
    wide, tall = size
    spare_x = AXES.right - AXES.left - wide
    spare_y = AXES.top - AXES.bottom - tall
    boxes = []
    for i in range(21):
        for k in range(21):
            left = AXES.left + spare_x * i / 20
            bottom = AXES.bottom + spare_y * k / 20
            boxes.append(Box(left, bottom, left + wide, bottom + tall))
    yield from sorted(boxes, key=lambda box: (min(map(box.away, targets)), box))


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


def place_line_label(text: str, path: Sequence[Spot], taken: Taken) -> Label | None:
    """Return a line's label next to it, else as near as possible."""
    ways = shapes(text, ", ")
    offered = [(shape, boxes_beside(path, text_size(shape))) for shape in ways]
    offered.insert(2, (ways[0], box_above(path, text_size(ways[0]))))
    offered.append((ways[1], boxes_anywhere(path, text_size(ways[1]))))
    return first_free("line", path, offered, taken)


def place_peak_label(
    text: str, at: Spot, taken: Taken, *, within: Box | None = None
) -> Label | None:
    """
    Return the peak's label next to it, else as near as possible.

    It is kept `within` a box if one is given: of two peaks, that of the lower one must
    not pass the label of the higher one.
    """
    ways = shapes(text, " at ")[:2]
    room = RADIUS["peak"] + 2
    offered: list[tuple[tuple[str, ...], Iterable[Box]]] = [
        (shape, allowed(boxes_around(at, text_size(shape), room), within))
        for shape in ways
    ]
    offered.append((ways[1], boxes_anywhere([at], text_size(ways[1]))))
    return first_free("peak", [at], offered, taken)


def allowed(boxes: Iterable[Box], within: Box | None) -> Iterator[Box]:
    """Return the boxes that lie in another, if there is one."""
    return (box for box in boxes if within is None or within.holds(box))


def place_number(dot: Dot, at: Spot, taken: Taken) -> Label | None:
    """Return a point's number next to it, or None: the table has it too."""
    lines = (number_text(dot),)
    offered = [(lines, boxes_around(at, text_size(lines), RADIUS[dot.kind] + 1))]
    return first_free("point", [at], offered, taken)


def first_free(
    kind: str,
    targets: Sequence[Spot],
    offered: Iterable[tuple[tuple[str, ...], Iterable[Box]]],
    taken: Taken,
) -> Label | None:
    """Return a label in the first free box, and mark that box as taken."""
    for lines, boxes in offered:
        for box in boxes:
            if taken.free(box):
                taken.boxes.append(box)
                return Label(lines, box, kind, min(map(box.away, targets)))
    return None


Path = tuple[Line, tuple[Spot, ...]]


def place_names(
    plot: Plot, paths: Sequence[Path], taken: Taken, *, peak_first: bool
) -> list[Label]:
    """Return the labels of the peak and of the lines."""

    def of_peak() -> list[Label | None]:
        peaks = [dot for dot in plot.dots if dot.kind in PEAKS and dot.label]
        within = AXES if any(dot.kind == "peak-before" for dot in peaks) else None
        return [
            place_peak_label(dot.label, spot(plot, dot), taken, within=within)
            for dot in peaks
        ]

    def of_lines() -> list[Label | None]:
        return [
            place_line_label(line.label, path, taken)
            for line, path in paths
            if line.label
        ]

    found = of_peak() + of_lines() if peak_first else of_lines() + of_peak()
    return [label for label in found if label is not None]


def place_labels(
    plot: Plot, paths: Sequence[Path], room: Callable[[], Taken]
) -> tuple[Label, ...]:
    """
    Return every label; `room` gives the space taken before any is placed.

    The peak's label is placed first. If another is then far off, the lines' labels go
    first if the labels are nearer in total.
    """
    taken = room()
    chosen = place_names(plot, paths, taken, peak_first=True)
    if any(label.away > FAR for label in chosen):
        other = room()
        again = place_names(plot, paths, other, peak_first=False)
        if fsum(label.away for label in again) < fsum(label.away for label in chosen):
            taken, chosen = other, again
    numbers = [
        place_number(dot, spot(plot, dot), taken)
        for dot in [one for one in plot.dots if is_named(one)][:MOST_NUMBERED]
    ]
    return (*chosen, *(label for label in numbers if label is not None))


MOST_NUMBERED = 100
"""Points beyond this get no number: there is no room, and the search is slow."""

FAR = 15.0
"""Distance above which a label is not next to what it names. [points]"""


def is_named(dot: Dot) -> bool:
    """Whether a point has its number or its name next to it."""
    return dot.kind not in PEAKS and bool(dot.number or dot.label)


def number_text(dot: Dot) -> str:
    """Return the text next to a point: its name, else its number."""
    if dot.label:
        return dot.label
    return f"{dot.number} rejected" if dot.kind == "rejected" else str(dot.number)


def mark_box(kind: str, at: Spot) -> Box:
    """Return the space that a mark takes."""
    return Box(*at, *at).grown(RADIUS[kind])


def layout(plot: Plot) -> Layout:
    """Return the layout of a figure."""
    paths = [
        (line, part)
        for line in plot.lines
        for way in [spots(plot, line.x, line.y)]
        for part in (arrow(way) if line.kind == "move" else clipped(way, AXES))
    ]
    segments = [
        (Segment(a, b), Box(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y)))
        for _, path in paths
        for a, b in pairwise(path)
    ]
    marks = [(dot.kind, spot(plot, dot)) for dot in plot.dots]
    boxes = [mark_box(kind, at) for kind, at in marks]
    return Layout(
        tuple((line.kind, path) for line, path in paths),
        tuple(marks),
        place_labels(plot, paths, lambda: Taken(segments, list(boxes))),
    )
