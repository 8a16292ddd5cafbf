"""
A test's points as CSV: the table on the report, with one header row.

Headers are neutral names with the unit, the same under every standard. The last column,
`term`, gives the standard's terms for the columns that it names otherwise.
"""

import csv
import re
from collections.abc import Iterator
from io import StringIO

from buildsite.kinds.sheet import Table

FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""First letters of a text that a spreadsheet would compute."""

NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
NOTHING = "—"


def csv_cell(text: str) -> str:
    """
    Return one cell: a number unchanged, a text so that no spreadsheet computes it.

    >>> csv_cell("-1.50"), csv_cell("=2+3"), csv_cell("—")
    ('-1.50', "'=2+3", '')
    """
    if text == NOTHING:
        return ""
    if NUMBER.fullmatch(text) or not text.startswith(FORMULA):
        return text
    return "'" + text


def csv_rows(table: Table) -> Iterator[list[str]]:
    """Return the header and one row for each point."""
    keys = [column.key or column.label for column in table.columns]
    term = "; ".join(terms(table))
    yield [*keys, "rejected", *(["term"] if term else [])]
    for row in table.rows:
        rejected = "yes" if row.mark == "rejected" else "no"
        cells = [csv_cell(cell.text) for cell in row.cells]
        yield [*cells, rejected, *([term] if term else [])]


TERMED = ("water_content", "wet_density", "dry_density")
"""Columns with a term of the standard's own, by the beginning of their names."""


def terms(table: Table) -> Iterator[str]:
    """Return the standard's terms, which head these columns on the report."""
    for column in table.columns:
        if column.key.startswith(TERMED):
            yield column.label.lower()


def points_csv(table: Table) -> bytes:
    """Return a table of points as CSV: UTF-8, decimal points, lines ending in LF."""
    out = StringIO()
    csv.writer(out, lineterminator="\n").writerows(csv_rows(table))
    return out.getvalue().encode()
