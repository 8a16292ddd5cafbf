"""Results over the events of a test as steps: small, its values written beside them."""

from collections.abc import Iterator, Sequence
from html import escape

from buildsite.kinds.compared_figures import parted
from buildsite.pages.figure.boxes import text_width
from buildsite.pages.figure.styles import CURVE, HAIR, INK, SOFT
from buildsite.pages.figure.svg_parts import number
from buildsite.values import dataclass

WIDTH, ROW, FOOT = 400.0, 78.0, 34.0
"""Width of the figure, height of each result, and of the revisions below. [px]"""

RIM, TOP, BASE = 8.0, 40.0, 66.0
"""Room at both sides; the highest and lowest step within a row."""


@dataclass(frozen=True)
class Steps:
    """One result, its `title` with the unit; its figure after each event, or blank."""

    title: str
    texts: tuple[str, ...]


@dataclass(frozen=True)
class Marks:
    """The events: revisions have a label and a day, edits are blank."""

    labels: tuple[tuple[str, str], ...]


def height(rows: Sequence[Steps]) -> float:
    """Return the height of a figure."""
    return ROW * len(rows) + FOOT


def places(count: int) -> list[float]:
    """Return where the events are, from left to right."""
    span = (WIDTH - 2 * RIM) / count
    return [RIM + span * (i + 0.25) for i in range(count)]


def words(x: float, y: float, text: str, color: str, anchor: str = "start") -> str:
    """Return a line of text."""
    return (
        f'<text x="{number(x)}" y="{number(y)}" fill="{color}" '
        f'text-anchor="{anchor}">{escape(text, quote=False)}</text>\n'
    )


def steps_svg(rows: Sequence[Steps], marks: Marks, alt: str) -> bytes:
    """Return the figure: a row for each result, the revisions at the foot."""
    tall = height(rows)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{WIDTH:.0f}" '
        f'height="{tall:.0f}" viewBox="0 0 {WIDTH:.0f} {tall:.0f}" '
        'font-family="sans-serif" font-size="12">\n',
        f"<title>{escape(alt)}</title>\n",
        f'<rect width="{WIDTH:.0f}" height="{tall:.0f}" fill="#fff"/>\n',
        *revisions(marks, tall),
    ]
    for i, row in enumerate(rows):
        parts += one_row(row, ROW * i)
    return "".join((*parts, "</svg>\n")).encode()


def revisions(marks: Marks, tall: float) -> Iterator[str]:
    """Yield a line for each revision, with its number and, where there is room, day."""
    free = 0.0
    for x, (label, day) in zip(places(len(marks.labels)), marks.labels, strict=True):
        if not label:
            continue
        yield (
            f'<path d="M{number(x)} 24V{number(tall - FOOT + 2)}" stroke="{SOFT}" '
            'stroke-dasharray="2 3"/>\n'
        )
        yield words(x, tall - FOOT + 15, label, INK, "middle")
        wide = text_width(day)
        left = max(x - wide / 2, 0.0)
        if left >= free and left + wide <= WIDTH:
            yield words(left + wide / 2, tall - FOOT + 29, day, SOFT, "middle")
            free = left + wide + 6


def one_row(row: Steps, top: float) -> Iterator[str]:
    """Yield one result: its title, its steps, and the figure at each step."""
    yield words(RIM, top + 16, row.title, SOFT)
    found = [parted(text) for text in row.texts]
    values = [float(one[0]) for one in found if one is not None]
    low, span = min(values), (max(values) - min(values)) or 1.0
    xs = [*places(len(row.texts)), WIDTH - RIM]
    way, free, last = "", 0.0, ""
    for i, one in enumerate(found):
        if one is None:
            way += "" if not way or way.endswith(" ") else " "
            continue
        y = top + BASE - (float(one[0]) - low) / span * (BASE - TOP)
        pen = "M" if not way or way.endswith(" ") else "L"
        way += f"{pen}{number(xs[i])} {number(y)}H{number(xs[i + 1])}"
        text = row.texts[i].partition(" ")[0]
        if text != last and xs[i] >= free:
            yield words(xs[i] + 3, y - 5, text, INK)
            free = xs[i] + text_width(text) + 8
        last = text
    yield (
        f'<path d="M{number(RIM)} {number(top + BASE + 6)}H{number(WIDTH - RIM)}" '
        f'stroke="{HAIR}"/>\n'
    )
    yield f'<path d="{way.strip()}" fill="none" stroke="{CURVE}" stroke-width="2"/>\n'
