"""Index pages: overview, equipment, due dates, flags, staff."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import partial
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.due_dates import describe_equipment, falling_due
from buildsite.archive.identity import name_of
from buildsite.kinds.equipment.calibrations import series_of
from buildsite.kinds.equipment.due import dues
from buildsite.kinds.equipment.uses import specimens_since
from buildsite.kinds.sheet import Cell, Note, Table
from buildsite.pages.field.field_page import in_short
from buildsite.pages.field.summary import lifts_in_words
from buildsite.pages.indexes.all_tests import FIND, all_tests, table_of
from buildsite.pages.indexes.flag_lists import list_of_flags
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.news import news_table
from buildsite.pages.indexes.split_lists import SplitLists
from buildsite.pages.links import HOME
from buildsite.pages.page import File, Head
from buildsite.pages.tables import (
    NOTHING,
    columns,
    facts_table,
    link_cell,
    list_table,
    table_row,
)
from buildsite.record.flags import Severity

IN_HAND = ("Report in hand", "report-in-hand/index.html")
BY_EYE = (
    ("All tests", "tests/index.html"),
    ("Index from A to Z", "search/index.html"),
)
"""Where the search of the first page leads somebody without scripts."""
STAFF = ("Staff", "staff/index.html")
EQUIPMENT = ("Equipment", "equipment/index.html")
LATEST, LATEST_NEWS = 10, 5
"""Number of tests, and of issues, on the first page."""


DOUBTED = ("no-authority", "unknown-code")
"""Flags of acts without authority."""

HOW = Note(
    "how",
    "How authorizations are checked",
    (
        "Each act is checked against the person’s authorizations on that date: testing "
        "needs “test”, a review “review”, a departure or an issue “authorize”.",
        "Staff who have left stay in the table with an “until” date, because old tests "
        "still name them.",
    ),
)


def counts(context: IndexContext) -> Table:
    """Return how many records and open flags there are."""
    archive = context.site.archive
    still = [flag.severity for flag in context.other_flags if not flag.accepted_by]
    facts = [
        ("Projects", len(archive.files("project"))),
        ("Samples", len(archive.files("sample"))),
        ("Tests", len(context.rows)),
        ("Equipment", len(archive.files("equipment"))),
        *(
            (label, still.count(one) + sum(row.count(one) for row in context.rows))
            for label, one in COUNTED
        ),
    ]
    stated: list[tuple[str, object]] = [(label, str(n)) for label, n in facts]
    for text in context.kept("due next", tuple[str, ...], partial(due_next, archive)):
        stated.append(("Calibration due next", link_cell("due", "due", text)))
    return facts_table("counts", "At a glance", stated, role="counts")


COUNTED = (("Open errors", Severity.ERROR), ("Open warnings", Severity.WARNING))
"""Flags counted on the first page."""


def due_next(archive: Archive) -> tuple[str, ...]:
    """Return the equipment that is due next, and when; none if there is none."""
    return tuple(
        f"{' '.join([item.piece.record.id, *filter(None, [item.due.words])])}, "
        f"{item.due.on or item.due.why}"
        for item in falling_due(archive)[:1]
    )


def project_table(context: IndexContext) -> Table:
    """Return every project, with its samples and tests."""
    tests: dict[str, list[date | None]] = {}
    for test in context.rows:
        tests.setdefault(test.project, []).append(test.day)
    rows = []
    for file in context.site.archive.files("project"):
        id, found = name_of(file), context.records(name_of(file))
        about, days = found.project, tests.get(id, [])
        last = max((str(day) for day in days if day), default=NOTHING)
        read = about is not None and about.read
        rows.append(
            table_row(
                link_cell("project", id),
                about.name if about is not None and read else "unreadable",
                about.customer if about is not None and read else NOTHING,
                len(found.samples),
                len(days),
                last,
                *field_cells(context, id),
            )
        )
    heads = columns(
        "Project",
        "Name",
        "Customer",
        "Samples",
        "Tests",
        "Last tested",
        *field_heads(context),
        numbers=["Samples", "Tests"],
    )
    return list_table("projects", "Projects", heads, rows)


def field_heads(context: IndexContext) -> tuple[str, ...]:
    """Return the heading of field control, where a project has any."""
    return ("Lifts",) if context.has_field_control else ()


def field_cells(context: IndexContext, project: str) -> tuple[Cell, ...]:
    """Return where the lifts of a project stand, with a link."""
    if not context.has_field_control:
        return ()
    for words in lifts_of(context, project):
        return (link_cell("field", project, words),)
    return (Cell(NOTHING),)


def lifts_of(context: IndexContext, project: str) -> tuple[str, ...]:
    """Return where the lifts of a project stand, in words; none without field tests."""

    def make() -> tuple[str, ...]:
        control = context.field_control(project)
        return (lifts_in_words(control),) if control is not None else ()

    return context.kept(f"lifts {project}", tuple[str, ...], make)


def latest(context: IndexContext) -> Table:
    """Return the latest tests."""
    tests = all_tests(context)
    table = table_of(context.lists.among(tests[:LATEST]), own=True)
    every = (Cell(f"All {len(tests)} tests", ("page", "tests")),)
    return replace(table, title="Latest tests", parts=every)


def issues(context: IndexContext) -> Iterator[Table]:
    """Return the latest issues and amendments, if there are any."""
    if context.news:
        shown = [in_short(one) for one in context.news[:LATEST_NEWS]]
        table = news_table("news", "Latest issues", shown)
        every = (Cell("All issues and amendments", ("page", "changes")),)
        yield replace(table, parts=every)


def home(context: IndexContext) -> File:
    """Return the first page: the laboratory, its projects, its latest tests."""
    site = context.site
    place = site.lab.place if site.lab is not None else "lab.yaml could not be read"
    title = "Soil tests"
    head = Head(
        "Overview", title, f"{site.name}, {place}", pages=(IN_HAND, *BY_EYE, STAFF)
    )
    blocks: list[Table | Note] = [
        FIND,
        counts(context),
        *issues(context),
        project_table(context),
        latest(context),
    ]
    return context.page(HOME, head, blocks)


def next_due(record: Any) -> str:
    """Return when equipment falls due next; of several series, which it is."""
    if len(series_of(record)) > 1:
        first = min(dues(record), key=lambda one: str(one.on or ""), default=None)
        return f"{first.on or 'never'}, {first.words}" if first else NOTHING
    last = max(record.calibrations, key=lambda one: one.on)
    return str(last.next_due or NOTHING)


def equipment_list(context: IndexContext) -> File:
    """Return the list of equipment, with the last calibration and the tests."""
    archive, used = context.site.archive, dict[str, int]()
    for row in context.rows:
        for id in sorted({id for id, *_ in row.relies}):
            used[id] = used.get(id, 0) + 1
    still = Counter(flag.file for flag in context.other_flags if not flag.accepted_by)
    rows = []
    for file in archive.files("equipment"):
        id, made = name_of(file), archive.outcome(file)
        record = made.case.record if made is not None else None
        dates = record.calibrations if record is not None else ()
        last = max(dates, key=lambda one: one.on, default=None)
        rows.append(
            table_row(
                link_cell("equipment", id),
                made.kind.title if made is not None else "unreadable",
                describe_equipment(record),
                str(last.on) if last is not None else NOTHING,
                next_due(record) if last is not None else NOTHING,
                used.get(id, 0),
                still[file],
            )
        )
    heads = columns(
        "No.",
        "Equipment",
        "Description",
        "Last calibrated",
        "Next due",
        "Tests that used it",
        "Open flags",
        numbers=["Tests that used it", "Open flags"],
    )
    table = list_table("equipment", "All equipment", heads, rows)
    head = Head(
        "Laboratory",
        "Equipment",
        "Calibrations, and the tests that used each",
        facts=(("Next calibrations", "by due date", "../due/index.html"),),
    )
    return context.page(EQUIPMENT[1], head, [table])


def due_list(context: IndexContext) -> File:
    """Return the page of due dates, in order."""
    archive = context.site.archive
    rows = []
    for item in falling_due(archive):
        record = item.piece.record
        made = specimens_since(record.calibrations, context.uses(record.id))
        rows.append(
            table_row(
                item.due.on or "never calibrated",
                link_cell("equipment", record.id),
                item.piece.kind.title,
                item.due.words or describe_equipment(record),
                item.due.last or NOTHING,
                str(made) if made else NOTHING,
                item.due.why,
            )
        )
    heads = columns(
        "Due",
        "No.",
        "Equipment",
        "Description",
        "Last calibrated",
        "Specimens since",
        "Source",
        numbers=["Specimens since"],
    )
    table = list_table("due", "By due date", heads, rows)
    head = Head("Laboratory", "Next calibrations", "Equipment by due date")
    return context.page("due/index.html", head, [table], [EQUIPMENT])


def competence(context: IndexContext) -> Iterator[Table]:
    """Return the laboratory's staff, as its record states them."""
    archive = context.site.archive
    file = archive.find("laboratory", "lab")
    made = archive.outcome(file) if file is not None else None
    table = made.sheet().table("people") if made is not None else None
    if table is not None:
        yield replace(table, title="Roles and authorizations")


def staff_pages(context: IndexContext) -> Iterator[File]:
    """Return the page of authorizations, and open flags of acts beyond them."""
    label, path = STAFF
    rows = [row for row in context.rows if set(DOUBTED) & set(row.open_flags)]
    flags = [flag for row in context.lists.among(rows) for flag in row.flags]
    doubted = [
        flag
        for flag in (*flags, *context.other_flags)
        if flag.flag in DOUBTED and not flag.accepted_by
    ]
    head = Head("Laboratory", label, "Authorizations and dates")
    lists = SplitLists(context, "staff", head)
    blocks: list[Table | Note] = [*competence(context), HOW]
    if doubted:
        title = "Acts without authorization"
        blocks.append(list_of_flags(context, lists, doubted, "doubted", title))
    yield context.page(path, head, blocks)
    yield from lists.files
