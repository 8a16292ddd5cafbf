"""What a printed page holds: how often a text, and how large its type is."""

from collections import Counter
from dataclasses import dataclass, field
from io import BytesIO
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
        least = min(self.sizes)
        return least if least < LEAST_TYPE - ROUNDING else 0


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
