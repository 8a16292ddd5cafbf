"""A page for each project, sample and soil class: what was written, and the tests."""

from collections.abc import Iterator, Sequence

from buildsite.archive.identity import name_of
from buildsite.archive.repeats import note
from buildsite.kinds.sheet import Cell, Column, Note, Row, Sheet, Table
from buildsite.pages.indexes.index_context import Desk, File
from buildsite.pages.links import address, soil_folder
from buildsite.pages.page import Head
from buildsite.pages.rows import Row as Test
from buildsite.pages.rows import has_page
from buildsite.pages.tables import (
    columns,
    flag_table,
    link,
    listed,
    tables_of_tests,
)

SOILS = ("Soils", "soils/index.html")


def sheet_of(desk: Desk, file: str) -> Sheet:
    """What a record shows; of one that can't be read, only its name."""
    made = desk.site.archive.outcome(file)
    if made is not None:
        return made.sheet()
    return Sheet(name_of(file), "This record could not be read: see its flags.", ())


def pages(desk: Desk, group: str) -> Iterator[tuple[str, str]]:
    """Files of a group that have a page, with their id."""
    archive = desk.site.archive
    for file in archive.files(group):
        if has_page(archive.entry(file)):
            yield file, name_of(file)


def own_flags(desk: Desk, file: str) -> list[Table]:
    """Flags of the record itself, where it has any."""
    flags = desk.site.archive.flags(file)
    if not flags or desk.site.options.release:
        return []
    return [flag_table(flags, "flags", "Flags of this record")]


def projects(desk: Desk) -> Iterator[File]:
    """Each project: what it requires, its samples, soils and tests."""
    for file, id in pages(desk, "project"):
        tests = desk.tests("project", id)
        more = [
            *tables_of_tests(tests, ("Project",)),
            sample_table(desk, samples_of(desk, id)),
            *own_flags(desk, file),
        ]
        path = address(("project", id))
        yield desk.sheet(path, sheet_of(desk, file), "Project", (), more)


def samples_of(desk: Desk, project: str) -> list[str]:
    """Files of a project's samples."""
    lead = f"records/{project}/"
    return [f for f in desk.site.archive.files("sample") if f.startswith(lead)]


def sample_table(
    desk: Desk, files: Sequence[str], leave_out: Sequence[str] = ("Project",)
) -> Table:
    """Samples with their soil."""
    rows = []
    for file in files:
        made, id = desk.site.archive.outcome(file), name_of(file)
        record = made.case.record if made is not None else None
        soil = getattr(record, "soil", None)
        received = getattr(record, "received", None)
        cells = {
            "Sample": link("sample", id),
            "Project": link("project", file.split("/")[1]),
            "Soil": Cell((soil.name if soil else None) or "—"),
            "Class": link("soil", (soil.class_ if soil else None) or ""),
            "Group": Cell((soil.group if soil else None) or "—"),
            "Received": Cell(str((received.on if received else None) or "—")),
            "Tests": Cell(str(len(desk.tests("sample", id)))),
        }
        kept = [cell for label, cell in cells.items() if label not in leave_out]
        rows.append(Row(tuple(kept)))
    labels = ("Sample", "Project", "Soil", "Class", "Group", "Received", "Tests")
    heads = columns(*(label for label in labels if label not in leave_out))
    return listed("samples", "Samples", heads, rows)


def samples(desk: Desk) -> Iterator[File]:
    """Each sample: what was received, and every test on it."""
    for file, id in pages(desk, "sample"):
        tests = tables_of_tests(desk.tests("sample", id), ("Project", "Sample", "Soil"))
        more: list[Table | Note] = [*tests, *note(words_of(desk, id))]
        more += own_flags(desk, file)
        way = [(project := file.split("/")[1], address(("project", project)))]
        if not desk.site.links("").there(("project", project)):
            way = []
        path = address(("sample", id))
        yield desk.sheet(path, sheet_of(desk, file), "Sample", way, more)


def words_of(desk: Desk, sample: str) -> tuple[str, ...]:
    """How repeat tests of a sample compare, each pair once."""
    tests = desk.tests("sample", sample)
    return tuple(dict.fromkeys(words for row in tests for words in row.repeats))


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
    yield desk.page(SOILS[1], head, blocks)
    for name, found in tests.items():
        blocks = [
            *tables_of_tests(found, ("Soil",)),
            sample_table(desk, classes[name], ("Class",)),
        ]
        head = Head("Soil class", name, "Every sample and test of this class")
        yield desk.page(address(("soil", name)), head, blocks, (SOILS,))
