"""
What the site is searched by: scripts of data, loaded when somebody first searches.

Scripts, because a page opened from the disk may not read another file. Tests are cut by
year, so that no file is large; what many tests say alike is said once a file.
"""

import json
from collections.abc import Iterator, Sequence
from functools import partial

from buildsite.kinds.sheet import Cell
from buildsite.pages.indexes.all_tests import (
    COLUMNS,
    all_tests,
    cells_of,
    looked_for_first,
    more_words,
    with_soil,
)
from buildsite.pages.indexes.index_context import IndexContext, Step
from buildsite.pages.indexes.split_lists import Part, divided
from buildsite.pages.indexes.things import Thing, things
from buildsite.pages.links import Links
from buildsite.pages.markup import keep_units
from buildsite.pages.page import File
from buildsite.pages.rows import Row
from buildsite.pages.tables import row_mark

FOLDER = "search"

MOST_TESTS, MOST_THINGS = 2000, 1000
"""Entries of a file: some 300 KB."""

ALONE = ("Test", "Result", "Tested")
"""Columns whose texts are seldom shared by two tests."""


def search_data(context: IndexContext) -> Iterator[File]:
    """Return the files of data, and the one that lists them."""
    for _, make in search_steps(context):
        yield from make()


def search_steps(context: IndexContext) -> Iterator[Step]:
    """Return how each file of data is made."""
    parts = parts_of_tests(context)
    named = list(map(name_of_part, parts))
    yield "search things", partial(search_things, context, named)
    for part in parts:
        name = name_of_part(part)
        yield f"search {name}", partial(search_tests, context, name, part.rows)


def search_things(context: IndexContext, tests: Sequence[str]) -> Iterator[File]:
    """Return the files of all but `tests`, and the one that lists all files."""
    context.asks(f"parts of {FOLDER}")
    links = context.site.links("")
    named: list[str] = []
    found = things(context)
    for start in range(0, len(found), MOST_THINGS):
        named.append(f"things-{start // MOST_THINGS + 1}")
        some = found[start : start + MOST_THINGS]
        data = [thing_data(one, links) for one in some]
        yield data_file(named[-1], {"things": data})
    about = {"columns": COLUMNS, "things": named, "tests": tests}
    yield data_file("data", about)


def parts_of_tests(context: IndexContext) -> list[Part[Row]]:
    """Return the tests of each file, in order."""

    def tests() -> list[Row]:
        return looked_for_first(all_tests(context))

    return divided(context, FOLDER, tests, MOST_TESTS)


def name_of_part(part: Part[Row]) -> str:
    """Return the name of a file of tests."""
    return f"tests-{part.folder or 'all'}"


def search_tests(
    context: IndexContext, name: str, tests: Sequence[Row]
) -> Iterator[File]:
    """Return a file of tests."""
    links, own = context.site.links(""), not context.site.options.release
    rows = [with_soil(context, row) for row in tests]
    yield data_file(name, tests_data(rows, links, own=own))


def data_file(name: str, data: object) -> File:
    """Return one script of data."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    return f"{FOLDER}/{name}.js", f'archiveData("{name}",{text});\n'.encode()


def thing_data(one: Thing, links: Links) -> list[str]:
    """Return an entry that is no test: what, name, about it, address, other words."""
    return [one.what, one.name, one.about, links.to(one.to), one.words]


def tests_data(tests: Sequence[Row], links: Links, *, own: bool) -> dict[str, object]:
    """Return tests: cells by their place among the shared ones, or as they stand."""
    places: dict[Cell, int] = {}
    rows: list[list[int | str]] = []
    for row in tests:
        line: list[int | str] = [
            keep_units(cell.text)
            if column in ALONE
            else places.setdefault(cell, len(places))
            for column, cell in zip(COLUMNS, cells_of(row), strict=True)
        ]
        more = (more_words(row, own=own), row.standard, row_mark(row))
        line += [places.setdefault(Cell(text), len(places)) for text in more]
        rows.append(line)
    shared = [
        [cell.text, href] if (href := links.to(cell.to)) else cell.text
        for cell in places
    ]
    return {"shared": shared, "tests": rows}
