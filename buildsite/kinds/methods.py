"""The pages of standards on file: each cell with its source."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache

from buildsite.kinds.sheet import Cell as Text
from buildsite.kinds.sheet import Column, Row, Sheet, Table
from buildsite.standards.cells import (
    UNCHECKED_MARK,
    Cell,
    edition_mark,
    short_basis,
)
from buildsite.standards.confirmed import Confirmed, printed_name, with_confirmed
from buildsite.standards.labels import label
from buildsite.standards.method import Method
from buildsite.standards.tables import Standard, designations, find, standard, variants

__all__ = ["confirmed_table", "designations", "known_designation", "method_sheet"]

STATUS = "Status"
"""Heading of whether a value was checked with the standard's text."""

CELL_COLUMNS = tuple(
    Column(name) for name in ("Item", "Value", "Source", "Clause", STATUS, "Note")
)


Rows = tuple[tuple[str, Cell], ...]
"""Labelled cells."""


def cell_row(name: str, cell: Cell, table: str) -> Row:
    """Return the row of one cell, with an anchor of its table and its own."""
    if cell.soils:  # the name of such a cell ends in a soil of its own
        name = f"{name.rpartition(' ')[0]}, {' '.join(cell.soils)}"
    texts = (
        name,
        str(cell),
        cell.source + edition_mark(cell.edition),
        cell.clause or "—",
        f"confirmed by {cell.confirmed}"
        if cell.confirmed
        else short_status(cell.status),
        cell.note,
    )
    return Row(tuple(Text(text) for text in texts), anchor=f"{table}-{anchor(name)}")


def short_status(status: str) -> str:
    """Return the status of a cell, for a narrow column."""
    return {"from memory": "unchecked", "read": "checked"}.get(status, status)


def bare_source(basis: str) -> str:
    """
    Return a source without whether it was checked with the standard's text.

    >>> bare_source("ASTM D698, 6.1 (not yet checked against the standard's text)")
    'ASTM D698, 6.1'
    """
    return short_basis(basis).replace(UNCHECKED_MARK, "")


def is_on_checking(note: str) -> bool:
    """Whether a note says what is still to be checked with the standard's text."""
    return "not yet checked" in note


def cell_table(name: str, title: str, rows: Iterable[tuple[str, Cell]]) -> Table:
    """Return a table of cells."""
    lines = tuple(cell_row(label, cell, name) for label, cell in rows)
    return Table(name, title, CELL_COLUMNS, lines, role="folded brief")


def shared(methods: list[Method]) -> list[tuple[str, Cell]]:
    """Return the cells that all methods of a standard have in common."""
    first, *others = [dict(method.rows()) for method in methods]
    return [
        (name, cell)
        for name, cell in first.items()
        if all(other.get(name) == cell for other in others)
    ]


def edition_table(known: Standard) -> Table:
    """Return the table of editions on file, and what superseded them."""
    rows = tuple(
        Row(
            (
                Text(edition.edition),
                Text(str(edition.year)),
                Text(edition.superseded_by or "none on file"),
                Text(edition.source),
                Text(short_status(edition.status)),
            )
        )
        for edition in known.editions
    )
    labels = ("Edition", "Year", "Superseded by", "Source", STATUS)
    return Table(
        "editions",
        "Editions",
        tuple(Column(label) for label in labels),
        rows,
        role="folded",
        note="An edition not listed is not an error; it may be newer than this list.",
    )


def changed_cells(base: Method, over: Method | None) -> Rows:
    """Return the cells in which an edition or a variant differs from the method."""
    own = dict(base.rows())
    rows = over.rows() if over is not None else ()
    return tuple((name, cell) for name, cell in rows if own.get(name) != cell)


Own = tuple[Confirmed, ...]
"""Cells that the laboratory confirmed with its own copy."""


def ours(method: Method | None, own: Own) -> Method | None:
    """Return a method with the cells that the laboratory confirmed."""
    return with_confirmed(method, own) if method is not None else None


def overlays(known: Standard, method: Method, own: Own) -> Iterator[tuple[str, Rows]]:
    """
    Yield what earlier editions and agencies changed in a method, with its title.

    Editions that changed the same are listed together.
    """
    name, at = known.designation, method.name
    same: dict[Rows, list[str]] = {}
    for edition in known.editions:
        if edition.lays:
            over = ours(find(name, at, "none", edition.edition), own)
            same.setdefault(changed_cells(method, over), []).append(edition.edition)
    for rows, names in same.items():
        yield f"in {'edition' if len(names) == 1 else 'editions'} {listed(names)}", rows
    for variant in variants(name, at):
        over = ours(find(name, at, variant), own)
        yield f"with the variant {variant}", changed_cells(method, over)


def listed(names: list[str]) -> str:
    """
    List names in a sentence.

    >>> listed(["86"]), listed(["86", "90", "95"])
    ('86', '86, 90 and 95')
    """
    *others, last = names
    return f"{', '.join(others)} and {last}" if others else last


def anchor(text: str) -> str:
    """Return the name of a table, for links."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")


def method_tables(known: Standard, own: Own) -> Iterator[Table]:
    """Return the tables: cells common to all methods, each method's own, variants."""
    methods = [
        method
        for name in known.methods
        if (method := ours(find(known.designation, name), own)) is not None
    ]
    alike = shared(methods)
    title = "All methods" if len(methods) > 1 else "The method"
    yield cell_table("all-methods", title, alike)
    names = {name for name, _ in alike}
    for method in methods:
        title = f"Method {method.name}" if method.name != "none" else "The method"
        rows = [(name, cell) for name, cell in method.rows() if name not in names]
        if rows:
            yield cell_table(anchor(title), title, rows)
        for what, changed in overlays(known, method, own):
            if changed:
                longer = f"{title} {what}"
                yield cell_table(anchor(longer), longer, changed)


def blocks(known: Standard, own: Own) -> Iterator[Table]:
    """Return all tables of one standard: the first open, for the others are many."""
    opened, *others = method_tables(known, own)
    yield replace(opened, role="more brief")
    yield from others
    words = ((label(name), cell) for name, cell in known.words.items())
    yield cell_table("words", "Terms", words)
    first = find(known.designation, known.methods[0])
    items = first.report_items if first is not None else ()
    if items:
        rows = [(str(i), cell) for i, cell in enumerate(items, 1)]
        yield cell_table("report", "Report contents", rows)
    if known.editions:
        yield edition_table(known)


def known_designation(text: str) -> str | None:
    """Return the designation of a standard on file, however spelled; else None."""
    known = standard(text)
    return known.designation if known is not None else None


def confirmed_table(own: Own) -> Table | None:
    """Return the cells confirmed, with who looked when; None where there are none."""
    labels = ("Standard", "Item", "Value", "Edition", "Clause", "By", "On")
    rows = []
    for one in own:
        about = (one.value, one.edition, one.clause, one.by, str(one.on))
        rows.append(Row(tuple(map(Text, (one.standard, printed_name(one), *about)))))
    if not rows:
        return None
    title = "Confirmed with the laboratory's own copies"
    heads = tuple(Column(name) for name in labels)
    return Table("confirmed", title, heads, tuple(rows), role="list")


@cache
def row_anchor(designation: str, method: str, label: str, own: Own = ()) -> str:
    """
    Return the anchor of the row of a cell of a method on its standard's page.

    Blank where no row has that label: one of an agency's variant alone.
    """
    ends = anchor(label)
    title = "the-method" if method == "none" else anchor(f"Method {method}")
    found = {
        row.anchor
        for block in method_sheet(designation, own).blocks
        if isinstance(block, Table)
        for row in block.rows
    }
    wanted = (f"{title}-{ends}", f"all-methods-{ends}")
    return next((one for one in wanted if one in found), "")


def title_of(designation: str) -> str:
    """Return the title of a standard; raise LookupError if it is not on file."""
    known = standard(designation)
    if known is None:
        raise LookupError(designation)
    return known.title


@cache
def method_sheet(designation: str, own: Own = ()) -> Sheet:
    """Return the page of a standard; raise LookupError if it is not on file."""
    known = standard(designation)
    if known is None:
        raise LookupError(designation)
    return Sheet(known.designation, known.title, tuple(blocks(known, own)))
