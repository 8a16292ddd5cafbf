"""Reference pages: every check, and every standard the program has."""

from collections.abc import Iterator
from dataclasses import replace

from buildsite.archive.check_catalogue import catalogue
from buildsite.kinds.laboratory.confirmed_cells import confirmed
from buildsite.kinds.methods import (
    STATUS,
    bare_source,
    confirmed_table,
    designations,
    is_on_checking,
    method_sheet,
    title_of,
)
from buildsite.kinds.sheet import Cell, Column, Row, Sheet, Table
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.links import address
from buildsite.pages.page import File, Head
from buildsite.pages.tables import (
    BRIEF,
    columns,
    link_cell,
    list_table,
    table_row,
)
from buildsite.pages.view_models import Block
from buildsite.record.flags import Known

METHODS = ("Methods", "methods/index.html")
COLUMNS = tuple(
    Column(label) for label in ("Flag", "Severity", "Condition", "Source", "Applies to")
)


def source_text(basis: str, *, release: bool) -> str:
    """Return the source of a check; whether it was checked is the laboratory's own."""
    return bare_source(basis) if release else basis


def check_row(
    flag: str, entries: tuple[tuple[str, Known], ...], *, release: bool
) -> Row:
    """Return the row of one check, with each wording once."""
    says = dict.fromkeys(known.says for _, known in entries)
    bases = dict.fromkeys(
        source_text(known.basis, release=release) for _, known in entries
    )
    weights = dict.fromkeys(str(known.severity) for _, known in entries)
    subjects = dict.fromkeys(subject for subject, _ in entries)
    return table_row(
        flag,
        ", ".join(weights),
        " ".join(says).replace("`", '"'),
        "; ".join(bases),
        ", ".join(subjects),
        mark=next(iter(weights)),
        anchor=flag,
    )


def check_sheet(*, release: bool) -> Sheet:
    """Return the sheet of all checks, by name."""
    rows = tuple(
        check_row(flag, entries, release=release)
        for flag, entries in catalogue().items()
    )
    note = (
        "An error means missing or impossible data: it blocks issue and can't be "
        "accepted. A warning needs a person's decision: it is accepted with a reason, "
        "or printed on the report. A note is for the laboratory only."
    )
    return Sheet(
        "Checks",
        f"{len(rows)} checks, each with its source",
        (Table("checks", "All checks", COLUMNS, rows, role=BRIEF, note=note),),
    )


def method_list(context: IndexContext) -> File:
    """Return the list of standards."""
    own = confirmed(context.site.lab)
    rows = [
        table_row(link_cell("method", one), title_of(one)) for one in designations()
    ]
    table = list_table("standards", "Standards", columns("Standard", "Title"), rows)
    head = Head(
        "Reference",
        "Methods",
        "Requirements of each standard, with the source of each value",
    )
    kept = confirmed_table(own)
    blocks = [table] if kept is None else [table, kept]
    return context.page("methods/index.html", head, blocks)


def without_status(sheet: Sheet) -> Sheet:
    """
    Return the page of a standard without what was checked and what not.

    That is the laboratory's to know; where it concerns a report, the report says so.
    """
    return replace(sheet, blocks=tuple(map(table_without_status, sheet.blocks)))


def told_to_all(cell: Cell) -> Cell:
    """Return a cell; a blank one for a note on what is still to be checked."""
    return Cell("") if is_on_checking(cell.text) else cell


def table_without_status(block: Block) -> Block:
    """Return a table without its column of statuses."""
    if not isinstance(block, Table):
        return block
    keep = [i for i, column in enumerate(block.columns) if column.label != STATUS]
    rows = tuple(
        replace(row, cells=tuple(told_to_all(row.cells[i]) for i in keep))
        for row in block.rows
    )
    return replace(block, columns=tuple(block.columns[i] for i in keep), rows=rows)


def reference(context: IndexContext) -> Iterator[tuple[str, bytes]]:
    """Return the reference pages: checks and methods."""
    release = context.site.options.release
    checks = check_sheet(release=release)
    yield context.sheet_page("checks/index.html", checks, "Reference")
    yield method_list(context)
    own = confirmed(context.site.lab)
    for designation in designations():
        path = address(("method", designation))
        sheet = method_sheet(designation, own)
        sheet = without_status(sheet) if release else sheet
        yield context.sheet_page(path, sheet, "Standard", (METHODS,))
