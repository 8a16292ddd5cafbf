"""The whole of a figure by matplotlib, part by part: what ours is held against."""

from collections.abc import Iterator, Sequence

from matplotlib.artist import Artist
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.transforms import IdentityTransform

from buildsite.kinds.sheet import Plot
from buildsite.pages.figure.boxes import LINE, SIZE, Spot
from buildsite.pages.figure.draw import opening
from buildsite.pages.figure.frame import (
    FILLS,
    LINES,
    MARKS,
    drawn,
    frame_parts,
    words,
)
from buildsite.pages.figure.label_layout import Label, Layout, layout
from buildsite.pages.figure.names import NAMELESS


def ground(labels: Sequence[Label]) -> PathPatch:
    """White behind all labels, as one path."""
    corners = [
        [(left, bottom), (right, bottom), (right, top), (left, top), (left, bottom)]
        for left, bottom, right, top in (label.box for label in labels)
    ]
    return PathPatch(
        Path.make_compound_path(*(Path(one, closed=True) for one in corners)),
        facecolor="white",
        edgecolor="none",
        transform=IdentityTransform(),
    )


def drawn_line(kind: str, path: Sequence[Spot]) -> Artist:
    """A line, or a shaded outline."""
    at, places = IdentityTransform(), [(spot.x, spot.y) for spot in path]
    if kind in FILLS:
        return PathPatch(Path(places), transform=at, **FILLS[kind])
    xs, ys = zip(*places, strict=True)
    return Line2D(xs, ys, transform=at, **LINES[kind])


def parts(laid: Layout) -> Iterator[Artist]:
    """Everything of one test, from the back to the front."""
    at = IdentityTransform()
    if laid.labels:
        yield ground(laid.labels)
    for kind, path in laid.paths:
        yield drawn_line(kind, path)
    for kind, style in MARKS.items():
        spots = [spot for has, spot in laid.marks if has == kind]
        if spots:
            xs, ys = [spot.x for spot in spots], [spot.y for spot in spots]
            yield Line2D(xs, ys, transform=at, linestyle="none", **style)
    for label in laid.labels:
        middle = (label.box.left + label.box.right) / 2
        foot = label.box.top - LINE + (LINE - SIZE) / 2 + 2.0
        for i, text in enumerate(label.text):
            yield words(middle, foot - i * LINE, text, align="center")


def whole(plot: Plot) -> bytes:
    """Draw a plot by matplotlib alone."""
    ground, over = drawn(frame_parts(plot.x, plot.y)), drawn(parts(layout(plot)))
    return f"{opening(plot, NAMELESS)}{ground}{over}</svg>\n".encode()
