"""A test's points as CSV: the table that the report shows, one header row."""

import csv
import re
from collections.abc import Iterator
from io import StringIO

from buildsite.kinds.sheet import Table

FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""How a text begins that a spreadsheet would compute instead of show."""

NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
NOTHING = "—"


def csv_cell(text: str) -> str:
    """
    Write one cell: a number as it is, a text so that no spreadsheet computes it.

    >>> csv_cell("-1.50"), csv_cell("=2+3"), csv_cell("—")
    ('-1.50', "'=2+3", '')
    """
    if text == NOTHING:
        return ""
    if NUMBER.fullmatch(text) or not text.startswith(FORMULA):
        return text
    return "'" + text


def csv_rows(table: Table) -> Iterator[list[str]]:
    """Header, with the unit in each name, and one row a point."""
    yield [column.key or column.label for column in table.columns] + ["rejected"]
    for row in table.rows:
        rejected = "yes" if row.mark == "rejected" else "no"
        yield [csv_cell(cell.text) for cell in row.cells] + [rejected]


def points_csv(table: Table) -> bytes:
    """Write a table of points: UTF-8, a decimal point, lines that end in LF."""
    out = StringIO()
    csv.writer(out, lineterminator="\n").writerows(csv_rows(table))
    return out.getvalue().encode()
