"""A sheet as plain text for the terminal: the same blocks as on pages."""

from collections import Counter
from collections.abc import Iterator, Sequence

from buildsite.kinds.kind import Lines
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import reported_word, result_word, to_places
from buildsite.kinds.sheet import Note, Sheet, Table
from buildsite.record.flags import Flag, field_label

TABLE_ROLES = ("results", "lesser", "points", "facts", "forms")
"""Roles of the tables shown in the terminal; flags have their own form."""

EQUIPMENT_TABLES = ("calibrations", "limits")
PAPER_TABLES = ("works", "tests", "failures", "lots")
"""Tables of equipment and of papers that are shown, whatever their role."""


def align_columns(
    rows: Sequence[Sequence[str]], numbers: Sequence[bool]
) -> Iterator[str]:
    """
    Return lines of aligned columns: words to the left, numbers to the right.

    >>> list(align_columns([("a", "9.5"), ("bb", "10.0")], [False, True]))
    ['  a    9.5', '  bb  10.0']
    """
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = [
            cell.rjust(width) if number else cell.ljust(width)
            for cell, width, number in zip(row, widths, numbers, strict=True)
        ]
        yield ("  " + "  ".join(cells)).rstrip()


def table_lines(table: Table) -> Iterator[str]:
    """Return the lines of one table."""
    yield table.title
    rows = [[cell.text for cell in row.cells] for row in table.rows]
    if table.role == "points" and len(table.columns) < 2:
        yield "  No readings yet."
        return
    if table.headed == "column":
        if any(column.unit for column in table.columns):
            rows.insert(0, [column.unit for column in table.columns])
        rows.insert(0, [column.label for column in table.columns])
    if table.role == "points":
        shown = rows[len(rows) - len(table.rows) :]
        for row, cells in zip(table.rows, shown, strict=True):
            cells[0] += " rejected" if row.mark == "rejected" else ""
    if rows:
        yield from align_columns(rows, [column.number for column in table.columns])
    if table.note:
        yield f"  {table.note}"


def sheet_text(sheet: Sheet, flags: Sequence[Flag], first: Sequence[str] = ()) -> str:
    """
    Return a sheet and the flags of its record as text.

    `first` stands above all: where a test in progress is. Then a flag that is raised
    at many places, such as readings still to come, is told once.
    """
    lines = [sheet.title, sheet.subtitle]
    lines += ["", *first] if first else []
    for block in sheet.blocks:
        if isinstance(block, Table) and (
            block.role in TABLE_ROLES
            or block.name in (*EQUIPMENT_TABLES, *PAPER_TABLES)
        ):
            lines += ["", *table_lines(block)]
        elif isinstance(block, Note) and block.role != "caution":
            lines += ["", block.title, *(f"  {text}" for text in block.paragraphs)]
    if flags:
        told = once_each(flags) if first else map(str, flags)
        lines += ["", "Flags", *told]
    return "\n".join(lines)


def once_each(flags: Sequence[Flag]) -> Iterator[str]:
    """Yield the first flag of each name, and how many more there are."""
    counts = Counter(flag.flag for flag in flags)
    told: set[str] = set()
    for flag in flags:
        more = counts[flag.flag] - 1
        if flag.flag not in told:
            told.add(flag.flag)
            yield f"{flag}\n    and {more} more of {flag.flag}" if more else str(flag)


TODAY = (
    "# computed with the current program, equipment, sample, project and laboratory:"
)


def comment_lines(made: Outcome) -> Iterator[str]:
    """Return results, points and flags as comments, for `git diff` of a record."""
    yield TODAY
    for name, one in made.results.items():
        term = reported_word(made.case.method, name, one.reported)
        yield f"#   {term}: {one.reported}"
    if made.kind.lines is not None:
        yield from point_lines(made, made.kind.lines)
    yield from map(flag_line, made.flags)


def point_lines(made: Outcome, about: Lines) -> Iterator[str]:
    """Return the values computed from each entry of a list of readings."""
    method = made.case.method
    for number, line in enumerate(made.detail().get(about.name, ()), 1):
        values = ", ".join(
            f"{result_word(method, name, unit)} {to_places(line.get(name), places)} "
            f"{unit}".rstrip()
            for name, unit, places in about.values
        )
        yield f"#   {about.one} {number}: {values}"


def flag_line(flag: Flag) -> str:
    """Return one flag without its line number, which changes with every edit."""
    where = f" at {field_label(flag.field)}" if flag.field else ""
    return f"#   {flag.severity}: {flag.flag}{where}"
