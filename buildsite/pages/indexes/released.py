"""
Index pages for clients, made only from the rows of issued tests.

No record of a test is read: what a row does not hold can't be shown. Of a family, the
curves of its issued members are shown, as issued.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date

from buildsite.kinds.sheet import Sheet, Table
from buildsite.pages.field.zone_references import zone_tables
from buildsite.pages.indexes.all_tests import FIND
from buildsite.pages.indexes.curves import (
    curve_blocks,
    curve_files,
    curve_frames,
    soil_script,
)
from buildsite.pages.indexes.families import families, family_table
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.overview import (
    BY_EYE,
    IN_HAND,
    field_cells,
    field_heads,
    issues,
)
from buildsite.pages.indexes.records import field_link, field_summary
from buildsite.pages.indexes.split_lists import SplitLists
from buildsite.pages.indexes.two_tests import pair_link, pair_tables
from buildsite.pages.links import HOME, address, soil_folder
from buildsite.pages.page import File, Head
from buildsite.pages.rows import Row
from buildsite.pages.tables import (
    NOTHING,
    columns,
    link_cell,
    list_table,
    table_row,
)

SOILS = ("Soils", "soils/index.html")


def released_pages(context: IndexContext) -> Iterator[File]:
    """Return every index page of the released projects."""
    yield home(context)
    for project in ids(context, "project"):
        yield from project_pages(context, project)
        yield from families(context, project)
    yield from soils(context)
    for sample in ids(context, "sample"):
        yield from sample_pages(context, sample)


def ids(context: IndexContext, by: str) -> list[str]:
    """Return the ids of projects or samples that issued tests name."""
    return sorted({getattr(row, by) for row in context.rows} - {""})


OURS = ("Flags",)
"""Columns that stay in the laboratory."""


def sheet_of(rows: Sequence[Row], what: str, id: str) -> Sheet:
    """Return a project or sample as it was when a test of it was last issued."""
    newest = sorted(rows, key=lambda row: (str(row.issued_on), row.id))
    for row in reversed(newest):
        for name, sheet in row.sheets:
            if name == what:
                return sheet
    return Sheet(id, "", ())


def home(context: IndexContext) -> File:
    """Return the first page: projects and the latest issues."""
    site = context.site
    place = site.lab.place if site.lab is not None else ""
    head = Head(
        "Overview", "Soil tests", f"{site.name}, {place}", pages=(IN_HAND, *BY_EYE)
    )
    lines = []
    for project in ids(context, "project"):
        tests = context.tests("project", project)
        last = max(str(row.issued_on) for row in tests)
        name = sheet_of(tests, "project", project).title
        cells = (link_cell("project", project), name, len(tests), last)
        lines.append(table_row(*cells, *field_cells(context, project)))
    labels = ("Project", "Name", "Tests", "Last issued", *field_heads(context))
    heads = columns(*labels, numbers=["Tests"])
    table = list_table("projects", "Projects", heads, lines)
    return context.page(HOME, head, [FIND, table, *issues(context)])


def project_pages(context: IndexContext, id: str) -> Iterator[File]:
    """Return the page of one project: requirements, curves, samples and tests."""
    tests = context.tests("project", id)
    curves = curve_blocks(tests)
    sheet = sheet_of(tests, "project", id)
    path, link = address(("project", id)), field_link(context, id)
    lists = SplitLists(context, f"projects/{id}", Head("Project", sheet.title))
    more = [
        *field_summary(context, id),
        *curves,
        *lists.tests(tests, ("Project", *OURS), id if link else ""),
        *family_table(context, id),
        list_of_samples(lists, tests),
    ]
    frames = curve_frames(curves)
    first = zone_tables(tests, context.by_id, context.news, sheet)
    pages = (*link, *pair_link(tests))
    yield context.sheet_page(path, sheet, "Project", (), more, pages, frames, first)
    yield from curve_files(context.site, ("project", id), curves)
    yield from lists.files


def list_of_samples(lists: SplitLists, tests: Sequence[Row]) -> Table:
    """Return the samples of these tests, of very many those tested last."""
    seen: dict[str, list[Row]] = {}
    for row in sorted(tests, key=lambda row: row.sample):
        if row.sample:
            seen.setdefault(row.sample, []).append(row)

    def tested(sample: str) -> date | None:
        return max((row.day for row in seen[sample] if row.day), default=None)

    def make(some: Sequence[str]) -> Table:
        return sample_table({sample: seen[sample] for sample in some})

    return lists.table(list(seen), tested, make, "samples")


def sample_table(seen: Mapping[str, Sequence[Row]]) -> Table:
    """Return samples with their soil, each by its tests."""
    lines = [
        table_row(
            link_cell("sample", sample),
            link_cell("project", rows[0].project),
            rows[0].soil_name or NOTHING,
            link_cell("soil", rows[0].soil_class),
            len(rows),
        )
        for sample, rows in seen.items()
    ]
    heads = columns("Sample", "Project", "Soil", "Class", "Tests", numbers=["Tests"])
    return list_table("samples", "Samples", heads, lines)


def sample_pages(context: IndexContext, id: str) -> Iterator[File]:
    """Return the page of one sample: what was received, and its issued tests."""
    tests = context.tests("sample", id)
    curves = curve_blocks(tests)
    sheet = sheet_of(tests, "sample", id)
    way = [(tests[0].project, address(("project", tests[0].project)))]
    head = Head("Sample", sheet.title)
    lists = SplitLists(context, f"samples/{id}", head, tuple(way))
    more = [*curves, *lists.tests(tests, ("Project", "Sample", "Soil", *OURS))]
    more += pair_tables(tests)
    path, frames = address(("sample", id)), curve_frames(curves)
    yield context.sheet_page(path, sheet, "Sample", way, more, frames=frames)
    yield from curve_files(context.site, ("sample", id), curves)
    yield from soil_script(("sample", id), tests)
    yield from lists.files


def soils(context: IndexContext) -> Iterator[File]:
    """Return the list of soil classes, and a page for each."""
    classes: dict[str, list[Row]] = {}
    for row in sorted(context.rows, key=lambda row: row.id):
        if row.soil_class:
            classes.setdefault(soil_folder(row.soil_class), []).append(row)
    lines = [
        table_row(link_cell("soil", name), len(classes[name]))
        for name in sorted(classes)
    ]
    heads = columns("Class", "Tests", numbers=["Tests"])
    head = Head("Laboratory", "Soils", "By soil class, all projects")
    yield context.page(SOILS[1], head, [list_table("classes", "Classes", heads, lines)])
    for name in sorted(classes):
        about = Head("Soil class", name, "Every issued test of this class")
        lists = SplitLists(context, f"soils/{name}", about, (SOILS,))
        blocks = [
            *lists.tests(classes[name], ("Soil", *OURS)),
            list_of_samples(lists, classes[name]),
        ]
        about = replace(about, pages=pair_link(classes[name]))
        yield context.page(address(("soil", name)), about, blocks, (SOILS,))
        yield from soil_script(("soil", name), classes[name])
        yield from lists.files
