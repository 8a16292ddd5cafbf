"""A page for each soil class, over all projects, and the list of them."""

from collections.abc import Iterator

from buildsite.kinds.sheet import Cell, Column, Row
from buildsite.pages.indexes.index_context import Desk, File
from buildsite.pages.indexes.lists import columns, link, listed, tables_of_tests
from buildsite.pages.indexes.records import sample_table
from buildsite.pages.links import address, soil_folder
from buildsite.pages.page import Head
from buildsite.pages.rows import Row as Test

LIST = ("Soils", "soils/index.html")


def by_class(desk: Desk) -> dict[str, list[str]]:
    """Files of samples by the folder of their class; "" holds those without one."""
    archive = desk.site.archive
    found: dict[str, list[str]] = {}
    for file in archive.files("sample"):
        made = archive.outcome(file)
        soil = made.case.record.soil if made is not None else None
        name = soil.class_ if soil is not None else None
        found.setdefault(soil_folder(name) if name else "", []).append(file)
    return dict(sorted(found.items()))


def soils(desk: Desk) -> Iterator[File]:
    """The list of classes, and a page for each."""
    classes = by_class(desk)
    tests: dict[str, list[Test]] = {name: [] for name in classes if name}
    for row in desk.rows:
        if row.soil_class:
            tests[soil_folder(row.soil_class)].append(row)
    rows = [
        Row(
            (
                link("soil", name),
                Cell(str(len(classes[name]))),
                Cell(str(len(tests[name]))),
            )
        )
        for name in tests
    ]
    heads = (
        *columns("Class"),
        Column("Samples", number=True),
        Column("Tests", number=True),
    )
    blocks = [listed("classes", "Classes", heads, rows)]
    if "" in classes:
        table = sample_table(desk, classes[""], ("Class",))
        blocks.append(
            listed("unclassified", "Samples without a class", table.columns, table.rows)
        )
    head = Head("Laboratory", "Soils", "By soil class, over all projects")
    yield desk.page(LIST[1], head, blocks)
    for name, found in tests.items():
        blocks = [
            *tables_of_tests(found, ("Soil",)),
            sample_table(desk, classes[name], ("Class",)),
        ]
        head = Head("Soil class", name, "Every sample and test of this class")
        yield desk.page(address(("soil", name)), head, blocks, (LIST,))
