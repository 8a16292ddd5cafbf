"""Lists of tests, samples, equipment and flags as tables."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from buildsite.archive.field_names import spoken
from buildsite.archive.identity import group_of, name_of
from buildsite.kinds.sheet import Cell, Column, Row, Table, Target
from buildsite.pages.links import FOLDERS
from buildsite.pages.result_columns import result_columns
from buildsite.pages.rows import Row as Test
from buildsite.record.flags import Flag, Severity, field_path

NOTHING = "—"


def columns(*labels: str, numbers: Sequence[str] = ()) -> tuple[Column, ...]:
    """Return columns; those in `numbers` hold numbers."""
    return tuple(Column(label, number=label in numbers) for label in labels)


def table_row(*items: object, mark: str = "", anchor: str = "", words: str = "") -> Row:
    """Return a row; other objects become cells of text."""
    cells = (item if isinstance(item, Cell) else Cell(str(item)) for item in items)
    return Row(tuple(cells), mark=mark, anchor=anchor, words=words)


BRIEF = "list brief"
"""Role of a list whose rows are short on a phone: the rest of a row is small print."""


def list_table(
    name: str,
    title: str,
    heads: Sequence[Column],
    rows: Iterable[Row],
    role: str = "list",
) -> Table:
    """Return a table that the script can sort and filter."""
    return Table(name, title, tuple(heads), tuple(rows), role)


def facts_table(
    name: str, title: str, facts: Iterable[tuple[str, object]], role: str = "facts"
) -> Table:
    """Return labels with values; those without a value are left out."""
    rows = tuple(table_row(label, stated) for label, stated in facts if stated)
    return Table(name, title, columns("What", "Stated"), rows, role, headed="row")


def link_cell(what: str, id: str, text: str = "") -> Cell:
    """Return a cell that links to a page."""
    return Cell(text or id or NOTHING, (what, id) if id else None)


def flag_counts(test: Test) -> str:
    """Return the open flags in words: 1 error, 2 warnings."""
    counts = [
        f"{number} {severity}{'s' if number > 1 else ''}"
        for severity in (Severity.ERROR, Severity.WARNING)
        if (number := test.count(severity))
    ]
    return ", ".join(counts) or NOTHING


ABOUT = ("Test", "Tested", "Project", "Sample", "Soil", "Method")
"""Columns of a list of tests before the results."""


def table_of_tests(
    name: str, title: str, tests: Sequence[Test], leave_out: Sequence[str] = ()
) -> Table:
    """Return tests of one kind with their results, without the columns `leave_out`."""
    heads, results = result_columns(tests)
    rows = []
    for test, texts in zip(tests, results, strict=True):
        cells: dict[str, object] = {
            "Test": link_cell("test", test.id),
            "Tested": test.day or NOTHING,
            "Project": link_cell("project", test.project),
            "Sample": link_cell("sample", test.sample),
            "Soil": link_cell("soil", test.soil_class),
            "Method": method_cell(test),
            **{
                head.label: text or NOTHING
                for head, text in zip(heads, texts, strict=True)
            },
            "Status": test.state,
            "Flags": flag_counts(test),
        }
        kept = [cell for label, cell in cells.items() if label not in leave_out]
        rows.append(table_row(*kept, mark=row_mark(test), words=found_by(test)))
    every = (*columns(*ABOUT), *heads, *columns("Status", "Flags"))
    return list_table(name, title, [c for c in every if c.label not in leave_out], rows)


def found_by(test: Test) -> str:
    """Return words that a test is found by, other than those in its row."""
    place = getattr(test.told, "place", "")
    zone = getattr(test.told, "zone", "")
    said = (test.soil_name, test.source, test.sampled_at, place, zone)
    return ", ".join(dict.fromkeys(filter(None, said)))


def row_mark(test: Test) -> str:
    """Return the mark of a test's row."""
    if test.blocked:
        return "error"
    return "withdrawn" if test.withdrawn else ""


def method_cell(test: Test) -> Cell:
    """Return the standard and method of a test."""
    if not test.standard:
        return Cell(NOTHING)
    name = "" if test.method == "none" else f" {test.method}"
    return Cell(f"{test.standard}{name}", ("method", test.standard))


def tables_of_tests(
    tests: Iterable[Test], leave_out: Sequence[str] = ()
) -> Iterator[Table]:
    """Return a table for each kind of test, the latest first."""
    for found in kinds_of_tests(tests):
        yield table_of_kind(found, leave_out)


def kinds_of_tests(tests: Iterable[Test]) -> Iterator[list[Test]]:
    """
    Return the tests that have a page, kind by kind, the latest first.

    First what field tests are judged by, last the field tests and the papers of a fill.
    """
    shown = sorted(
        (test for test in tests if test.page),
        key=lambda test: (test.kind == "", test.title, *test.newest_first),
    )
    kinds = [list(group) for _, group in groupby(shown, lambda test: test.title)]
    yield from sorted(
        kinds,
        key=lambda found: (
            not found[0].kind,
            any(test.told is not None for test in found),
            not any(test.governing for test in found),
        ),
    )


def table_of_kind(tests: Sequence[Test], leave_out: Sequence[str] = ()) -> Table:
    """Return tests of one kind as a table."""
    name = f"tests-{tests[0].kind or 'unreadable'}"
    return table_of_tests(name, plural(tests[0].title), tests, leave_out)


def plural(title: str) -> str:
    """
    Return the title of several tests of a kind.

    >>> plural("Field density"), plural("Daily report"), plural("Assay")
    ('Field densities', 'Daily reports', 'Assays')
    """
    if title.endswith("y") and title[-2:-1] not in "aeiou":
        return f"{title[:-1]}ies"
    return f"{title}s"


def record_target(file: str) -> Target | None:
    """Return the page of a record; None if its group has none."""
    group = group_of(file)
    if group == "family":
        return (group, f"{file.split('/')[1]}/{name_of(file)}")
    return (group, name_of(file)) if group in FOLDERS else None


def record_cell(file: str) -> Cell:
    """Return the cell of a flag's record, with a link to its page."""
    target = record_target(file)
    return Cell(name_of(file) if target else file, target)


def flag_order(flag: Flag) -> tuple[object, ...]:
    """Sort key: open before accepted, errors first, then by file and line."""
    return (bool(flag.accepted_by), flag.severity.rank, *flag.order)


def flag_table(
    flags: Iterable[Flag], name: str, title: str, last: str = "Corrective action"
) -> Table:
    """Return flags, the most severe first; `last` heads the column of actions."""
    heads = columns("Record", "Severity", "Flag", "Finding", last)
    rows = [
        table_row(
            record_cell(flag.file),
            flag.severity,
            Cell(flag.flag, ("check", flag.flag)),
            found_and_required(flag),
            next_step(flag),
            mark="accepted" if flag.accepted_by else str(flag.severity),
        )
        for flag in sorted(flags, key=flag_order)
    ]
    return list_table(name, title, heads, rows, BRIEF)


def found_and_required(flag: Flag) -> str:
    """Return what a flag found and requires, with the field in words."""
    where = f"{spoken(field_path(flag.field))}: " if flag.field else ""
    text = f"{where}found {flag.found}; expected: {flag.expected}. Line {flag.line}."
    return text[:1].upper() + text[1:]


def next_step(flag: Flag) -> str:
    """Return the corrective action, or who accepted the flag and why."""
    if flag.accepted_by:
        return f"Accepted by {flag.accepted_by}: {flag.accepted_reason}"
    return flag.mend[:1].upper() + flag.mend[1:]
