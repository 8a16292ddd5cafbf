"""A page for each project, sample and soil class: its record, and the tests."""

from collections.abc import Iterator, Sequence
from itertools import chain

from buildsite.archive.across import repeats_note
from buildsite.archive.identity import name_of
from buildsite.kinds.sheet import Note, Plot, Sheet, Table
from buildsite.pages.field.summary import summary_table
from buildsite.pages.field.zone_references import zone_tables
from buildsite.pages.indexes.curves import (
    curve_blocks,
    curve_files,
    curve_frames,
    soil_script,
)
from buildsite.pages.indexes.families import family_table
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.record_facts import SampleLine
from buildsite.pages.indexes.split_lists import SplitLists
from buildsite.pages.indexes.two_tests import pair_link, pair_tables
from buildsite.pages.links import address
from buildsite.pages.page import File, Head, Pairs
from buildsite.pages.tables import (
    NOTHING,
    columns,
    flag_table,
    link_cell,
    list_table,
    table_row,
)


def sheet_of(context: IndexContext, file: str) -> Sheet:
    """Return the sheet of a record; for one that can't be read, only its name."""
    made = context.site.archive.outcome(file)
    if made is not None:
        return made.sheet()
    return Sheet(name_of(file), "This record can’t be read: see its flags.", ())


def files_with_page(context: IndexContext, group: str) -> Iterator[tuple[str, str]]:
    """Return the files of a group that have a page, with their ids."""
    archive = context.site.archive
    for file in archive.files(group):
        if archive.has_page(file):
            yield file, name_of(file)


def own_flags(context: IndexContext, file: str) -> list[Table]:
    """Return the flags of the record itself, if any."""
    flags = context.site.archive.flags(file)
    if not flags or context.site.options.release:
        return []
    return [flag_table(flags, "flags", "Flags of this record")]


def project_pages(context: IndexContext, file: str, id: str) -> Iterator[File]:
    """Return the page of a project: requirements, samples and tests."""
    path, sheet = address(("project", id)), sheet_of(context, file)
    lists = SplitLists(context, f"projects/{id}", Head("Project", sheet.title))
    link = field_link(context, id)
    tests = context.tests("project", id)
    curves = curve_blocks(tests)
    more = [
        *field_summary(context, id),
        *curves,
        *lists.tests(tests, ("Project",), id if link else ""),
        *family_table(context, id),
        list_of_samples(context, lists, context.records(id).samples),
        *own_flags(context, file),
    ]
    frames = curve_frames(curves)
    first = zone_tables(tests, context.by_id, context.news, sheet)
    pages = (*link, *pair_link(tests))
    yield context.sheet_page(
        path, sheet, "Project", (), more, pages, frames, first, file
    )
    yield from curve_files(context.site, ("project", id), curves)
    yield from lists.files


def field_summary(context: IndexContext, project: str) -> list[Table]:
    """Return the field control of a project in a few facts, if it has any."""
    control = context.field_control(project)
    return [summary_table(control)] if control is not None else []


def field_link(context: IndexContext, project: str) -> Pairs:
    """Return the link from a project to its field control, if it has any."""
    has = context.field_control(project) is not None
    return (("Field control", "field/index.html"),) if has else ()


def samples_in(context: IndexContext) -> Iterator[SampleLine]:
    """Return all samples, in order of their files."""
    found = (context.records(name).samples for name in context.site.archive.folders())
    return iter(sorted(chain.from_iterable(found), key=lambda one: one.file))


def sample_table(
    context: IndexContext,
    samples: Sequence[SampleLine],
    leave_out: Sequence[str] = ("Project",),
) -> Table:
    """Return samples with their soil."""
    rows = []
    for one in samples:
        cells: dict[str, object] = {
            "Sample": link_cell("sample", one.id),
            "Project": link_cell("project", one.file.split("/")[1]),
            "Soil": one.soil or NOTHING,
            "Class": link_cell("soil", one.class_),
            "Group": one.group or NOTHING,
            "Received": one.received or NOTHING,
            "Tests": len(context.tests("sample", one.id)),
        }
        kept = [cell for label, cell in cells.items() if label not in leave_out]
        rows.append(table_row(*kept))
    labels = ("Sample", "Project", "Soil", "Class", "Group", "Received", "Tests")
    heads = columns(*(label for label in labels if label not in leave_out))
    return list_table("samples", "Samples", heads, rows)


def list_of_samples(
    context: IndexContext,
    lists: SplitLists,
    samples: Sequence[SampleLine],
    leave_out: Sequence[str] = ("Project",),
) -> Table:
    """Return samples with their soil, of very many the latest received."""
    return lists.table(
        samples,
        lambda one: one.received,
        lambda some: sample_table(context, some, leave_out),
        "samples",
    )


def sample_pages(context: IndexContext, file: str, id: str) -> Iterator[File]:
    """Return the page of a sample: what was received, and every test on it."""
    sheet = sheet_of(context, file)
    curves = curve_blocks(context.tests("sample", id))
    way = [(project := file.split("/")[1], address(("project", project)))]
    if not context.site.links("").has_page(("project", project)):
        way = []
    head = Head("Sample", sheet.title)
    lists = SplitLists(context, f"samples/{id}", head, tuple(way))
    tests = lists.tests(context.tests("sample", id), ("Project", "Sample", "Soil"))
    more: list[Table | Plot | Note] = [
        *curves,
        *tests,
        *pair_tables(context.tests("sample", id)),
        *repeats_note(repeat_notes(context, id)),
    ]
    more += own_flags(context, file)
    path = address(("sample", id))
    frames = curve_frames(curves)
    yield context.sheet_page(path, sheet, "Sample", way, more, frames=frames, of=file)
    yield from curve_files(context.site, ("sample", id), curves)
    yield from soil_script(("sample", id), context.tests("sample", id))
    yield from lists.files


def repeat_notes(context: IndexContext, sample: str) -> tuple[str, ...]:
    """Return how repeat tests of a sample compare, each pair once."""
    tests = context.tests("sample", sample)
    return tuple(dict.fromkeys(words for row in tests for words in row.repeats))
