"""What a printed page holds: how often a text, and how large its type is."""

import re
from collections import Counter
from dataclasses import dataclass, field
from io import BytesIO
from math import hypot, inf
from typing import Any

from pypdf import PdfReader

LEAST_TYPE = 8.5
"""Type of a report on paper. [pt]"""

ROUNDING = 0.02
"""By which Chromium's own units, of 1/64 of a pixel, round a size. [pt]"""

MM = 96 / 25.4
"""Pixels of CSS in a millimetre (CSS Values and Units 4, 6.2)."""


@dataclass
class Printed:
    """The text of each page, and the characters of all by the size of their type."""

    pages: list[str] = field(default_factory=list)
    sizes: Counter[float] = field(default_factory=Counter)

    @property
    def small(self) -> float:
        """The smallest type, in points; 0 if it is as large as it should be."""
        return too_small(min(self.sizes))


def too_small(least: float) -> float:
    """The smallest type, in points; 0 if it is as large as it should be."""
    return least if least < LEAST_TYPE - ROUNDING else 0


NUMBER = rb"(-?[\d.]+)"
SETS = re.compile(
    rb"(?<=\s)(?:" + rb" ".join([NUMBER] * 6) + rb" (?P<six>cm|Tm)|"
    rb"(?P<size>[\d.]+) Tf|(?P<one>q|Q|Tj))(?=\s)"
)
"""What bears on the size of type in a page that Chromium wrote (ISO 32000-2, 8, 9)."""


def least_type(pdf: bytes) -> float:
    """
    Read the smallest type of a print of one page, in points, and none of its text.

    That takes a fiftieth of `read`, which finds the same.
    """
    page: Any
    (page,) = PdfReader(BytesIO(pdf)).pages
    assert "/XObject" not in page["/Resources"], "its type would not be seen here"
    data = b"\n" + page["/Contents"].get_data() + b"\n"
    assert b") Tj" not in data  # texts are numbers of glyphs: none looks as an operator
    least, size, type_, scale = inf, 0.0, 0.0, 1.0
    before: list[tuple[float, float]] = []
    for found in SETS.finditer(data):
        if found["six"]:
            up = hypot(float(found[3]), float(found[4]))
            scale, type_ = (scale, up) if found["six"] == b"Tm" else (scale * up, type_)
        elif found["size"]:
            size = float(found["size"])
        elif found["one"] == b"q":
            before.append((scale, size))
        elif found["one"] == b"Q":
            scale, size = before.pop()
        else:
            least = min(least, size * type_ * scale)
    return round(least, 2)


def pages_of(pdf: bytes) -> int:
    """How many pages a print has; to read them takes fifty times as long."""
    return len(PdfReader(BytesIO(pdf)).pages)


def read(pdf: bytes) -> Printed:
    """
    Read a print.

    The size of type is that of the font, times the height that the matrix of the text
    and that of the page give to one unit (ISO 32000-2:2020, 9.4.4).
    """
    found = Printed()

    def seen(text: str, cm: Any, tm: Any, font: Any, size: float) -> None:
        if text.strip():
            across = tm[2] * cm[0] + tm[3] * cm[2]
            up = tm[2] * cm[1] + tm[3] * cm[3]
            points = round(size * (across**2 + up**2) ** 0.5, 2)
            found.sizes[points] += len(text.strip())

    for page in PdfReader(BytesIO(pdf)).pages:
        found.pages.append(page.extract_text(visitor_text=seen))
    return found
