"""
Positions of labels on a figure: next to what they name, clear of lines and labels.

Lengths are in points of the figure, from its lower left corner.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from math import fsum

from buildsite.kinds.sheet import Dot, Line, Plot
from buildsite.pages.figure.boxes import (
    Box,
    Edges,
    Segment,
    Spot,
    around,
    away,
    cut,
    pieces,
    shapes,
    text_size,
)
from buildsite.pages.figure.offered_boxes import (
    AXES,
    PEAKS,
    RADIUS,
    box_above,
    boxes_around,
    boxes_beside,
)
from buildsite.pages.figure.paths import arrow, clipped
from buildsite.pages.figure.taken import Taken
from buildsite.values import dataclass


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


Offer = tuple[tuple[str, ...], Iterable[Edges]]
"""The lines of a label, and boxes for it, the best first."""


def place_line_label(text: str, path: Sequence[Spot], taken: Taken) -> Label | None:
    """Return a line's label next to it, else as near as possible."""
    ways = shapes(text, ", ")
    different = dict.fromkeys(ways)  # a short text is set in one way
    offered = [(shape, boxes_beside(path, text_size(shape))) for shape in different]
    above = box_above(path, text_size(ways[0]))
    offered.insert(len(set(ways[:2])), (ways[0], above))
    offered.append((ways[1], taken.anywhere(path, text_size(ways[1]))))
    return first_free("line", path, offered, taken)


def pair_shapes(text: str) -> Sequence[tuple[str, ...]]:
    """
    Return ways to set the label of a pair; what it is may be a line of its own.

    >>> pair_shapes("for field control: 138.1 at 6.5 %")[1]
    ('for field control:', '138.1 at 6.5 %')
    """
    lead, _, pair = text.rpartition(": ")
    if len(lead) <= NAME:
        return shapes(text, " at ")[:2]
    return (text,), *((f"{lead}:", *way) for way in shapes(pair, " at ")[:2])


NAME = 8
"""Letters up to which a name stays beside its pair: r0, r2."""


def place_peak_label(
    text: str, at: Spot, taken: Taken, *, within: Box | None = None
) -> Label | None:
    """
    Return the label of a pair next to it, else as near as possible.

    It is kept `within` a box if one is given: of two peaks, that of the lower one must
    not pass the label of the higher one.
    """
    ways = pair_shapes(text)
    room = RADIUS["peak"] + 2
    offered: list[Offer] = [
        (shape, allowed(boxes_around(at, text_size(shape), room), within))
        for shape in ways
    ]
    offered.append((ways[-1], taken.anywhere([at], text_size(ways[-1]))))
    return first_free("peak", [at], offered, taken)


def allowed(boxes: Iterable[Edges], within: Box | None) -> Iterable[Edges]:
    """Return the boxes that lie in another, if there is one."""
    return boxes if within is None else filter(within.holds, boxes)


def place_number(dot: Dot, at: Spot, taken: Taken) -> Label | None:
    """Return a point's number next to it, or None: the table has it too."""
    lines = (number_text(dot),)
    offered = [(lines, boxes_around(at, text_size(lines), RADIUS[dot.kind] + 1))]
    return first_free("point", [at], offered, taken)


def first_free(
    kind: str,
    targets: Sequence[Spot],
    offered: Iterable[Offer],
    taken: Taken,
) -> Label | None:
    """Return a label in the first free box, and mark that box as taken."""
    for lines, boxes in offered:
        for edges in filter(taken.free, boxes):
            box = Box(*edges)
            taken.boxes.append(box)
            return Label(lines, box, kind, away(box, targets))
    return None


Path = tuple[Line, tuple[Spot, ...]]


def place_names(
    plot: Plot, paths: Sequence[Path], taken: Taken, *, peak_first: bool
) -> list[Label]:
    """Return the labels of the peak and of the lines."""

    def of_peak() -> list[Label | None]:
        named = [dot for dot in plot.dots if dot.kind in PEAKS and dot.label]
        peaks = sorted(named, key=lambda dot: dot.kind != "governing")
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
    two = any(label.kind == "peak" for label in chosen)
    if two and any(label.away > FAR for label in chosen):
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
    lines = [(around(one), one) for _, path in paths for one in pieces(path)]
    marks = [(dot.kind, spot(plot, dot)) for dot in plot.dots]
    boxes = [mark_box(kind, at) for kind, at in marks]
    labels = place_labels(plot, paths, lambda: Taken(lines, list(boxes)))
    ways = [(line.kind, path) for line, path in paths]
    if len(plot.several) > 1:
        ways += leaders(paths, labels)
    return Layout(tuple(ways), tuple(marks), labels)


def nearest(path: Sequence[Spot], box: Box) -> Spot:
    """Return the place of a path that is nearest to a box."""
    return min(path, key=lambda at: away(box, [at]))


def leaders(
    paths: Sequence[Path], labels: Sequence[Label]
) -> Iterator[tuple[str, tuple[Spot, ...]]]:
    """Yield a fine line to a curve from its label, where that is not next to it."""
    named = {line.label: path for line, path in paths if line.kind == "curve"}
    for label in labels:
        path = named.get(label.text[0])
        if path is None or label.kind != "line" or label.away <= FAR:
            continue
        end = nearest(path, label.box)
        left, bottom, right, top = label.box.grown(1.0)
        start = Spot(min(max(end.x, left), right), min(max(end.y, bottom), top))
        way = Segment(start, end)
        if not any(cut(way, other.box) for other in labels):
            yield "leader", (start, end)
