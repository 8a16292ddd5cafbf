"""
Parts of a figure drawn by matplotlib, once each: frames, and samples of their content.

A frame (axes, ticks, their numbers) is drawn once for each range of the axes; a sample
of each kind of line, mark and label is drawn once a process.
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

from buildsite.kinds.sheet import Axis
from buildsite.pages.figure.boxes import SIZE
from buildsite.pages.figure.offered_boxes import AXES, HEIGHT, WIDTH

INK, CURVE, SOFT, HAIR = "#1c2326", "#14506b", "#57606a", "#dfe3e6"
STOP, TINT = "#96240f", "#b5d6b8"
"""Colors, all on white: text and marks; the curve; other lines; the grid; limits and
failures; the window of acceptance."""

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

LINES: dict[str, dict[str, Any]] = {
    "curve": {"color": CURVE, "linewidth": 2.0},
    "curve-before": {"color": INK, "linewidth": 1.6, "dashes": (7, 2, 1.5, 2)},
    "air-voids": {"color": SOFT, "linewidth": 1.4, "dashes": (6, 3)},
    "leader": {"color": CURVE, "linewidth": 0.7},
    "drop": {"color": SOFT, "linewidth": 0.9, "dashes": (1, 2.5)},
    "limit": {"color": STOP, "linewidth": 1.4, "dashes": (8, 2.5)},
    "move": {"color": SOFT, "linewidth": 1.1},
}
WINDOW = "window"
"""The kind of line whose inside is shaded: an outline that ends where it began."""

HOLLOW = {"color": INK, "markerfacecolor": "white"}
PALE = {"color": SOFT, "markerfacecolor": "white"}
MARKS: dict[str, dict[str, Any]] = {
    "point-before": {"marker": "o", "markersize": 6, "markeredgewidth": 1.2, **PALE},
    "peak-before": {"marker": "+", "markersize": 12, "markeredgewidth": 1.2, **PALE},
    "point": {"marker": "o", "markersize": 7, "color": INK},
    "second": {"marker": "s", "markersize": 6.5, "markeredgewidth": 1.2, **HOLLOW},
    "rejected": {"marker": "o", "markersize": 8, "markeredgewidth": 1.4, **HOLLOW},
    "failed": {"marker": "x", "markersize": 8, "markeredgewidth": 2.2, "color": STOP},
    "peak": {"marker": "+", "markersize": 14, "markeredgewidth": 1.4, "color": INK},
    "governing": {"marker": "D", "markersize": 8, "color": CURVE},
}
NAMES = re.compile(
    r' id="(?:figure|patch|axes|matplotlib|line2d|text|xtick|ytick)[._0-9a-z]*"'
)


def data_folder() -> FilePath:
    """Return the folder of what comes with matplotlib: its fonts, for a PDF."""
    return FilePath(mpl.get_data_path())


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


def ticks(axis: Axis) -> list[float]:
    """Return the values of the ticks."""
    count = round((axis.high - axis.low) / axis.step)
    return [axis.low + i * axis.step for i in range(count + 1)]


TICK, PAD = 4.0, 3.5
"""Length of a tick, and its distance from the number."""

RISE, MIDDLE = 0.76, 0.36
"""Height of a digit above the baseline, and of its middle, as shares of the size."""


@cache
def frame(x: Axis, y: Axis) -> str:
    """Return the axes, ticks and numbers for one range, cached for other tests."""
    return drawn(frame_parts(x, y))


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
    yield strokes(grid, HAIR)
    yield strokes(marks, SOFT)
    for at, value in across:
        yield words(at, foot, tick_text(x, value), align="center")
    for at, value in up:
        text, beside = tick_text(y, value), left - TICK - PAD
        yield words(beside, at - MIDDLE * SIZE, text, align="right")
    yield words((left + right) / 2, 8, axis_label(x), align="center")
    yield words(6, HEIGHT - 14, axis_label(y))


def tick_text(axis: Axis, value: float) -> str:
    """
    Return the number at a tick; along stations with its plus.

    >>> tick_text(Axis("Station", "", 0, 2000, 500, 0, plus=2), 1500.0)
    '15+00'
    """
    if not axis.plus:
        return f"{value:.{axis.decimals}f}"
    whole, part = divmod(round(value), 10**axis.plus)
    return f"{whole}+{part:0{axis.plus}d}"


def axis_label(axis: Axis) -> str:
    """Return an axis' label with its unit, if it has one."""
    return ", ".join(filter(None, (axis.label, axis.unit)))


def place_on(axis: Axis, value: float, low: float, high: float) -> float:
    """Return the position of a value of an axis on the figure."""
    return low + (value - axis.low) / (axis.high - axis.low) * (high - low)


def strokes(lines: Sequence[Sequence[tuple[float, float]]], color: str) -> PathPatch:
    """Return hair lines of one color, as one path."""
    return PathPatch(
        Path.make_compound_path(*(Path(line) for line in lines)),
        facecolor="none",
        edgecolor=color,
        linewidth=0.8,
        transform=IdentityTransform(),
    )


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


def words(
    x: float, y: float, text: str, *, align: Literal["left", "center", "right"] = "left"
) -> Words:
    """Return one line of text, its baseline at a position of the figure."""
    return Words(
        x,
        y,
        text,
        color=INK,
        fontsize=SIZE,
        horizontalalignment=align,
        verticalalignment="baseline",
        transform=IdentityTransform(),
        parse_math=False,
    )


GROUND, LABEL = "ground", "label"
"""Samples besides lines and marks: the white ground of labels, and their text."""

FILLS: dict[str, dict[str, Any]] = {
    GROUND: {"facecolor": "white", "edgecolor": "none"},
    WINDOW: {"facecolor": TINT, "edgecolor": "none", "alpha": 0.5},
}


@cache
def sample(kind: str) -> str:
    """Return a line from corner to corner; a mark or text in the lower left corner."""
    return drawn(sample_parts(kind))


def sample_parts(kind: str) -> Iterator[Artist]:
    """Return one line, mark, ground or label."""
    at, ends = IdentityTransform(), [(0.0, 0.0), (1.0, 1.0)]
    if kind in LINES:
        yield Line2D([0.0, 1.0], [0.0, 1.0], transform=at, **LINES[kind])
    elif kind in MARKS:
        yield Line2D([0.0], [0.0], transform=at, linestyle="none", **MARKS[kind])
    elif kind in FILLS:
        yield PathPatch(Path(ends), transform=at, **FILLS[kind])
    elif kind == LABEL:
        yield words(0.0, 0.0, "", align="center")
