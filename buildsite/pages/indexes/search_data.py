"""
What the site is searched by: scripts of data, loaded when somebody first searches.

Scripts, because a page opened from the disk may not read another file. Tests are cut by
year, so that no file is large; what many tests say alike is said once a file.
"""

import json
from collections.abc import Iterator, Sequence

from buildsite.kinds.sheet import Cell
from buildsite.pages.indexes.all_tests import (
    COLUMNS,
    all_tests,
    cells_of,
    looked_for_first,
    more_words,
)
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.split_lists import parts_of
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
    links, own = context.site.links(""), not context.site.options.release
    named: dict[str, list[str]] = {"things": [], "tests": []}
    found = things(context)
    for start in range(0, len(found), MOST_THINGS):
        name = f"things-{start // MOST_THINGS + 1}"
        named["things"].append(name)
        some = found[start : start + MOST_THINGS]
        yield data_file(name, {"things": [thing_data(one, links) for one in some]})
    tests = looked_for_first(all_tests(context))
    for part in parts_of(tests, lambda row: row.day, MOST_TESTS):
        name = f"tests-{part.folder or 'all'}"
        named["tests"].append(name)
        yield data_file(name, tests_data(part.rows, links, own=own))
    yield data_file("data", {"columns": COLUMNS, **named})


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
