"""
Where labels go on a figure: beside what they name, across no line and no other label.

Lengths are points of the figure, counted from its lower left corner.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import field
from functools import cache
from itertools import pairwise

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
from buildsite.values import dataclass

WIDTH, HEIGHT = 400.0, 320.0
GAP = 3.0
"""Least clear space around a label."""

RADIUS = {"point": 4.5, "second": 4.5, "rejected": 5.0, "peak": 7.0}
"""Half the size of each mark."""


AXES = Box(46.0, 42.0, 388.0, 292.0)
"""The part of the figure between its axes."""

STRIP = Box(172.0, 295.5, 397.0, 312.0)
"""Above the axes, beside the name of the upright one: room for the label of a line
that leaves through the top."""


@dataclass(frozen=True)
class Label:
    """Text that found its place, line by line."""

    text: tuple[str, ...]
    box: Box
    kind: str  # peak | line | point
    away: float  # from what it names


@dataclass(frozen=True)
class Layout:
    """A figure in points: paths, marks and labels."""

    paths: tuple[tuple[str, tuple[Spot, ...]], ...]  # kind of the line, its way
    marks: tuple[tuple[str, Spot], ...]  # kind of the dot, its place
    labels: tuple[Label, ...]


def spots(plot: Plot, xs: Iterable[float], ys: Iterable[float]) -> list[Spot]:
    """Take shown units to points of the figure."""
    left, low, span = AXES.left, plot.x.low, plot.x.high - plot.x.low
    bottom, foot, height = AXES.bottom, plot.y.low, plot.y.high - plot.y.low
    wide, tall = AXES.right - left, AXES.top - bottom
    return [
        Spot(left + (x - low) / span * wide, bottom + (y - foot) / height * tall)
        for x, y in zip(xs, ys, strict=True)
    ]


def spot(plot: Plot, dot: Dot) -> Spot:
    """Take one dot to points of the figure."""
    return spots(plot, [dot.x], [dot.y])[0]


@dataclass
class Taken:
    """Space that no label may have."""

    segments: list[tuple[Segment, Box]]  # each with the box about it
    boxes: list[Box] = field(default_factory=list)

    def free(self, box: Box) -> bool:
        """Whether a label may stand there."""
        if not (AXES.holds(box) or STRIP.holds(box)):
            return False
        # What is tried next is near, and meets the same: that is looked at first.
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


def clipped(path: Sequence[Spot]) -> Iterator[tuple[Spot, ...]]:
    """Parts of a path between the axes."""
    if len(path) > 1 and all(at.within(AXES) for at in path):
        yield tuple(path)
        return
    part: list[Spot] = []
    for start, end in pairwise(path):
        inside = cut(Segment(start, end), AXES)
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


@cache
def label_offsets(wide: float, tall: float, room: float) -> tuple[Spot, ...]:
    """
    Where a label's corner may be from what it names: the nearest places first.

    Above is better than below, level better than far aside. `room` is the clear space
    that the mark itself needs.
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
    """Boxes about a spot, nearest first."""
    wide, tall = size
    for x, y in label_offsets(wide, tall, room):
        left, bottom = target.x + x, target.y + y
        yield Box(left, bottom, left + wide, bottom + tall)


def boxes_anywhere(targets: Sequence[Spot], size: Size) -> Iterator[Box]:
    """Boxes all over the figure, nearest first: when there is no room beside."""
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
    Boxes along a line that falls to the right: the upper end first.

    Above it and to its right, where no point can be, before below it and to its left.
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
    """Box above the axes, where a line leaves them."""
    wide, tall = size
    end = max(path, key=lambda at: at.y)
    if end.y > AXES.top - 1.0:
        left = min(max(end.x, STRIP.left), STRIP.right - wide)
        yield Box(left, STRIP.bottom, left + wide, STRIP.bottom + tall)


def place_line_label(text: str, path: Sequence[Spot], taken: Taken) -> Label | None:
    """Find a place for a line's label: beside it, else as near as there is one."""
    ways = shapes(text, ", ")
    offered = [(shape, boxes_beside(path, text_size(shape))) for shape in ways]
    offered.insert(2, (ways[0], box_above(path, text_size(ways[0]))))
    offered.append((ways[1], boxes_anywhere(path, text_size(ways[1]))))
    return first_free("line", path, offered, taken)


def place_peak_label(text: str, at: Spot, taken: Taken) -> Label | None:
    """Find a place for the peak's label: beside it, else as near as there is one."""
    ways = shapes(text, " at ")[:2]
    room = RADIUS["peak"] + 2
    offered = [(shape, boxes_around(at, text_size(shape), room)) for shape in ways]
    offered.append((ways[1], boxes_anywhere([at], text_size(ways[1]))))
    return first_free("peak", [at], offered, taken)


def place_number(dot: Dot, at: Spot, taken: Taken) -> Label | None:
    """Find a place for a point's number: beside it or nowhere, the table has it too."""
    lines = (number_text(dot),)
    offered = [(lines, boxes_around(at, text_size(lines), RADIUS[dot.kind] + 1))]
    return first_free("point", [at], offered, taken)


def first_free(
    kind: str,
    targets: Sequence[Spot],
    offered: Iterable[tuple[tuple[str, ...], Iterable[Box]]],
    taken: Taken,
) -> Label | None:
    """Settle a label in the first box that is free, and keep the others out of it."""
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
    """Place the labels of the peak and of the lines."""

    def of_peak() -> list[Label | None]:
        peaks = [dot for dot in plot.dots if dot.kind == "peak" and dot.label]
        return [place_peak_label(dot.label, spot(plot, dot), taken) for dot in peaks]

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
    Place every label; `room` gives the space that is taken before there is any.

    The peak's goes first. Where that drives another far off, the lines' go first, if
    all in all that is nearer.
    """
    taken = room()
    chosen = place_names(plot, paths, taken, peak_first=True)
    if any(label.away > FAR for label in chosen):
        other = room()
        again = place_names(plot, paths, other, peak_first=False)
        if sum(label.away for label in again) < sum(label.away for label in chosen):
            taken, chosen = other, again
    numbers = [
        place_number(dot, spot(plot, dot), taken)
        for dot in [dot for dot in plot.dots if dot.number][:MOST_NUMBERED]
    ]
    return (*chosen, *(label for label in numbers if label is not None))


MOST_NUMBERED = 100
"""Points beyond these get no number: there is no room, and looking takes for ever."""

FAR = 15.0
"""Beyond this a label no longer stands beside what it names. [points]"""


def number_text(dot: Dot) -> str:
    """What stands beside a point."""
    return f"{dot.number} rejected" if dot.kind == "rejected" else str(dot.number)


def mark_box(kind: str, at: Spot) -> Box:
    """Space that a mark takes."""
    return Box(*at, *at).grown(RADIUS[kind])


def layout(plot: Plot) -> Layout:
    """Lay out a figure."""
    paths = [
        (line, part)
        for line in plot.lines
        for part in clipped(spots(plot, line.x, line.y))
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
