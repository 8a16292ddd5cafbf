"""The list of every test, of all kinds and projects together."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from buildsite.kinds.field_control.results import PERCENT, FieldTest
from buildsite.kinds.sheet import Cell, Note, Table
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.split_lists import SplitLists
from buildsite.pages.indexes.two_tests import PAGE, comparable
from buildsite.pages.page import File, Head
from buildsite.pages.rows import Row
from buildsite.pages.tables import (
    BRIEF,
    NOTHING,
    columns,
    link_cell,
    list_table,
    method_cell,
    row_mark,
    table_row,
)

TESTS = ("Tests", "tests/index.html")

YEARS = "years"
"""Folder of the parts of the list: a test may have any name below `tests`."""

ROLE = f"{BRIEF} tests"

COLUMNS = (
    "Test",
    "Result",
    "Verdict",
    "Status",
    "Kind",
    "Class",
    "Soil",
    "Place",
    "Zone",
    "Standard",
    "Tested",
    "Project",
)


def all_tests(context: IndexContext) -> list[Row]:
    """Return every test that has a page, the latest first."""
    shown = (with_soil(context, row) for row in context.rows if row.page)
    return sorted(shown, key=lambda row: row.newest_first)


def looked_for_first(tests: Sequence[Row]) -> list[Row]:
    """
    Return tests in the order of the list; those alike stay as they were.

    First what field tests are judged by, which is asked for most, last the papers of a
    fill, which have no result of their own.
    """
    return sorted(tests, key=lambda row: (not row.governing, is_paper(row)))


def is_paper(row: Row) -> bool:
    """Whether it is a paper of the fill, not a test."""
    return row.told is not None and not isinstance(row.told, FieldTest)


def with_soil(context: IndexContext, row: Row) -> Row:
    """Return a test with its soil: of a field test, the soil of its reference."""
    told = row.told
    if row.soil_class or row.soil_name or not isinstance(told, FieldTest):
        return row
    other = context.by_id.get(told.reference)
    if other is None:
        return row
    return replace(row, soil_class=other.soil_class, soil_name=other.soil_name)


def pages_of_tests(context: IndexContext) -> Iterator[File]:
    """Return the page of all tests, and of a long list the pages of its parts."""
    tests, (label, path) = all_tests(context), TESTS
    own = not context.site.options.release
    of = "with a report issued" if not own else "in the archive"
    links = context.site.links(path)
    pair = [("Compare two tests", links.page(PAGE))] * bool(comparable(context.rows))
    about = f"{len(tests)} {of}: compaction tests first, papers last"
    head = Head("Overview", label, about, pages=tuple(pair))
    lists = SplitLists(context, "tests", head, into=YEARS)
    table = lists.table(tests, lambda row: row.day, partial(list_of, own=own))
    yield context.page(path, head, [replace(table, role=f"{table.role} finder")])
    yield from lists.files


def list_of(tests: Sequence[Row], *, own: bool) -> Table:
    """Return the list of tests, or a part of it."""
    return table_of(looked_for_first(tests), own=own)


def table_of(tests: Sequence[Row], *, own: bool) -> Table:
    """Return tests of any kind as a table."""
    rows = [
        table_row(*cells_of(row), mark=row_mark(row), words=more_words(row, own=own))
        for row in tests
    ]
    return list_table("tests", "All tests", columns(*COLUMNS), rows, ROLE)


def result_in_short(row: Row) -> str:
    """
    Return the result that a test is asked for.

    Of a compaction test, the pair that field tests are judged by; of a field test,
    percent compaction; else the first results.
    """
    results = dict(row.results)
    pair = [results[name] for name in row.governing if name in results]
    if pair:
        return " at ".join(pair)
    if isinstance(row.told, FieldTest):
        return results.get(PERCENT, "")
    if len(results) < 2 or row.told is not None:
        return next(iter(results.values()), "") if row.told is None else ""
    words = dict(row.words)
    return "; ".join(
        f"{words.get(name, name).lower()} {text}" for name, text in row.results[:2]
    )


def cells_of(row: Row) -> list[Cell]:
    """Return the cells of a test, as `COLUMNS` has them."""
    told = row.told if isinstance(row.told, FieldTest) else None
    places = (told.place,) if told else (row.source, row.sampled_at)
    return [
        replace(link_cell("test", row.id), curve=row.curve),
        Cell(result_in_short(row) or NOTHING),
        Cell((told.verdict if told else "") or NOTHING),
        Cell(row.state),
        Cell(row.title),
        link_cell("soil", row.soil_class),
        Cell(row.soil_name or NOTHING),
        Cell(", ".join(dict.fromkeys(filter(None, places))) or NOTHING),
        Cell(getattr(row.told, "zone", "") or NOTHING),
        method_cell(row),
        Cell(str(row.day or NOTHING)),
        link_cell("project", row.project),
    ]


def more_words(row: Row, *, own: bool) -> str:
    """Return what a test is found by besides its cells; `own`: also our people."""
    lift = getattr(row.told, "lift", "")
    said = [row.sample, f"lift {lift}" if lift else "", row.source, row.sampled_at]
    if own:
        open_flags = sorted({f.flag for f in row.flags if not f.accepted_by})
        said += [*row.people, *open_flags]
    return " ".join(dict.fromkeys(filter(None, said)))


FIND = Note(
    "search",
    "Find",
    (
        "Tests, soils, places, zones, standards, samples and projects, by any part of "
        "their name.",
    ),
    role="search",
)
"""Where the script puts the field to search the site by."""
