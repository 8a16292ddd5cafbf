"""Records as a table, in the columns that a table of them is read by."""

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import NewRecord
from buildsite.archive.identity import name_of
from buildsite.kinds.kind import Kind
from buildsite.record.compose import Tree
from buildsite.record.set_reading import value_at
from buildsite.starting.columns import BYTE_ORDER_MARK, Column, columns
from buildsite.starting.record_text import (
    answer_fields,
    field_order,
    list_of,
    scalars,
)

Rows = list[dict[str, str]]
"""Rows of a table: cells by the names of their columns."""


def cell_text(value: Any) -> str:
    """Return a value as a cell: several readings with a slash between them."""
    if isinstance(value, list):
        return " / ".join(map(str, value))
    return "" if value is None else str(value)


def rows_of(kind: Kind[Any, Any], tree: Tree) -> Rows:
    """Return the rows of one record: its own cells, and a row for each line."""
    lines = list_of(kind)
    name = lines.name if lines is not None else ""
    there = tree.get(name) if name else None
    inside = [one for one in there if isinstance(one, dict)] if there else []
    rows: Rows = [{} for _ in range(max(len(inside), 1))]
    for one in columns(kind).values():
        found = [value_at(tree, one.field)] if not one.each else []
        found = [value_at(line, one.field) for line in inside] if one.each else found
        for row, value in zip(rows, found, strict=False):
            text = cell_text(value)
            if text:
                row[one.name] = text
    for row in rows[1:]:
        row["id"] = rows[0].get("id", "")
    return rows


def in_order(kind: Kind[Any, Any], used: Iterable[str]) -> list[Column]:
    """Return the columns that are used, as the record has its fields; lists last."""
    names, every = set(used), columns(kind).values()
    order = {name: i for i, name in enumerate(("id", *field_order(kind)))}
    own = [one for one in every if one.name in names and not one.each]
    own.sort(key=lambda one: order.get(str(one.field[0]), len(order)))
    return [*own, *(one for one in every if one.name in names and one.each)]


def written(kind: Kind[Any, Any], rows: Rows, more: Iterable[str] = ()) -> bytes:
    """Return a table; `more` are columns that stand although nothing is in them."""
    used = {name for row in rows for name in row} | set(more)
    heads = [one.name for one in in_order(kind, used)]
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(heads)
    writer.writerows([row.get(name, "") for name in heads] for row in rows)
    return (BYTE_ORDER_MARK + text.getvalue()).encode()


def table_of_blanks(
    kind: Kind[Any, Any], records: Sequence[tuple[NewRecord, Tree]]
) -> bytes:
    """Return a table of new records to fill in: their values, and room for readings."""
    rows = [row for _, tree in records for row in rows_of(kind, tree)]
    lines = list_of(kind)
    name = lines.name if lines is not None else ""
    shown = {field for _, tree in records for field, _ in scalars(tree)}
    for _, tree in records:
        first = (tree.get(name) or [{}])[0]
        shown |= {field for field, _ in scalars(first, (name,))}
    more = [
        one.name
        for one in columns(kind).values()
        if ((name, *one.field) if one.each else one.field) in shown
    ]
    return written(kind, rows, more)


def table_of_records(
    archive: Archive, kind: Kind[Any, Any], answers: dict[str, str]
) -> tuple[bytes, int]:
    """
    Return the records of a kind as a table, and how many there are.

    `answers` to the questions of `new` choose among them: those that state the same.
    """
    where = answer_fields(kind)
    rows: Rows = []
    count = 0
    for file in archive.files(kind.group):
        entry = archive.entry(file)
        if entry.kind is not kind or entry.record is None:
            continue
        tree = entry.source.tree
        asked = ((where[name], text) for name, text in answers.items() if name in where)
        if all(cell_text(value_at(tree, field)) == text for field, text in asked):
            count += 1
            rows += [{**one, "id": name_of(file)} for one in rows_of(kind, tree)]
    return written(kind, rows), count
