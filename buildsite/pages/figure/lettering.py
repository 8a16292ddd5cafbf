"""
How much room words take on a figure, and where they may be broken.

Widths are reckoned for a wide face, so that a narrower one of the reader's fits too.
"""

from collections.abc import Sequence
from functools import cache
from textwrap import wrap

SIZE = 12.0
"""Height of the type: 9 px where the figure is shown 300 px wide, on a phone."""

LINE = 14.0
"""From one line of a label to the next."""

WIDTHS = (
    (0.345, " .,:;'|!()[]/-ijl"),
    (0.42, "frt³²"),
    (0.6, "acekosvxyz"),
    (0.8, "ABCDEFGHKLNOPQRSTUVXYZ+±"),
    (1.0, "mwMW%@—"),
)
"""Widths of letters in a wide face, rounded up; any other letter is 0.64 wide. [em]"""

EMS = {letter: ems for ems, letters in WIDTHS for letter in letters}


Size = tuple[float, float]
"""Width and height. [points]"""


@cache
def text_width(text: str) -> float:
    """Width of a line of text in a wide face. [points]"""
    return SIZE * sum(EMS.get(letter, 0.64) for letter in text)


def text_size(lines: Sequence[str]) -> Size:
    """Width and height of a label."""
    return max(map(text_width, lines)), LINE * len(lines)


def shapes(text: str, breaks: str) -> tuple[tuple[str, ...], ...]:
    """
    Ways to set a label: in one line, broken once, or a word or two a line.

    >>> shapes("100 % saturation curve, Gs 2.7", ", ")[2]
    ('100 %', 'saturation', 'curve', 'Gs 2.7')
    """
    first, _, rest = text.partition(breaks)
    parts = (first, (breaks.strip(", ") + " " + rest).strip())
    narrow = [line for part in parts for line in wrap(part, NARROW)]
    return (text,), parts, tuple(narrow)


NARROW = 11
"""Letters in a line of a label that has little room."""
