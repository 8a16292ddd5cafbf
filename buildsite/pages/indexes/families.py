"""A page for each family of curves, and the list of a project's families."""

from collections.abc import Iterator

from buildsite.archive.identity import name_of
from buildsite.kinds.field_answers import FamilyFacts
from buildsite.kinds.laboratory.family.sheet import issued_sheet
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Plot, Table
from buildsite.pages.figure.names import figure_name
from buildsite.pages.indexes.curves import curve_frames
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.links import address
from buildsite.pages.page import File
from buildsite.pages.report.parts import drawn_files
from buildsite.pages.rows import Row as Test
from buildsite.pages.tables import (
    NOTHING,
    columns,
    flag_table,
    link_cell,
    list_table,
    table_row,
    tables_of_tests,
)


def families_of(context: IndexContext, project: str) -> Iterator[tuple[str, Outcome]]:
    """Yield the families of a project that have a page: file and outcome."""
    archive, released = context.site.archive, context.site.released
    for file in archive.files("family"):
        if file.split("/")[1] != project or not archive.has_page(file):
            continue
        made = archive.outcome(file)
        if made is None or not isinstance(made.case.values, FamilyFacts):
            continue
        if released is None or shown_members(context, file, made).members:
            yield file, made


def shown_members(context: IndexContext, file: str, made: Outcome) -> FamilyFacts:
    """Return the members that a copy of the site shows: for clients, those issued."""
    facts: FamilyFacts = made.case.values
    released = context.site.released
    if released is None:
        return facts
    kept = released.families.get(family_id(file), ())
    return FamilyFacts(facts.id, tuple(m for m in facts.members if m.id in kept))


def family_id(file: str) -> str:
    """
    Return what a link to a family names: its project and its id.

    >>> family_id("records/heron-flats/families/embankment.yaml")
    'heron-flats/embankment'
    """
    return f"{file.split('/')[1]}/{name_of(file)}"


def family_table(context: IndexContext, project: str) -> list[Table]:
    """Return the families of a project as a list, if there are any."""
    rows, released = [], context.site.released
    for file, made in families_of(context, project):
        record, facts = made.case.record, shown_members(context, file, made)
        rows.append(
            table_row(
                link_cell("family", family_id(file), name_of(file)),
                (released is None and record.name) or NOTHING,
                len(facts.members),
            )
        )
    if not rows:
        return []
    heads = columns("Family", "Name", "Curves", numbers=["Curves"])
    return [list_table("families", "Families of curves", heads, rows)]


def families(context: IndexContext, project: str) -> Iterator[File]:
    """Return a page for each family: all curves on one figure, and who uses them."""
    site = context.site
    for file, made in families_of(context, project):
        own = site.released is None
        facts = shown_members(context, file, made)
        sheet = made.sheet() if own else issued_sheet(facts)
        more = [*tables_of_tests(users(context, file), ("Project",))]
        flags = site.archive.flags(file) if own else ()
        if flags:
            more.append(flag_table(flags, "flags", "Flags of this record"))
        way = [(project, address(("project", project)))]
        path = address(("family", family_id(file)))
        frames = curve_frames([b for b in sheet.blocks if isinstance(b, Plot)])
        yield context.sheet_page(
            path, sheet, "Family of curves", way, more, frames=frames, of=file
        )
        whose = f"{facts.id}, {project}"
        said = figure_name(sheet.subtitle, whose, site.maker)
        for name, _, data in drawn_files(path.rpartition("/")[0], sheet, name=said):
            yield name, data


def users(context: IndexContext, file: str) -> list[Test]:
    """Return the tests of the laboratory that name a family."""
    if context.site.released is not None:
        return []  # no record is read for clients
    archive, id, project = context.site.archive, name_of(file), file.split("/")[1]
    return [
        row
        for row in context.tests("project", project)
        if getattr(archive.entry(row.file).record, "family", None) == id
    ]
