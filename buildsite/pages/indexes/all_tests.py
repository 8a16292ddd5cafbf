"""The list of every test, of all kinds and projects together."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from buildsite.kinds.field_control.results import PERCENT, FieldTest
from buildsite.kinds.sheet import Cell, Note, Table
from buildsite.pages.indexes.index_context import IndexContext, Step
from buildsite.pages.indexes.split_lists import SplitLists, divided, single
from buildsite.pages.indexes.two_tests import PAGE, any_two
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

LIST = "tests"

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
    return row.of_fill == "paper"


def with_soil(context: IndexContext, row: Row) -> Row:
    """Return a test with its soil: of a field test, the soil of its reference."""
    if row.soil_class or row.soil_name or not row.reference:
        return row
    other = context.lists.one(row.reference)
    return row if other is None else row.with_soil_of(other)


def pages_of_tests(context: IndexContext) -> Iterator[File]:
    """Return the page of all tests, and of a long list the pages of its parts."""
    for _, make in steps_of_tests(context):
        yield from make()


def steps_of_tests(context: IndexContext) -> Iterator[Step]:
    """Return how the page of all tests is made, and that of each part of the list."""
    parts = divided(context, LIST, partial(all_tests, context))
    lists = SplitLists(context, LIST, Head("Overview", TESTS[0]), into=YEARS)
    front = lists.lay(parts, partial(list_of, context))
    yield LIST, partial(first_page, context, front)
    for path, make in lists.later:
        yield path, partial(single, make)


def first_page(context: IndexContext, front: Callable[[], Table]) -> Iterator[File]:
    """Return the page of all tests, with the latest."""
    own, (label, path) = not context.site.options.release, TESTS
    of = "with a report issued" if not own else "in the archive"
    links = context.site.links(path)
    pair = [("Compare two tests", links.page(PAGE))] * any_two(context.rows)
    number = len([row for row in context.rows if row.page])
    about = f"{number} {of}: compaction tests first, papers last"
    head, table = Head("Overview", label, about, pages=tuple(pair)), front()
    yield context.page(path, head, [replace(table, role=f"{table.role} finder")])


def list_of(context: IndexContext, tests: Sequence[Row]) -> Table:
    """Return the list of tests, or a part of it."""
    context.asks("parts of tests")
    rows = [with_soil(context, row) for row in tests]
    return table_of(looked_for_first(rows), own=not context.site.options.release)


def table_of(tests: Sequence[Row], *, own: bool) -> Table:
    """Return tests of any kind as a table."""
    rows = [
        table_row(
            *cells_with_curve(row), mark=row_mark(row), words=more_words(row, own=own)
        )
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
    if row.of_fill:
        return results.get(PERCENT, "") if row.of_fill == "test" else ""
    if len(results) < 2:
        return next(iter(results.values()), "")
    words = dict(row.words)
    return "; ".join(
        f"{words.get(name, name).lower()} {text}" for name, text in row.results[:2]
    )


def cells_with_curve(row: Row) -> list[Cell]:
    """Return the cells of a test, with its curve."""
    first, *others = cells_of(row)
    return [replace(first, curve=row.curve), *others]


def cells_of(row: Row) -> list[Cell]:
    """Return the cells of a test, as `COLUMNS` has them."""
    told = row.told if row.of_fill and isinstance(row.told, FieldTest) else None
    places = (told.place,) if told else (row.source, row.sampled_at)
    return [
        link_cell("test", row.id),
        Cell(result_in_short(row) or NOTHING),
        Cell((told.verdict if told else "") or NOTHING),
        Cell(row.state),
        Cell(row.title),
        link_cell("soil", row.soil_class),
        Cell(row.soil_name or NOTHING),
        Cell(", ".join(dict.fromkeys(filter(None, places))) or NOTHING),
        Cell(row.zone or NOTHING),
        method_cell(row),
        Cell(str(row.day or NOTHING)),
        link_cell("project", row.project),
    ]


def more_words(row: Row, *, own: bool) -> str:
    """Return what a test is found by besides its cells; `own`: also our people."""
    lift = f"lift {row.lift}" if row.lift else ""
    said = [row.sample, lift, row.source, row.sampled_at]
    if own:
        said += [*row.people, *row.open_flags]
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
