"""A page for each soil class: its samples and tests, of all projects."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from buildsite.kinds.sheet import Table
from buildsite.pages.indexes.curves import script_of_class
from buildsite.pages.indexes.index_context import IndexContext, Step
from buildsite.pages.indexes.record_facts import SampleLine
from buildsite.pages.indexes.records import (
    list_of_samples,
    sample_table,
    samples_in,
)
from buildsite.pages.indexes.split_lists import MOST, SplitLists, divided, single
from buildsite.pages.indexes.two_tests import pair_link
from buildsite.pages.links import address, soil_folder
from buildsite.pages.page import File, Head
from buildsite.pages.rows import Row
from buildsite.pages.tables import (
    columns,
    kinds_of_tests,
    link_cell,
    list_table,
    table_of_kind,
    table_row,
)

SOILS = ("Soils", "soils/index.html")

OF_CLASS = ("Soil",)
"""Columns that a list of one class leaves out."""


def samples_by_class(context: IndexContext) -> dict[str, list[SampleLine]]:
    """Return samples by the folder of their class, "" for none."""
    found: dict[str, list[SampleLine]] = {}
    for one in samples_in(context):
        found.setdefault(soil_folder(one.class_) if one.class_ else "", []).append(one)
    for class_ in {row.soil_class for row in context.rows} - {""}:
        found.setdefault(soil_folder(class_), [])  # issued so, and another one since
    return dict(sorted(found.items()))


def soil_list(context: IndexContext) -> Iterator[File]:
    """Return the list of soil classes."""
    classes = samples_by_class(context)
    rows = [
        table_row(
            link_cell("soil", name),
            len(classes[name]),
            len(context.tests("soil", name)),
        )
        for name in classes
        if name
    ]
    heads = columns("Class", "Samples", "Tests", numbers=["Samples", "Tests"])
    blocks = [list_table("classes", "Classes", heads, rows)]
    if "" in classes:
        table = sample_table(context, classes[""], ("Class",))
        blocks.append(
            list_table(
                "unclassified", "Samples without a class", table.columns, table.rows
            )
        )
    head = Head("Laboratory", "Soils", "By soil class, all projects")
    yield context.page(SOILS[1], head, blocks)


def soil_steps(context: IndexContext, name: str) -> Iterator[Step]:
    """Return how the page of a soil class is made, and those of a long list of it."""
    head = Head("Soil class", name, "Every sample and test of this class")
    lists = SplitLists(context, f"soils/{name}", head, (SOILS,))
    tests = context.tests("soil", name)
    tables: Callable[[], list[Table]]
    if len(tests) <= MOST:
        tables = partial(list, lists.tests(tests, OF_CLASS))
    else:
        tables = partial(all_made, [*tables_by_kind(context, name, lists)])
    yield f"soil {name}", partial(soil_pages, context, name, head, tables)
    for path, make in lists.later:
        yield path, partial(single, make)
    yield f"curves of {name}", partial(script_of_class, context, name)


def all_made(tables: Sequence[Callable[[], Table]]) -> list[Table]:
    """Make tables."""
    return [make() for make in tables]


Kinds = tuple[tuple[str, tuple[str, ...]], ...]
"""The kinds of tests in a list, and the files of each."""


def tables_by_kind(
    context: IndexContext, name: str, lists: SplitLists
) -> Iterator[Callable[[], Table]]:
    """Return how the tests of each kind are listed, in parts asked by themselves."""

    def kinds() -> Kinds:
        return tuple(
            (some[0].kind or "unreadable", tuple(row.file for row in some))
            for some in kinds_of_tests(context.tests("soil", name))
        )

    for kind, files in context.kept(f"kinds of {name}", Kinds, kinds):
        list_name = f"soils/{name}/{kind}"

        def tests(files: Sequence[str] = files) -> list[Row]:
            context.asks(f"kinds of {name}")
            wanted = {row.file: row for row in context.tests("soil", name)}
            return [wanted[file] for file in files]

        parts = divided(context, list_name, tests)
        yield lists.lay(parts, partial(table_of_part, context, list_name), kind)


def table_of_part(context: IndexContext, name: str, tests: Sequence[Row]) -> Table:
    """Return a part of the tests of a kind."""
    context.asks(f"parts of {name}")
    return table_of_kind(tests, OF_CLASS)


def soil_pages(
    context: IndexContext, name: str, head: Head, tables: Callable[[], list[Table]]
) -> Iterator[File]:
    """Return the page of a soil class: all its samples and tests."""
    lists = SplitLists(context, f"soils/{name}", head, (SOILS,))
    of_class = samples_by_class(context).get(name, [])
    context.asks(f"kinds of {name}")
    blocks = [*tables(), list_of_samples(context, lists, of_class, ("Class",))]
    head = replace(head, pages=pair_link(context.tests("soil", name)))
    yield context.page(address(("soil", name)), head, blocks, (SOILS,))
    yield from lists.files
