"""The page to search the site by: a field for the script, and an index to be read."""

from buildsite.kinds.sheet import Cell
from buildsite.pages.indexes.all_tests import FIND
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.things import index_of, things
from buildsite.pages.page import File, Head
from buildsite.pages.tables import NOTHING, columns, list_table, table_row

SEARCH = ("Search", "search/index.html")

MOST = 600
"""Entries of the index with which samples are still listed."""


def search_page(context: IndexContext) -> File:
    """Return the page: without a script, the index from A to Z is what there is."""
    rows = [
        table_row(Cell(one.name, one.to), one.what, one.about or NOTHING)
        for one in index_of(things(context), MOST)
    ]
    heads = columns("Name", "What", "About")
    label, path = SEARCH
    subtitle = "Everything on this site by its name; single tests are on their own list"
    head = Head(
        "Overview",
        label,
        subtitle,
        pages=(
            ("All tests", "../tests/index.html"),
            ("Checks", "../checks/index.html"),
        ),
    )
    table = list_table("index", "Index from A to Z", heads, rows)
    return context.page(path, head, [FIND, table])
