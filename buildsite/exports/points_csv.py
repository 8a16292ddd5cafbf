"""
A test's points as CSV: the table on the report, with one header row.

Headers are neutral names with the unit, the same under every standard. The last column,
`term`, gives the standard's terms for the columns that it names otherwise.
"""

from collections.abc import Iterator

from buildsite.exports.csv_text import csv_bytes, csv_cell, csv_label, csv_number
from buildsite.kinds.sheet import Column, Table

NUMBERED = "container"
"""Column of what is told apart by a number painted on it: 008 is not 8."""


def cell_text(column: Column, text: str) -> str:
    """Return one cell, as its column asks."""
    if column.key == NUMBERED:
        return csv_number(text)
    return csv_cell(text) if column.number else csv_label(text)


def csv_rows(table: Table, test: str, revision: str) -> Iterator[list[str]]:
    """Return the header and one row for each point."""
    keys = [column.key or column.label for column in table.columns]
    term = "; ".join(terms(table))
    of = ["test", "revision"]
    yield [*of, *keys, "rejected", *(["term"] if term else [])]
    for row in table.rows:
        rejected = "yes" if row.mark == "rejected" else "no"
        cells = [
            cell_text(column, cell.text)
            for column, cell in zip(table.columns, row.cells, strict=True)
        ]
        own = [csv_label(test), revision]
        yield [*own, *cells, rejected, *([term] if term else [])]


TERMED = ("water_content", "wet_density", "dry_density")
"""Columns with a term of the standard's own, by the beginning of their names."""


def terms(table: Table) -> Iterator[str]:
    """Return the standard's terms, which head these columns on the report."""
    for column in table.columns:
        if column.key.startswith(TERMED):
            yield column.label.lower()


def points_csv(table: Table, test: str, revision: str = "") -> bytes:
    """
    Return the points of a test as CSV.

    `revision` is the number of the report that they are printed on; blank for a draft.
    """
    return csv_bytes(csv_rows(table, test, revision))
