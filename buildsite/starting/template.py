"""An empty table of results, its names and what is known in its first row."""

import csv
import io
from typing import Any

from buildsite.archive.blanks import NewRecord
from buildsite.kinds.kind import Kind
from buildsite.record.source import read_source
from buildsite.starting.columns import columns
from buildsite.starting.record_text import walked

MARK = "\N{ZERO WIDTH NO-BREAK SPACE}"
"""By this, as the first letter of a file, spreadsheets know UTF-8."""


def template(kind: Kind[Any, Any], record: NewRecord) -> bytes:
    """
    Write a table for a spreadsheet to fill in.

    Parameters
    ----------
    kind
        Whose columns it has: those that a new record shows, and all of its list's.
    record
        The new record, whose values stand in the first row.
    """
    tree = read_source(record.file, record.text.encode()).tree
    known = {where: value or "" for where, value in walked(tree)}
    shown = list(tree)
    every = columns(kind).values()
    own = [one for one in every if not one.each and one.field[0] in shown]
    own.sort(key=lambda one: shown.index(str(one.field[0])))
    each = [one for one in every if one.each]
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow([one.name for one in (*own, *each)])
    writer.writerow([*(known.get(one.field, "") for one in own), *("" for _ in each)])
    return (MARK + text.getvalue()).encode()
