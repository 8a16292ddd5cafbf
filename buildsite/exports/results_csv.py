"""Results as CSV: one row a test, the same columns whatever was tested."""

from collections.abc import Iterable

from buildsite.exports.csv_text import csv_bytes
from buildsite.exports.results import ResultRow
from buildsite.exports.results_columns import columns, texts_of

NAME = "results.csv"


def results_csv(rows: Iterable[ResultRow], base: str = "") -> bytes:
    """Return results as CSV; `base` is the address of the site, if known."""
    head = [column.name for column in columns()]
    return csv_bytes([head, *(texts_of(row, base) for row in rows)])
