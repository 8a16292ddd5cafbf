"""
Figures and samples by matplotlib: what ours is made of, and held against.

To draw the samples again, for another matplotlib or another style:
`python -m tests.pages.figure.whole`.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from io import BytesIO
from pathlib import Path as FilePath
from typing import Any, Literal

import matplotlib as mpl
from matplotlib.artist import Artist
from matplotlib.backend_bases import RendererBase
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import IdentityTransform

from buildsite.kinds.sheet import Axis, Plot
from buildsite.pages.figure import samples
from buildsite.pages.figure.boxes import LINE, SIZE, Spot
from buildsite.pages.figure.draw import opening
from buildsite.pages.figure.frame import (
    MIDDLE,
    PAD,
    RISE,
    TICK,
    axis_label,
    place_on,
    tick_text,
    ticks,
)
from buildsite.pages.figure.label_layout import Label, Layout, layout
from buildsite.pages.figure.names import NAMELESS
from buildsite.pages.figure.offered_boxes import AXES, HEIGHT, WIDTH
from buildsite.pages.figure.styles import (
    GRID,
    GROUND,
    LINES,
    MARKS,
    PATCHES,
    TEXT,
    TICKS,
)

FACE = "DejaVu Sans"
"""Face of matplotlib, for measuring; readers see their own sans-serif face."""

STYLE: Any = {
    "svg.fonttype": "none",  # text stays text: read aloud, selected, searched
    "svg.hashsalt": "buildsite",
    "font.family": [FACE],
    "font.size": SIZE,
    "path.simplify": False,
}
NO_METADATA = dict.fromkeys(("Date", "Creator", "Format", "Type"))

NAMES = re.compile(
    r' id="(?:figure|patch|axes|matplotlib|line2d|text|xtick|ytick)[._0-9a-z]*"'
)


@cache
def canvas() -> Figure:
    """Return the figure of this process, reused for every drawing."""
    mpl.rcParams.update(STYLE)
    figure = Figure(figsize=(WIDTH / 72, HEIGHT / 72), dpi=72)
    FigureCanvasSVG(figure)
    figure.patch.set_visible(False)
    return figure


def drawn(parts: Iterable[Artist]) -> str:
    """
    Draw parts by matplotlib, the first at the back; return the content of the `<svg>`.

    `parts` is an iterator, because they take the style when they are made. Their ids
    are removed: nothing refers to them, and two overlaid drawings would repeat them.
    """
    figure, out = canvas(), BytesIO()
    figure.clear()
    for order, part in enumerate(parts):
        part.set_zorder(order)
        figure.add_artist(part)
    figure.savefig(out, format="svg", metadata=NO_METADATA)
    text = out.getvalue().decode()
    start = text.index(">", text.index("<svg")) + 1
    text = NAMES.sub("", text[start : text.rindex("</svg>")])
    return text.replace(f"'{FACE}'", "sans-serif").strip() + "\n"


def frame_parts(x: Axis, y: Axis) -> Iterator[Artist]:
    """
    Return grid, ticks and text for one range of the axes.

    As plain lines and text: matplotlib's own axes take ten times as long.
    """
    across = [(place_on(x, at, AXES.left, AXES.right), at) for at in ticks(x)]
    up = [(place_on(y, at, AXES.bottom, AXES.top), at) for at in ticks(y)]
    left, right, bottom, top = AXES.left, AXES.right, AXES.bottom, AXES.top
    grid = [[(at, bottom), (at, top)] for at, _ in across]
    grid += [[(left, at), (right, at)] for at, _ in up]
    marks = [[(at, bottom), (at, bottom - TICK)] for at, _ in across]
    marks += [[(left, at), (left - TICK, at)] for at, _ in up]
    marks.append([(left, top), (left, bottom), (right, bottom)])
    foot = bottom - TICK - PAD - RISE * SIZE
    yield strokes(grid, GRID)
    yield strokes(marks, TICKS)
    for at, value in across:
        yield words(at, foot, tick_text(x, value), align="center")
    for at, value in up:
        text, beside = tick_text(y, value), left - TICK - PAD
        yield words(beside, at - MIDDLE * SIZE, text, align="right")
    yield words((left + right) / 2, 8, axis_label(x), align="center")
    yield words(6, HEIGHT - 14, axis_label(y))


def strokes(lines: Sequence[Sequence[tuple[float, float]]], kind: str) -> PathPatch:
    """Lines of a grid or of axes, as one path."""
    path = Path.make_compound_path(*(Path(line) for line in lines))
    return PathPatch(path, transform=IdentityTransform(), **PATCHES[kind])


class Words(Text):
    """
    One line of text at a fixed position; the reader's browser measures it.

    matplotlib lays text out in its own face first, which takes as long as the rest of
    a figure, and an SVG with plain text does not use the outcome.
    """

    def draw(self, renderer: RendererBase) -> None:
        """Draw the text at its position."""
        gc = renderer.new_gc()
        gc.set_foreground(self.get_color())
        x, y = self.get_position()
        face = self.get_fontproperties()
        renderer.draw_text(gc, x, HEIGHT - y, self.get_text(), face, 0, mtext=self)
        gc.restore()


Side = Literal["left", "center", "right"]
SIDES: tuple[Side, ...] = ("left", "center", "right")


def words(x: float, y: float, text: str, *, align: Side = "left") -> Words:
    """Return one line of text, its baseline at a position of the figure."""
    return Words(
        x,
        y,
        text,
        **TEXT,
        horizontalalignment=align,
        verticalalignment="baseline",
        transform=IdentityTransform(),
        parse_math=False,
    )


def sample_parts(kind: str) -> Iterator[Artist]:
    """A line from corner to corner; a mark or text in the lower left corner."""
    at, ends = IdentityTransform(), [(0.0, 0.0), (1.0, 1.0)]
    if kind in LINES:
        yield Line2D([0.0, 1.0], [0.0, 1.0], transform=at, **LINES[kind])
    elif kind in MARKS:
        yield Line2D([0.0], [0.0], transform=at, linestyle="none", **MARKS[kind])
    elif kind in PATCHES:
        yield PathPatch(Path(ends), transform=at, **PATCHES[kind])
    for side in SIDES:
        if kind == side:
            yield words(0.0, 0.0, "", align=side)


def drawn_samples() -> dict[str, str]:
    """Every sample, and an empty drawing."""
    kinds = ("", *LINES, *MARKS, *PATCHES, *SIDES)
    return {kind: drawn(sample_parts(kind)) for kind in kinds}


def quoted(text: str) -> str:
    """A text as this house writes it in a program."""
    return repr(text) if '"' in text else f'"{repr(text)[1:-1]}"'


def module() -> str:
    """The module that holds the samples."""
    lines = [
        '"""',
        "One sample of all that figures are made of, as matplotlib drew it.",
        "",
        f"By matplotlib {mpl.__version__}; a test keeps them current. Drawn anew by:",
        "`python -m tests.pages.figure.whole`.",
        '"""',
        "",
        "# ruff: noqa: E501 - lines as matplotlib wrote them",
        "",
        "SAMPLES = {",
    ]
    for kind, text in drawn_samples().items():
        lines += [f"    {quoted(kind)}: ("]
        lines += [f"        {quoted(line)}" for line in text.splitlines(keepends=True)]
        lines += ["    ),"]
    return "\n".join((*lines, "}", ""))


def ground(labels: Sequence[Label]) -> PathPatch:
    """White behind all labels, as one path."""
    corners = [
        [(left, bottom), (right, bottom), (right, top), (left, top), (left, bottom)]
        for left, bottom, right, top in (label.box for label in labels)
    ]
    return PathPatch(
        Path.make_compound_path(*(Path(one, closed=True) for one in corners)),
        transform=IdentityTransform(),
        **PATCHES[GROUND],
    )


def drawn_line(kind: str, path: Sequence[Spot]) -> Artist:
    """A line, or a shaded outline."""
    at, places = IdentityTransform(), [(spot.x, spot.y) for spot in path]
    if kind in PATCHES:
        return PathPatch(Path(places), transform=at, **PATCHES[kind])
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


if __name__ == "__main__":
    FilePath(str(samples.__file__)).write_text(module(), "utf-8")
