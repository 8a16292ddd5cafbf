"""Records out of a table, or a word for each unusable cell."""

import re
from collections.abc import Mapping
from contextlib import suppress
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import (
    NewRecord,
    is_taken,
    next_id,
    place_of,
    proposed_id,
)
from buildsite.kinds.kind import Kind
from buildsite.record.flags import Flag
from buildsite.record.messages import nearest, quoted
from buildsite.record.set_reading import value_at
from buildsite.record.typed_names import UnknownName, known_name
from buildsite.standards.tables import designations, standard
from buildsite.starting.columns import columns
from buildsite.starting.draft import Draft, Heads, reader_complaints
from buildsite.starting.record_text import answer_fields, list_of, record_text
from buildsite.starting.rows import Complaint, Rows, read_rows
from buildsite.values import dataclass

COMMA = re.compile(r"-?[0-9]+,[0-9]+")
POINT = re.compile(r"-?[0-9]+\.[0-9]+")


@dataclass(frozen=True)
class Table:
    """
    What a table gave: records, or complaints.

    `lines`: rows of the records' lists; `notes`: what to tell; `flags`: those of the
    records as they will stand.
    """

    records: tuple[NewRecord, ...] = ()
    complaints: tuple[Complaint, ...] = ()
    lines: int = 0
    notes: tuple[str, ...] = ()
    flags: tuple[Flag, ...] = ()


def read_table(
    archive: Archive, kind: Kind[Any, Any], data: bytes, answers: Mapping[str, str]
) -> Table:
    """
    Make records of a table, all or none.

    Parameters
    ----------
    archive
        Where they will stand.
    kind
        What each record of the table is.
    data
        The table's bytes.
    answers
        What holds for every record whose cells don't say it, by the names of the kind's
        questions; under `id`, the id of a record that has none.
    """
    rows, complaints = read_rows(data)
    if complaints:
        return Table(complaints=tuple(complaints))
    heads, complaints = columns_of(kind, rows)
    if complaints:
        return Table(complaints=tuple(complaints))
    cells, notes = with_decimal_points(heads, rows)
    projects = archive.ids("project")
    if len(projects) == 1:
        answers = {"project": projects[0], **answers}
    drafts, complaints = gather(archive, kind, heads, cells, answers)
    for draft in drafts:
        fill_in(kind, draft, answers)
    records = [record_of(kind, draft) for draft in drafts]
    made = list(zip(drafts, records, strict=True))
    unreadable, flags = reader_complaints(archive, kind, heads, made)
    complaints += unreadable
    if complaints:
        complaints.sort(key=lambda one: (one.row, one.index or 0, one.name))
        return Table(complaints=tuple(complaints))
    lines = sum(len(draft.rows) for draft in drafts)
    return Table(tuple(records), (), lines, tuple(notes), tuple(flags))


def columns_of(kind: Kind[Any, Any], rows: Rows) -> tuple[Heads, list[Complaint]]:
    """Find the column that each name of the first row stands for."""
    known = columns(kind)
    number, names = rows.rows[0]
    found: Heads = []
    complaints: list[Complaint] = []
    for index, name in enumerate(names):
        one = known.get(name.casefold())
        used = any(index < len(row) and row[index] for _, row in rows.rows[1:])
        if one is not None and one in found:
            expected, mend = "each column once", "delete one of the two"
            complaints.append(
                Complaint(number, index, "", f"{name} again", expected, mend)
            )
        elif one is None and (name or used):
            near = nearest(name, [column.name for column in known.values()])
            mend = f"perhaps {near}" if near else "see docs/tables.md"
            complaints.append(
                Complaint(
                    number, index, "", quoted(name), "a column that is known", mend
                )
            )
        found.append(one)
    complaints += [
        Complaint(row, len(names), "", quoted(more), "no more cells than names", EXTRA)
        for row, cells in rows.rows[1:]
        for more in cells[len(names) :]
        if more
    ]
    return found, complaints


EXTRA = "put a text that holds a separator between quotation marks"

Cells = list[tuple[int, list[str]]]


def with_decimal_points(heads: Heads, rows: Rows) -> tuple[Cells, list[str]]:
    """
    Write decimal commas as points, where the whole table has them.

    Not where a comma stands between cells, nor where any number has a point: then
    nobody could tell 1,234 from one thousand and more, and each such cell is refused.
    """
    body = [(number, list(cells)) for number, cells in rows.rows[1:]]
    at = [i for i, head in enumerate(heads) if head is not None and head.number]
    numbers = [cells[i] for _, cells in body for i in at if i < len(cells)]
    commas = [text for text in numbers if COMMA.fullmatch(text)]
    mixed = any(POINT.fullmatch(text) for text in numbers)
    if not commas or mixed or rows.separator == ",":
        return body, []
    for _, cells in body:
        for i in at:
            if i < len(cells) and COMMA.fullmatch(cells[i]):
                cells[i] = cells[i].replace(",", ".")
    example = f"{commas[0]} is taken as {commas[0].replace(',', '.')}"
    return body, [f"Decimal commas were read as decimal points: {example}."]


def gather(
    archive: Archive,
    kind: Kind[Any, Any],
    heads: Heads,
    cells: Cells,
    answers: Mapping[str, str],
) -> tuple[list[Draft], list[Complaint]]:
    """
    Gather the rows of each record.

    A test has the rows below the one that names it, up to the next name. Of anything
    else a row without an id is a record of its own, with the next free id; so is a row
    of tests that follow one another, unless it has cells of a further line alone.
    """
    names = [head.name if head is not None else "" for head in heads]
    at = names.index("id") if "id" in names else None
    project = names.index("project") if "project" in names else None
    drafts: list[Draft] = []
    complaints: list[Complaint] = []
    for number, row in cells:
        row += [""] * (len(heads) - len(row))
        id = row[at] if at is not None else ""
        alone = not id and (kind.lines is None or begins_one(kind, heads, row))
        if not drafts or alone or (id and id != drafts[-1].id):
            where = (row[project] if project is not None else "") or answers.get(
                "project"
            )
            known = {**answers, "project": where or "", **named_in(heads, row)}
            id = id or answers.get("id") or free_id(archive, kind, known, drafts)
            complaints += taken_already(archive, kind, id, (number, at), drafts)
            drafts.append(Draft(id, number))
        complaints += add_row(kind, drafts[-1], heads, (number, row))
    return drafts, complaints


def begins_one(kind: Kind[Any, Any], heads: Heads, row: list[str]) -> bool:
    """Whether a row without an id is a test of its own: of a series, and not a line."""
    if kind.blank is None or kind.blank.series is None:
        return False
    pairs = zip(heads, row, strict=False)
    return any(cell for head, cell in pairs if head is not None and not head.each)


def named_in(heads: Heads, row: list[str]) -> dict[str, str]:
    """Return the name in a row, from which a project gets its id."""
    pairs = zip(heads, row, strict=False)
    return {h.name: cell for h, cell in pairs if h is not None and h.name == "name"}


def free_id(
    archive: Archive,
    kind: Kind[Any, Any],
    answers: Mapping[str, str],
    drafts: list[Draft],
) -> str:
    """Return the next id that is free in the archive and in the table so far."""
    id = proposed_id(archive, kind, answers)
    above = {draft.id.casefold() for draft in drafts}
    while id.casefold() in above or is_taken(archive, kind.group, id):
        id = next_id([id], f"{id}-", 1)
    return id


def taken_already(
    archive: Archive,
    kind: Kind[Any, Any],
    id: str,
    at: tuple[int, int | None],
    drafts: list[Draft],
) -> list[Complaint]:
    """Return the complaint of an id in the archive, or further up in the table."""
    above = [one.row for one in drafts if one.id.casefold() == id.casefold()]
    if above:
        found, mend = f"{id}, as in row {above[0]}", "put the rows of one test together"
    elif is_taken(archive, kind.group, id):
        found, mend = f"{id}, which is taken", "give it another; nothing is overwritten"
    else:
        return []
    return [Complaint(*at, "id", found, "an id of its own", mend)]


def add_row(
    kind: Kind[Any, Any], draft: Draft, heads: Heads, row: tuple[int, list[str]]
) -> list[Complaint]:
    """Put the cells of one row into its record."""
    number, cells = row
    complaints: list[Complaint] = []
    here = [
        (index, head, cell)
        for index, (head, cell) in enumerate(zip(heads, cells, strict=False))
        if head is not None and cell
    ]
    whole = list_of(kind)
    lines = whole.name if whole is not None else ""
    if any(head.each for _, head, _ in here):
        draft.tree.setdefault(lines, []).append({})
        draft.rows.append(number)
    for index, head, cell in here:
        parts = [one.strip() for one in cell.split("/")] if head.several else [cell]
        value: Any = parts if len(parts) > 1 else cell
        if head.each:
            where = (lines, len(draft.rows) - 1, *head.field)
            draft.put(where, value, (number, index))
        elif draft.cells.get(head.field) is None:
            draft.put(head.field, value, (number, index))
        elif value_at(draft.tree, head.field) != value:
            above = draft.cells[head.field][0]
            complaints.append(
                Complaint(
                    number,
                    index,
                    head.name,
                    quoted(cell),
                    f"nothing, or what stands in row {above}: {draft.id} has one",
                    "clear the cell, or give the row an id of its own",
                )
            )
    return complaints


def fill_in(kind: Kind[Any, Any], draft: Draft, answers: Mapping[str, str]) -> None:
    """Fill in what the table left to the command line, and what can't be otherwise."""
    for name, where in answer_fields(kind).items():
        if answers.get(name) and where not in draft.cells:
            draft.put(where, answers[name], None)
    begun = {"status": "in-progress"} if kind.group == "test" else {}
    head = {"format": "1", "kind": kind.name, **begun}
    draft.tree = {**head, **draft.tree, "id": draft.id}
    used = draft.tree.get("standard")
    if isinstance(used, dict):
        draft.tree["standard"] = as_standard_writes(kind, used)


def as_standard_writes(kind: Kind[Any, Any], used: dict[str, Any]) -> dict[str, Any]:
    """Return a standard and its method as the standard writes them, where known."""
    with suppress(UnknownName):
        there = designations(kind.standards_of)
        name = known_name(str(used.get("designation", "")), there)
        known = standard(name)
        used = {**used, "designation": name}
        if known is not None and used.get("method"):
            used["method"] = known_name(str(used["method"]), known.methods)
    return used


def record_of(kind: Kind[Any, Any], draft: Draft) -> NewRecord:
    """Write one record."""
    file = place_of(kind, draft.id, str(draft.tree.get("project", "")))
    return NewRecord(file, record_text(kind, file, draft.tree), kind.name)
