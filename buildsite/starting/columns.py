"""Columns of a table of old results, by the names of a record; an empty table."""

import csv
import io
from typing import Any

from buildsite.archive.blanks import NewRecord
from buildsite.kinds.kind import Kind
from buildsite.record.flags import Field
from buildsite.record.shape import Leaf, leaves
from buildsite.record.source import read_source
from buildsite.starting.record_text import list_of, scalars
from buildsite.values import dataclass

WRITTEN_ELSEWHERE = ("format", "kind", "reviewed", "withdrawn")
"""Fields that no table gives: the program or a command of its own writes them."""


@dataclass(frozen=True)
class Column:
    """
    A column: its name, and where its cells go.

    `each` says that every row of a test has its own: a line of the test's list. Else
    the test has one, in its first row. `several` readings stand in one cell with a
    slash between them.
    """

    name: str
    field: Field
    each: bool
    number: bool
    several: bool


def columns(kind: Kind[Any, Any]) -> dict[str, Column]:
    """Every column that a table of this kind may have, by its name in small letters."""
    found = [
        column_of("", leaf, each=False)
        for leaf in leaves(kind.model)
        if leaf.field[0] not in WRITTEN_ELSEWHERE
    ]
    lines = list_of(kind)
    if lines is not None:
        found += [
            column_of(f"{lines.one}.", leaf, each=True)
            for leaf in leaves(kind.model, (lines.name, 0))
        ]
    return {one.name.casefold(): one for one in found}


def column_of(lead: str, leaf: Leaf, *, each: bool) -> Column:
    """Name a column after its field."""
    name = lead + ".".join(map(str, leaf.field))
    return Column(name, leaf.field, each, leaf.number, leaf.several)


def spreadsheet_letters(index: int) -> str:
    """
    Name a column as spreadsheets do.

    >>> [spreadsheet_letters(i) for i in (0, 25, 26, 702)]
    ['A', 'Z', 'AA', 'AAA']
    """
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(ord("A") + rest) + text
    return text


BYTE_ORDER_MARK = "\N{ZERO WIDTH NO-BREAK SPACE}"
"""By this, as the first letter of a file, spreadsheets know UTF-8."""


def empty_table(kind: Kind[Any, Any], record: NewRecord) -> bytes:
    """
    Write a table for a spreadsheet to fill in.

    Parameters
    ----------
    kind
        Whose columns it has: those that a new record shows, and all of its list's; of
        calibrations, those that a new piece of equipment shows.
    record
        The new record, whose values stand in the first row.
    """
    tree = read_source(record.file, record.text.encode()).tree
    known = {where: value or "" for where, value in scalars(tree)}
    shown = list(tree)
    every = columns(kind).values()
    own = [one for one in every if not one.each and one.field[0] in shown]
    own.sort(key=lambda one: shown.index(str(one.field[0])))
    first = (tree.get("calibrations") or [{}])[0]
    each = [one for one in every if one.each and (not first or one.field[0] in first)]
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow([one.name for one in (*own, *each)])
    writer.writerow([*(known.get(one.field, "") for one in own), *("" for _ in each)])
    return (BYTE_ORDER_MARK + text.getvalue()).encode()
