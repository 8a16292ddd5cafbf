"""Every standard we hold rows of, as blocks: each cell with where it comes from."""

from collections.abc import Iterable, Iterator

from buildsite.kinds.sheet import Column, Row, Sheet, Table
from buildsite.kinds.sheet import Cell as Text
from buildsite.standards.cells import edition_mark
from buildsite.standards.labels import label
from buildsite.standards.tables import (
    Cell,
    Method,
    Standard,
    designations,
    find,
    standard,
    variants,
)

__all__ = ["designations", "method_sheet"]

CELL_COLUMNS = tuple(
    Column(name) for name in ("What", "Value", "Source", "Clause", "Status", "Note")
)


def cell_row(name: str, cell: Cell) -> Row:
    """One cell: its figure, and how sure we are of it."""
    for_soils = f"for {', '.join(cell.soils)}" if cell.soils else ""
    note = "; ".join(part for part in (for_soils, cell.note) if part)
    texts = (
        name,
        str(cell),
        cell.source + edition_mark(cell.edition),
        cell.clause or "—",
        cell.status,
        note,
    )
    return Row(tuple(Text(text) for text in texts))


def cell_table(name: str, title: str, rows: Iterable[tuple[str, Cell]]) -> Table:
    """A table of cells."""
    return Table(
        name,
        title,
        CELL_COLUMNS,
        tuple(cell_row(label, cell) for label, cell in rows),
        role="more",
    )


def shared(methods: list[Method]) -> list[tuple[str, Cell]]:
    """Cells that every method of a standard has alike."""
    first, *others = [dict(method.rows()) for method in methods]
    return [
        (name, cell)
        for name, cell in first.items()
        if all(other.get(name) == cell for other in others)
    ]


def edition_table(known: Standard) -> Table:
    """Editions that are known here, and what took their place."""
    rows = tuple(
        Row(
            (
                Text(edition.edition),
                Text(str(edition.year)),
                Text(edition.superseded_by or "not known here"),
                Text(edition.source),
                Text(edition.status),
            )
        )
        for edition in known.editions
    )
    labels = ("Edition", "Year", "Superseded by", "Source", "Status")
    return Table(
        "editions",
        "Editions",
        tuple(Column(label) for label in labels),
        rows,
        role="more",
        note="An edition that is not listed is no error: it may be newer than we are.",
    )


def blocks(known: Standard) -> Iterator[Table]:
    """Everything held of one standard: what its methods share, then what differs."""
    methods = [
        method
        for name in known.methods
        if (method := find(known.designation, name)) is not None
    ]
    alike = shared(methods)
    yield cell_table("all-methods", "All methods", alike)
    names = {name for name, _ in alike}
    for method in methods:
        rows = [(name, cell) for name, cell in method.rows() if name not in names]
        title = f"Method {method.name}"
        yield cell_table(f"method-{method.name.lower()}", title, rows)
        for variant in variants(known.designation, method.name):
            over = find(known.designation, method.name, variant)
            if over is not None:
                own = dict(method.rows())
                moved = [(n, cell) for n, cell in over.rows() if own.get(n) != cell]
                yield cell_table(
                    f"method-{method.name.lower()}-{variant}".replace(" ", "-"),
                    f"Method {method.name}, variant {variant}",
                    moved,
                )
    yield cell_table(
        "words", "Words", ((label(name), cell) for name, cell in known.words.items())
    )
    items = methods[0].report_items
    if items:
        rows = [(f"{i}", cell) for i, cell in enumerate(items, 1)]
        yield cell_table("report", "What a report says", rows)
    if known.editions:
        yield edition_table(known)


def method_sheet(designation: str) -> Sheet:
    """
    Show a standard: each cell with value, unit, source, edition, clause and status.

    Raises
    ------
    LookupError
        If there are no rows of that standard.
    """
    known = standard(designation)
    if known is None:
        raise LookupError(designation)
    return Sheet(known.designation, known.title, tuple(blocks(known)))
