"""Results as CSV: one row a test, the same columns whatever was tested."""

from collections.abc import Iterable

from buildsite.exports.csv_text import csv_bytes
from buildsite.exports.results import ResultRow
from buildsite.exports.results_columns import columns

NAME = "results.csv"


def results_csv(rows: Iterable[ResultRow], base: str = "") -> bytes:
    """Return results as CSV; `base` is the address of the site, if known."""
    every = columns()
    head = [column.name for column in every]
    return csv_bytes([head, *([one.text(row, base) for one in every] for row in rows)])
