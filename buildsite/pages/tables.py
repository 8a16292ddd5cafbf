"""Lists of tests, samples, equipment and flags as tables."""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from buildsite.archive.field_names import spoken
from buildsite.archive.identity import group_of, name_of
from buildsite.kinds.sheet import Cell, Column, Row, Table, Target
from buildsite.pages.links import FOLDERS
from buildsite.pages.rows import Row as Test
from buildsite.pages.rows import result_title
from buildsite.record.flags import Flag, Severity, field_path

NOTHING = "—"


def columns(*labels: str, numbers: Sequence[str] = ()) -> tuple[Column, ...]:
    """Return columns; those in `numbers` hold numbers."""
    return tuple(Column(label, number=label in numbers) for label in labels)


def table_row(*items: object, mark: str = "", anchor: str = "", words: str = "") -> Row:
    """Return a row; other objects become cells of text."""
    cells = (item if isinstance(item, Cell) else Cell(str(item)) for item in items)
    return Row(tuple(cells), mark=mark, anchor=anchor, words=words)


def list_table(
    name: str, title: str, heads: Sequence[Column], rows: Iterable[Row]
) -> Table:
    """Return a table that the script can sort and filter."""
    return Table(name, title, tuple(heads), tuple(rows), role="list")


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


def split_unit(reported: str) -> tuple[str, str]:
    """
    Split a reported result into number and unit.

    >>> split_unit("121.4 lb/ft³")
    ('121.4', 'lb/ft³')
    """
    number, _, unit = reported.partition(" ")
    return number, unit


def result_columns(tests: Sequence[Test]) -> tuple[list[Column], list[list[str]]]:
    """
    Return one column for each result, and each test's cells.

    If all tests report in one unit it is in the heading, and numbers align.
    """
    names = list(dict.fromkeys(name for test in tests for name, _ in test.results))
    terms = shared_terms(tests, names)
    heads: list[Column] = []
    cells: list[list[str]] = [[] for _ in tests]
    for name in names:
        found = [dict(test.results).get(name, "") for test in tests]
        units = {split_unit(text)[1] for text in found if text}
        one = units.pop() if len(units) == 1 else ""
        heads.append(Column(terms[name], one, number=True))
        for row, text in zip(cells, found, strict=True):
            row.append((split_unit(text)[0] if one else text) or NOTHING)
    return heads, cells


def shared_terms(tests: Sequence[Test], names: Iterable[str]) -> dict[str, str]:
    """
    Return a heading for each result: the standards' terms if the tests share them all.

    Else the terms without the effort; if those differ too, neutral ones throughout.
    """
    terms = {
        name: {dict(test.words)[name] for test in tests if name in dict(test.words)}
        for name in names
    }
    for sets in (terms, {name: map(without_effort, terms[name]) for name in terms}):
        shared = {name: set(found) for name, found in sets.items()}
        if all(len(found) == 1 for found in shared.values()):
            return {name: found.pop() for name, found in shared.items()}
    return {name: result_title(name) for name in terms}


EFFORT = re.compile(r"\b(standard|modified) ", re.IGNORECASE)
"""The compactive effort in a term of ASTM D698 and D1557."""


def without_effort(term: str) -> str:
    """
    Return a term without the compactive effort.

    >>> without_effort("Modified optimum water content")
    'Optimum water content'
    """
    bare = EFFORT.sub("", term)
    return bare[:1].upper() + bare[1:]


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
            **{head.label: text for head, text in zip(heads, texts, strict=True)},
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
    return list_table(name, title, heads, rows)


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
