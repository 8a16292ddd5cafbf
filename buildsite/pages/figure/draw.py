"""
Plot → SVG: the frame of its range, and on top the lines, marks and labels of a test.

`tests/pages/figure/test_draw.py` compares the bytes with whole figures by matplotlib.
"""

from collections.abc import Iterator, Sequence
from html import escape

from buildsite.kinds.sheet import Plot
from buildsite.pages.figure.boxes import LINE, SIZE, Spot, text_width
from buildsite.pages.figure.frame import frame
from buildsite.pages.figure.label_layout import Label, Layout, layout
from buildsite.pages.figure.names import NAMELESS, FigureName
from buildsite.pages.figure.offered_boxes import HEIGHT, WIDTH
from buildsite.pages.figure.styles import CENTER, GROUND, MARKS, SOFT
from buildsite.pages.figure.svg_parts import (
    END,
    HEAD,
    line_text,
    mark_text,
    number,
    path_text,
    text_at,
)

OPENING = (
    '<svg xmlns="http://www.w3.org/2000/svg" '
    'xmlns:xlink="http://www.w3.org/1999/xlink" role="img" '
    'aria-labelledby="what shows" '
    f'width="{WIDTH:.0f}" height="%d" viewBox="0 0 {WIDTH:.0f} %d">\n'
    '<title id="what">%s</title>\n<desc id="shows">%s</desc>\n'
    f'<rect width="{WIDTH:.0f}" height="%d" fill="#fff"/>\n'
)
STRIP_HEIGHT = 16
"""Height of the line below a figure that says what it is, which pages cut off."""


def ground_text(labels: Sequence[Label]) -> str:
    """Return the white ground behind all labels, so that no grid line crosses them."""
    corners = (
        (Spot(left, bottom), Spot(right, bottom), Spot(right, top), Spot(left, top))
        for left, bottom, right, top in (label.box for label in labels)
    )
    return line_text(GROUND, "".join(f"{path_text(one)}z\n" for one in corners))


def label_text(label: Label) -> Iterator[str]:
    """Return the lines of a label, centered in its box."""
    x = (label.box.left + label.box.right) / 2
    foot = label.box.top - LINE + (LINE - SIZE) / 2 + 2.0
    for i, line in enumerate(label.text):
        y = foot - i * LINE
        yield text_at(x, y, line, CENTER)


def overlay(laid: Layout) -> Iterator[str]:
    """Return everything of one test, from back to front."""
    yield HEAD
    if laid.labels:
        yield ground_text(laid.labels)
    for kind, path in laid.paths:
        yield line_text(kind, path_text(path))
    for kind in MARKS:
        spots = [spot for has, spot in laid.marks if has == kind]
        if spots:
            yield mark_text(kind, spots)
    for label in laid.labels:
        yield from label_text(label)
    yield END


def opening(plot: Plot, name: FigureName) -> str:
    """Return the start of a figure: what it is, what it shows, and its white ground."""
    tall = int(HEIGHT) + STRIP_HEIGHT * bool(name.strip)
    title, shows = (escape(text, quote=False) for text in (name.title, plot.alt))
    return OPENING % (tall, tall, title or escape(plot.title), shows, tall)


def strip_text(text: str) -> str:
    """Return the line below a figure, in smaller type where it is long."""
    size = min(8.5, 8.5 * (WIDTH - 12) / (text_width(text) * 8.5 / SIZE))
    return (
        f'<text x="6" y="{HEIGHT + 9:.0f}" font-family="sans-serif" '
        f'font-size="{number(round(size, 1))}" fill="{SOFT}">'
        f"{escape(text, quote=False)}</text>\n"
    )


def svg(plot: Plot, name: FigureName = NAMELESS) -> bytes:
    """
    Return one plot as SVG: the same bytes, whatever this process drew before.

    `name` is what it says of itself where it is taken out of its page.
    """
    ground, over = frame(plot.x, plot.y), "".join(overlay(layout(plot)))
    foot = strip_text(name.strip) if name.strip else ""
    return f"{opening(plot, name)}{ground}{over}{foot}</svg>\n".encode()
