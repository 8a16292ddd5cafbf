"""
Parts of a figure as text: copies of what matplotlib drew once, at other coordinates.

`samples.py` holds one line, mark, ground and text of each kind as matplotlib drew it:
importing it takes as long as drawing a hundred figures.
"""

from collections.abc import Iterable, Sequence
from functools import cache
from html import escape

from buildsite.pages.figure.boxes import Spot
from buildsite.pages.figure.offered_boxes import HEIGHT
from buildsite.pages.figure.samples import SAMPLES


def number(value: float) -> str:
    """
    Return a length as matplotlib writes it.

    >>> number(46.0), number(167.80658333)
    ('46', '167.806583')
    """
    return f"{value:f}".rstrip("0").rstrip(".")


def path_text(spots: Iterable[Spot]) -> str:
    """Return the path along some spots; an SVG counts from its upper edge."""
    return "M " + "L ".join(f"{number(x)} {number(HEIGHT - y)} \n" for x, y in spots)


def place_text(x: float, y: float) -> str:
    """Return a position as attributes."""
    return f' x="{number(x)}" y="{number(HEIGHT - y)}"'


GROUP, END = " <g>\n", " </g>\n"
"""Around the content of a drawing."""

EMPTY = " <g/>\n"
HEAD = SAMPLES[""].replace(EMPTY, GROUP)
"""Before the content of a drawing."""


@cache
def sample_around(kind: str, places: str) -> tuple[str, str]:
    """Return the text of a sample before and after its coordinates."""
    inside = SAMPLES[kind].partition(GROUP)[2].removesuffix(END)
    before, _, after = inside.partition(places)
    return before, after


WAY = [Spot(0.0, 0.0), Spot(1.0, 1.0)]
"""Coordinates of the samples of lines."""


def line_text(kind: str, paths: str) -> str:
    """Return a line, or the ground, of a kind along its paths."""
    return paths.join(sample_around(kind, path_text(WAY)))


def mark_text(kind: str, spots: Sequence[Spot]) -> str:
    """Return every mark of a kind: its shape once, and a reference for each spot."""
    before, after = sample_around(kind, place_text(0.0, 0.0))
    form, _, use = before.rpartition("\n")
    style, _, end = after.partition("\n")
    uses = "".join(f"{use}{place_text(*spot)}{style}\n" for spot in spots)
    return f"{form}\n{uses}{end}"


def text_at(x: float, y: float, text: str, kind: str) -> str:
    """Return a line of text whose left, center or right stands at a position."""
    before, _ = sample_around(kind, place_text(0.0, 0.0))
    turn = f"rotate(0 {number(x)} {number(HEIGHT - y)})"
    words = escape(text, quote=False)
    return f'{before}{place_text(x, y)} transform="{turn}">{words}</text>\n'
