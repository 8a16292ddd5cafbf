"""A record on its way from a table's rows, judged as records are."""

from dataclasses import field
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import NewRecord
from buildsite.archive.entries import read_entry
from buildsite.kinds.kind import Kind
from buildsite.record.flags import Field, Flag
from buildsite.starting.columns import Column, columns
from buildsite.starting.record_text import answer_fields, list_of
from buildsite.starting.rows import Complaint
from buildsite.values import dataclass

REFERENCE_FLAGS = ("reference-to-nothing", "reference-of-wrong-kind")
"""Flags that tell of a cell naming a record that is not there."""

Heads = list[Column | None]


@dataclass
class Draft:
    """
    One record as it grows, row by row.

    `cells`: where each value stands, as row and place in the row; `rows`: the row of
    each line of the record's list.
    """

    id: str
    row: int
    tree: dict[str, Any] = field(default_factory=dict)
    cells: dict[Field, tuple[int, int]] = field(default_factory=dict)
    rows: list[int] = field(default_factory=list)

    def put(self, where: Field, value: Any, at: tuple[int, int] | None) -> None:
        """Set a value, and remember where it stands."""
        here: Any = self.tree
        for part in where[:-1]:
            here = here.setdefault(part, {}) if isinstance(here, dict) else here[part]
        here[where[-1]] = value
        if at is not None:
            self.cells[where] = at


def reader_complaints(
    archive: Archive,
    kind: Kind[Any, Any],
    heads: Heads,
    made: list[tuple[Draft, NewRecord]],
) -> tuple[list[Complaint], list[Flag]]:
    """
    Read each record as it will be read.

    Returns a complaint for each unusable cell, and the flags of the records that will
    stand.
    """
    data = {record.file: record.text.encode() for _, record in made}
    after = archive.with_files(data)
    complaints: list[Complaint] = []
    raised: list[Flag] = []
    for draft, record in made:
        flags = list(read_entry(record.file, data[record.file]).flags)
        if not flags:
            every = after.flags(record.file)
            flags = [flag for flag in every if flag.flag in REFERENCE_FLAGS]
            raised += every
        complaints += [complaint_of(kind, heads, draft, flag) for flag in flags]
    return complaints, raised


def complaint_of(
    kind: Kind[Any, Any], heads: Heads, draft: Draft, flag: Flag
) -> Complaint:
    """Say of a cell what the reader says of a field."""
    name = column_name(kind, flag.field)
    for length in range(len(flag.field), 0, -1):
        at = draft.cells.get(flag.field[:length])
        if at is not None:
            break
    else:
        at = None
    row, index = at if at is not None else (row_of(draft, flag.field), None)
    mend = flag.mend if index is not None else mend_of(kind, heads, flag.field, name)
    return Complaint(row, index, name, flag.found, flag.expected, mend)


def mend_of(kind: Kind[Any, Any], heads: Heads, where: Field, name: str) -> str:
    """Say how a table is mended in which a value has no cell."""
    known = [head.name for head in heads if head is not None]
    lines = list_of(kind)
    lead = f"{lines.one}." if lines and name == lines.name else f"{name}."
    below = [one.name for one in columns(kind).values() if one.name.startswith(lead)]
    if name in known:
        mend = f"fill in the column {name}"
    elif below:
        mend = f"fill in one of the columns {', '.join(below)}"
    else:
        mend = f"add a column {name}"
    ask = next((ask for ask, at in answer_fields(kind).items() if at == where), "")
    return f"{mend}, or say --{ask.replace('_', '-')}" if ask else mend


def row_of(draft: Draft, where: Field) -> int:
    """Row of a field for which the table has no cell."""
    if len(where) > 1 and isinstance(where[1], int) and where[1] < len(draft.rows):
        return draft.rows[where[1]]
    return draft.row


def column_name(kind: Kind[Any, Any], where: Field) -> str:
    """Name the column of a field."""
    parts = [str(part) for part in where if not isinstance(part, int)]
    lines = list_of(kind)
    if lines is not None and len(parts) > 1 and parts[0] == lines.name:
        parts[0] = lines.one
    return ".".join(parts)
