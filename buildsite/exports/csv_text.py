"""
CSV that a spreadsheet opens with a double click and a program reads.

UTF-8 with a byte order mark, without which a spreadsheet takes accents for those of its
own code page; decimal points; lines ending in LF.
"""

import csv
import re
from codecs import BOM_UTF8
from collections.abc import Iterable, Sequence
from io import StringIO

FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""First letters of a text that a spreadsheet would compute."""

WITHIN = re.compile(r"(?!\A[\t\r])([;\t\n\r][ \"]*)(?=[=+@-])")
"""Where a spreadsheet whose cells end at a semicolon would begin such a text."""

NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
NOTHING = "—"

LEAD = "no. "
"""Before a label that a spreadsheet would take for a number or a date."""

SAME = re.compile(r"0|[1-9][0-9]{0,14}")
"""A number that stays as written: no leading zero, at most 15 digits."""

MONTH = (
    "(jan(uary)?|feb(ruary)?|mar(ch)?|apr(il)?|may|june?|july?|aug(ust)?|sept?(ember)?"
    "|oct(ober)?|nov(ember)?|dec(ember)?)"
)
ALTERED = re.compile(
    r"[0-9.,:/ +-]*[0-9][0-9.,:/ +-]*(e[+-]?[0-9]+|[ap]m?|%)?"  # 008, 1E3, 3-4, 7 am
    rf"|{MONTH}([-/ .,]*[0-9]+)+|[0-9]+[-/ .]*{MONTH}([-/ .,]*[0-9]+)*"  # MAR-1, 1-DEC
    r"|true|false",
    re.IGNORECASE,
)
"""A text that a spreadsheet takes for a number, a date, a time or a truth."""


def csv_cell(text: str) -> str:
    """
    Return one cell: a number unchanged, a text so that no spreadsheet computes it.

    >>> csv_cell("-1.50"), csv_cell("=2+3"), csv_cell("—")
    ('-1.50', "'=2+3", '')
    >>> csv_cell("clay;=2+3")
    "clay;'=2+3"
    """
    if text == NOTHING:
        return ""
    if NUMBER.fullmatch(text):
        return text
    safe = WITHIN.sub(r"\1'", text)
    return f"'{safe}" if text.startswith(FORMULA) else safe


def csv_label(text: str) -> str:
    """
    Return an id or a name, led by a word where a spreadsheet would alter it.

    Quotes don't help, and an apostrophe is hidden only where it was typed.

    >>> csv_label("HF-0117"), csv_label("7"), csv_label("008"), csv_label("MAR-1")
    ('HF-0117', '7', 'no. 008', 'no. MAR-1')
    """
    if SAME.fullmatch(text) or not ALTERED.fullmatch(text):
        return csv_cell(text)
    return LEAD + text


def csv_number(text: str) -> str:
    """
    Return the number on a thing as text in every row: a column is of one type.

    >>> csv_number("21"), csv_number("08, 21"), csv_number("—")
    ('no. 21', 'no. 08, 21', '')
    """
    return "" if text in ("", NOTHING) else LEAD + text


def csv_bytes(rows: Iterable[Sequence[str]]) -> bytes:
    """Return rows of cells, the header first, as a file."""
    out = StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return BOM_UTF8 + out.getvalue().encode()
