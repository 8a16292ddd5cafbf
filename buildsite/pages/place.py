"""
Where labels go on a figure: beside what they name, across no line and no other label.

Lengths are points of the figure, counted from its lower left corner. Widths of text are
reckoned for a wide face, so that a narrower one of the reader's fits too.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise

from buildsite.kinds.sheet import Dot, Line, Plot
from buildsite.pages.boxes import Box, Segment, Spot, cut

WIDTH, HEIGHT = 400.0, 320.0
SIZE = 12.0
"""Height of the type: 9 px where the figure is shown 300 px wide, on a phone."""

LINE = 14.0
"""From one line of a label to the next."""

GAP = 3.0
"""Least clear space around a label."""

RADIUS = {"point": 4.5, "rejected": 5.0, "peak": 7.0}
"""Half the size of each mark."""


AXES = Box(46.0, 42.0, 388.0, 292.0)
"""The part of the figure between its axes."""


@dataclass(frozen=True, slots=True)
class Label:
    """Text that found its place, line by line."""

    text: tuple[str, ...]
    box: Box
    kind: str  # peak | line | point


@dataclass(frozen=True)
class Layout:
    """A figure in points: paths, marks and labels."""

    paths: tuple[tuple[str, tuple[Spot, ...]], ...]  # kind of the line, its way
    marks: tuple[tuple[str, Spot], ...]  # kind of the dot, its place
    labels: tuple[Label, ...]


def spot(plot: Plot, x: float, y: float) -> Spot:
    """Take shown units to points of the figure."""
    across = (x - plot.x.low) / (plot.x.high - plot.x.low)
    up = (y - plot.y.low) / (plot.y.high - plot.y.low)
    return Spot(
        AXES.left + across * (AXES.right - AXES.left),
        AXES.bottom + up * (AXES.top - AXES.bottom),
    )


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
    """Width of a line of text in a wide face. [points]"""
    return SIZE * sum(EMS.get(letter, 0.64) for letter in text)


def text_size(lines: Sequence[str]) -> Size:
    """Width and height of a label."""
    return max(map(text_width, lines)), LINE * len(lines)


@dataclass
class Taken:
    """Space that no label may have."""

    segments: list[tuple[Segment, Box]]  # each with the box about it
    boxes: list[Box] = field(default_factory=list)

    def free(self, box: Box) -> bool:
        """Whether a label may stand there."""
        if not AXES.holds(box):
            return False
        rim = box.grown(GAP)
        if any(rim.meets(other) for other in self.boxes):
            return False
        left, bottom, right, top = rim
        return not any(
            a < right and c > left and b < top and d > bottom and cut(segment, rim)
            for segment, (a, b, c, d) in self.segments
        )


def clipped(path: Sequence[Spot]) -> Iterator[tuple[Spot, ...]]:
    """Parts of a path between the axes."""
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
def offers(wide: float, tall: float, room: float) -> tuple[Spot, ...]:
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


def around(target: Spot, size: Size, room: float) -> Iterator[Box]:
    """Boxes about a spot, nearest first."""
    wide, tall = size
    for x, y in offers(wide, tall, room):
        left, bottom = target.x + x, target.y + y
        yield Box(left, bottom, left + wide, bottom + tall)


def anywhere(target: Spot, size: Size) -> list[Box]:
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
    return sorted(boxes, key=lambda box: (box.away(target), box))


def beside(path: Sequence[Spot], size: Size) -> Iterator[Box]:
    """
    Boxes along a line that falls to the right: the upper end first.

    Above it and to its right, where no point can be, before below it and to its left.
    """
    wide, tall = size
    far = GAP + 2.0
    falling = path if path[0].y >= path[-1].y else path[::-1]
    for x, y in falling:
        yield Box(x + far, y + 1.0, x + far + wide, y + 1.0 + tall)
    for x, y in falling:
        yield Box(x - far - wide, y - 1.0 - tall, x - far, y - 1.0)


def put_line(text: str, path: Sequence[Spot], taken: Taken) -> Label | None:
    """Find a place for a line's label: in one line of text, else in several."""
    shapes = [(text,), tuple(text.split(", "))]
    for shape in shapes:
        box = next(filter(taken.free, beside(path, text_size(shape))), None)
        if box is not None:
            return settled(Label(shape, box, "line"), taken)
    return put("line", shapes[-1], path[-1], GAP + 1, taken)


def put(
    kind: str, lines: tuple[str, ...], target: Spot, room: float, taken: Taken
) -> Label | None:
    """
    Find the nearest free place of a label, beside what it names or wherever there is.

    A point's number stands beside its point or not at all: the table has it too.
    """
    size = text_size(lines)
    box = next(filter(taken.free, around(target, size, room)), None)
    if box is None and kind != "point":
        box = next(filter(taken.free, anywhere(target, size)), None)
    return None if box is None else settled(Label(lines, box, kind), taken)


def settled(label: Label, taken: Taken) -> Label:
    """Keep the place of a label from the next ones."""
    taken.boxes.append(label.box)
    return label


def labels(
    plot: Plot, paths: Iterable[tuple[Line, Sequence[Spot]]], taken: Taken
) -> Iterator[Label | None]:
    """Place every label: the peak first, then the lines, then the points."""
    marks = [(dot, spot(plot, dot.x, dot.y)) for dot in plot.dots]
    for dot, at in marks:
        if dot.kind == "peak" and dot.label:
            yield put("peak", (dot.label,), at, RADIUS["peak"] + 2, taken)
    for line, path in paths:
        if line.label:
            yield put_line(line.label, path, taken)
    for dot, at in marks:
        if dot.number:
            yield put("point", (numbered(dot),), at, RADIUS[dot.kind] + 1, taken)


def numbered(dot: Dot) -> str:
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
        for part in clipped(
            [spot(plot, x, y) for x, y in zip(line.x, line.y, strict=True)]
        )
    ]
    segments = [
        (Segment(a, b), Box(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y)))
        for _, path in paths
        for a, b in pairwise(path)
    ]
    marks = [(dot.kind, spot(plot, dot.x, dot.y)) for dot in plot.dots]
    taken = Taken(segments, [mark_box(kind, at) for kind, at in marks])
    placed = labels(plot, paths, taken)
    return Layout(
        tuple((line.kind, path) for line, path in paths),
        tuple(marks),
        tuple(label for label in placed if label is not None),
    )
