"""Columns of a table of old results: every scalar of a record, by its own name."""

from typing import Any

from buildsite.kinds.kind import Kind
from buildsite.record.flags import Field
from buildsite.record.shape import Leaf, leaves
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
        column("", leaf, each=False)
        for leaf in leaves(kind.model)
        if leaf.field[0] not in WRITTEN_ELSEWHERE
    ]
    if kind.lines is not None:
        found += [
            column(f"{kind.lines.one}.", leaf, each=True)
            for leaf in leaves(kind.model, (kind.lines.name, 0))
        ]
    return {one.name.casefold(): one for one in found}


def column(lead: str, leaf: Leaf, *, each: bool) -> Column:
    """Name a column after its field."""
    name = lead + ".".join(map(str, leaf.field))
    return Column(name, leaf.field, each, leaf.number, leaf.several)


def letters(index: int) -> str:
    """
    Name a column as spreadsheets do.

    >>> letters(0), letters(25), letters(26), letters(702)
    ('A', 'Z', 'AA', 'AAA')
    """
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(ord("A") + rest) + text
    return text
