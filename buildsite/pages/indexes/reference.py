"""Reference pages: every check, and every standard the program has."""

from collections.abc import Iterator

from buildsite.archive.check_catalogue import catalogue
from buildsite.kinds.laboratory.confirmed_cells import confirmed
from buildsite.kinds.methods import confirmed_table, designations, method_sheet
from buildsite.kinds.sheet import Column, Row, Sheet, Table
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.links import address
from buildsite.pages.page import File, Head
from buildsite.pages.tables import columns, link_cell, list_table, table_row
from buildsite.record.flags import Known

METHODS = ("Methods", "methods/index.html")
COLUMNS = tuple(
    Column(label) for label in ("Flag", "Severity", "Condition", "Source", "Applies to")
)


def check_row(flag: str, entries: tuple[tuple[str, Known], ...]) -> Row:
    """Return the row of one check, with each wording once."""
    says = dict.fromkeys(known.says for _, known in entries)
    bases = dict.fromkeys(known.basis for _, known in entries)
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


def check_sheet() -> Sheet:
    """Return the sheet of all checks, by name."""
    rows = tuple(check_row(flag, entries) for flag, entries in catalogue().items())
    note = (
        "An error means missing or impossible data: it blocks issue and can't be "
        "accepted. A warning needs a person's decision: it is accepted with a reason, "
        "or printed on the report. A note is for the laboratory only."
    )
    return Sheet(
        "Checks",
        f"{len(rows)} checks, each with its source",
        (Table("checks", "All checks", COLUMNS, rows, role="list", note=note),),
    )


def method_list(context: IndexContext) -> File:
    """Return the list of standards."""
    own = confirmed(context.site.lab)
    sheets = [method_sheet(designation, own) for designation in designations()]
    rows = [
        table_row(link_cell("method", sheet.title), sheet.subtitle) for sheet in sheets
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


def reference(context: IndexContext) -> Iterator[tuple[str, bytes]]:
    """Return the reference pages: checks and methods."""
    yield context.sheet_page("checks/index.html", check_sheet(), "Reference")
    yield method_list(context)
    own = confirmed(context.site.lab)
    for designation in designations():
        path = address(("method", designation))
        sheet = method_sheet(designation, own)
        yield context.sheet_page(path, sheet, "Standard", (METHODS,))
