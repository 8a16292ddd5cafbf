"""
Plot → SVG. matplotlib draws; a worker keeps one figure, and each frame it has drawn.

The frame (axes, ticks, their numbers) is the same for every test of one window of round
steps, and costs ten times what curve and points do: it is drawn once a window, the
data on an empty canvas, and the two drawings are laid over each other.
"""

import re
from collections.abc import Sequence
from functools import cache
from html import escape
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

from buildsite.kinds.sheet import Axis, Plot
from buildsite.pages.figure.boxes import LINE, SIZE
from buildsite.pages.figure.label_layout import (
    AXES,
    HEIGHT,
    WIDTH,
    Label,
    Layout,
    layout,
)

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
NO_METADATA: dict[str, Any] = {
    "Date": None,
    "Creator": None,
    "Format": None,
    "Type": None,
}

LINES: dict[str, dict[str, Any]] = {
    "curve": {"color": CURVE, "linewidth": 2.0},
    "curve-before": {"color": INK, "linewidth": 1.6, "dashes": (7, 2, 1.5, 2)},
    "air-voids": {"color": SOFT, "linewidth": 1.4, "dashes": (6, 3)},
    "drop": {"color": SOFT, "linewidth": 0.9, "dashes": (1, 2.5)},
}
MARKS: dict[str, dict[str, Any]] = {
    "point": {"marker": "o", "markersize": 7, "color": INK},
    "second": {
        "marker": "s",
        "markersize": 6.5,
        "color": INK,
        "markerfacecolor": "white",
        "markeredgecolor": INK,
        "markeredgewidth": 1.2,
    },
    "rejected": {
        "marker": "o",
        "markersize": 8,
        "color": INK,
        "markerfacecolor": "white",
        "markeredgecolor": INK,
        "markeredgewidth": 1.4,
    },
    "peak": {
        "marker": "+",
        "color": INK,
        "markersize": 14,
        "markeredgecolor": INK,
        "markeredgewidth": 1.4,
    },
}
OPENING = (
    '<svg xmlns="http://www.w3.org/2000/svg" '
    'xmlns:xlink="http://www.w3.org/1999/xlink" role="img" '
    f'width="{WIDTH:.0f}" height="{HEIGHT:.0f}" '
    f'viewBox="0 0 {WIDTH:.0f} {HEIGHT:.0f}">\n'
)
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


def inner(figure: Figure) -> str:
    """
    Draw a figure and keep what is inside its `<svg>`.

    Names of parts are taken out: nothing refers to them, and two drawings laid over
    each other would have them twice.
    """
    out = BytesIO()
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
    """
    Draw axes, ticks and numbers of one window. Kept for the next test.

    As plain lines and words: matplotlib's own axes cost ten times as much.
    """
    figure = canvas()
    figure.clear()
    across = [(place_on(x, at, AXES.left, AXES.right), at) for at in ticks(x)]
    up = [(place_on(y, at, AXES.bottom, AXES.top), at) for at in ticks(y)]
    left, right, bottom, top = AXES.left, AXES.right, AXES.bottom, AXES.top
    grid = [[(at, bottom), (at, top)] for at, _ in across]
    grid += [[(left, at), (right, at)] for at, _ in up]
    marks = [[(at, bottom), (at, bottom - TICK)] for at, _ in across]
    marks += [[(left, at), (left - TICK, at)] for at, _ in up]
    marks.append([(left, top), (left, bottom), (right, bottom)])
    foot = bottom - TICK - PAD - RISE * SIZE
    parts: list[Artist] = [strokes(grid, HAIR), strokes(marks, SOFT)]
    parts += [
        words(at, foot, f"{value:.{x.decimals}f}", align="center")
        for at, value in across
    ]
    parts += [
        words(
            left - TICK - PAD,
            at - MIDDLE * SIZE,
            f"{value:.{y.decimals}f}",
            align="right",
        )
        for at, value in up
    ]
    parts.append(words((left + right) / 2, 8, f"{x.label}, {x.unit}", align="center"))
    parts.append(words(6, HEIGHT - 14, f"{y.label}, {y.unit}"))
    for order, part in enumerate(parts):
        part.set_zorder(order)
        figure.add_artist(part)
    return inner(figure)


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


def label_words(label: Label) -> list[Text]:
    """Lines of a label, in the middle of its box."""
    middle = (label.box.left + label.box.right) / 2
    foot = label.box.top - LINE + (LINE - SIZE) / 2 + 2.0
    return [
        words(middle, foot - i * LINE, text, align="center")
        for i, text in enumerate(label.text)
    ]


def backing(labels: Sequence[Label]) -> PathPatch:
    """White ground behind all labels, so that the grid does not cross them."""
    paths = [
        Path(
            [
                (box.left, box.bottom),
                (box.right, box.bottom),
                (box.right, box.top),
                (box.left, box.top),
                (box.left, box.bottom),
            ],
            closed=True,
        )
        for box in (label.box for label in labels)
    ]
    return PathPatch(
        Path.make_compound_path(*paths),
        facecolor="white",
        edgecolor="none",
        transform=IdentityTransform(),
    )


def artists(laid: Layout) -> list[Artist]:
    """Everything of one test, from the back to the front."""
    at = IdentityTransform()
    found: list[Artist] = [backing(laid.labels)] if laid.labels else []
    for kind, path in laid.paths:
        xs, ys = [s.x for s in path], [s.y for s in path]
        found.append(Line2D(xs, ys, transform=at, **LINES[kind]))
    for kind in MARKS:
        spots = [s for has, s in laid.marks if has == kind]
        if spots:
            xs, ys = [s.x for s in spots], [s.y for s in spots]
            style = {"linestyle": "none", **MARKS[kind]}
            found.append(Line2D(xs, ys, transform=at, **style))
    for label in laid.labels:
        found += label_words(label)
    return found


def svg(plot: Plot) -> bytes:
    """
    Draw one plot.

    The same plot gives the same bytes, whatever this process drew before.
    """
    ground = frame(plot.x, plot.y)
    figure = canvas()
    figure.clear()
    for order, artist in enumerate(artists(layout(plot))):
        artist.set_zorder(order)
        figure.add_artist(artist)
    title = f"<title>{escape(plot.alt)}</title>\n"
    white = f'<rect width="{WIDTH:.0f}" height="{HEIGHT:.0f}" fill="#fff"/>\n'
    text = OPENING + title + white + ground + inner(figure) + "</svg>\n"
    return text.encode()
