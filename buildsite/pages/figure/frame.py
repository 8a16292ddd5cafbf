"""
What matplotlib draws of a figure, once each: frames, and samples of what lies in them.

A frame (axes, ticks, their numbers) is drawn once for each window of round steps; of
each sort of line, mark and label one sample is drawn a process.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from io import BytesIO
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
from buildsite.pages.figure.label_layout import AXES, HEIGHT, WIDTH

INK, CURVE, SOFT, HAIR = "#1c2326", "#14506b", "#57606a", "#dfe3e6"
"""Tones, all on white: words and marks; the curve; other lines; the grid."""

FACE = "DejaVu Sans"
"""The face that matplotlib brings and measures by; readers get their own instead."""

STYLE: Any = {
    "svg.fonttype": "none",  # words stay words: read aloud, selected, searched
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
    "drop": {"color": SOFT, "linewidth": 0.9, "dashes": (1, 2.5)},
}
HOLLOW = {"color": INK, "markerfacecolor": "white"}
MARKS: dict[str, dict[str, Any]] = {
    "point": {"marker": "o", "markersize": 7, "color": INK},
    "second": {"marker": "s", "markersize": 6.5, "markeredgewidth": 1.2, **HOLLOW},
    "rejected": {"marker": "o", "markersize": 8, "markeredgewidth": 1.4, **HOLLOW},
    "peak": {"marker": "+", "markersize": 14, "markeredgewidth": 1.4, "color": INK},
}
NAMES = re.compile(
    r' id="(?:figure|patch|axes|matplotlib|line2d|text|xtick|ytick)[._0-9a-z]*"'
)


@cache
def canvas() -> Figure:
    """Figure of this process, used again for every drawing."""
    mpl.rcParams.update(STYLE)
    figure = Figure(figsize=(WIDTH / 72, HEIGHT / 72), dpi=72)
    FigureCanvasSVG(figure)
    figure.patch.set_visible(False)
    return figure


def drawn(parts: Iterable[Artist]) -> str:
    """
    Draw parts by matplotlib, the first at the back; return what is inside the `<svg>`.

    `parts` are made while they are drawn, for they take our style then. Their names
    are taken out: nothing refers to them, and two drawings laid over each other would
    have them twice.
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
    """Places of the labelled ticks."""
    count = round((axis.high - axis.low) / axis.step)
    return [axis.low + i * axis.step for i in range(count + 1)]


TICK, PAD = 4.0, 3.5
"""Length of a tick, and from its end to its number."""

RISE, MIDDLE = 0.76, 0.36
"""Height of a figure above its foot, and of its middle, as shares of the size."""


@cache
def frame(x: Axis, y: Axis) -> str:
    """Draw axes, ticks and numbers of one window. Kept for the next test."""
    return drawn(frame_parts(x, y))


def frame_parts(x: Axis, y: Axis) -> Iterator[Artist]:
    """
    Make grid, ticks and words of one window.

    As plain lines and words: matplotlib's own axes cost ten times as much.
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
        yield words(at, foot, f"{value:.{x.decimals}f}", align="center")
    for at, value in up:
        text, beside = f"{value:.{y.decimals}f}", left - TICK - PAD
        yield words(beside, at - MIDDLE * SIZE, text, align="right")
    yield words((left + right) / 2, 8, f"{x.label}, {x.unit}", align="center")
    yield words(6, HEIGHT - 14, f"{y.label}, {y.unit}")


def place_on(axis: Axis, value: float, low: float, high: float) -> float:
    """Where a value of an axis stands on the figure."""
    return low + (value - axis.low) / (axis.high - axis.low) * (high - low)


def strokes(lines: Sequence[Sequence[tuple[float, float]]], color: str) -> PathPatch:
    """Hair lines of one colour, drawn as one path."""
    return PathPatch(
        Path.make_compound_path(*(Path(line) for line in lines)),
        facecolor="none",
        edgecolor=color,
        linewidth=0.8,
        transform=IdentityTransform(),
    )


class Words(Text):
    """
    One line of text whose place is settled: the reader's browser measures it.

    matplotlib's own text is first laid out in its own face, which costs as much as
    the rest of a figure, for an answer that an SVG with plain text does not use.
    """

    def draw(self, renderer: RendererBase) -> None:
        """Hand the text to the renderer where it stands."""
        gc = renderer.new_gc()
        gc.set_foreground(self.get_color())
        x, y = self.get_position()
        face = self.get_fontproperties()
        renderer.draw_text(gc, x, HEIGHT - y, self.get_text(), face, 0, mtext=self)
        gc.restore()


def words(
    x: float, y: float, text: str, *, align: Literal["left", "center", "right"] = "left"
) -> Words:
    """One line of text, its foot at a place of the figure."""
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
"""What is drawn besides lines and marks: the white behind labels, and their words."""


@cache
def sample(kind: str) -> str:
    """Draw a line from corner to corner; a mark, or words, in the lower left corner."""
    return drawn(sample_parts(kind))


def sample_parts(kind: str) -> Iterator[Artist]:
    """Make one line, mark, ground or label."""
    at, ends = IdentityTransform(), [(0.0, 0.0), (1.0, 1.0)]
    if kind in LINES:
        yield Line2D([0.0, 1.0], [0.0, 1.0], transform=at, **LINES[kind])
    elif kind in MARKS:
        yield Line2D([0.0], [0.0], transform=at, linestyle="none", **MARKS[kind])
    elif kind == GROUND:
        yield PathPatch(Path(ends), facecolor="white", edgecolor="none", transform=at)
    elif kind == LABEL:
        yield words(0.0, 0.0, "", align="center")
