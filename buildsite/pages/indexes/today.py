"""The page of what is to be done. It reads no clock: dates, never what is overdue."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from buildsite.archive.task import TITLES, Task
from buildsite.archive.today import with_tests
from buildsite.kinds.sheet import Cell, Column, Note, Table
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.page import File, Head
from buildsite.pages.tables import NOTHING, link_cell, list_table, table_row

TODAY = ("Today", "today/index.html")

FIRST = 15
"""Lines of the lists by date: the page has no day by which to end them."""

DATED = {
    "due": "The first by date; all are on the page of next calibrations.",
    "retention": "The first by date.",
}
"""Lists by date, and what is said where they are cut."""

CLOCK = Note(
    "clock",
    "About this page",
    (
        "It is made of the records and reads no clock: it states dates, and not what "
        "is overdue. `buildsite today` does, for any day.",
    ),
)


def today_page(context: IndexContext) -> File:
    """Return the page of what is to be done, list by list."""
    of_tests = (task for row in context.rows for task in row.tasks)
    wrong = ((row.id, row.wrong) for row in context.rows if row.wrong)
    found = with_tests(context.site.archive, None, of_tests, wrong)
    waiting = sum(task.list not in DATED for task in found)
    label, path = TODAY
    head = Head(
        "Laboratory", label, f"{waiting} waiting, each with its next step", facts=()
    )
    return context.page(path, head, [*tables(found), CLOCK])


def tables(found: Sequence[Task]) -> Iterator[Table]:
    """Return a table for each list that is not empty."""
    for name, group in groupby(found, key=lambda task: task.list):
        listed = list(group)
        shown = listed[:FIRST] if name in DATED else listed
        table = task_table(name, shown)
        if len(shown) < len(listed):
            table = replace(table, note=f"{len(listed)} in all. {DATED[name]}")
        yield table


def task_table(name: str, listed: Sequence[Task]) -> Table:
    """Return one list."""
    of_project = any(task.project for task in listed)
    heads = [Column(HEADS.get(listed[0].group, "No."))]
    heads += [Column("Project")] if of_project else []
    heads += [Column("State"), Column("Next step")]
    rows = []
    for task in listed:
        cells: list[Cell] = [link_cell(task.group, task.id)]
        if of_project:
            project = task.project
            cells.append(link_cell("project", project) if project else Cell(NOTHING))
        cells += [Cell(task.what), Cell(task.step, command=True)]
        rows.append(table_row(*cells))
    return list_table(name, TITLES[name], heads, rows)


HEADS = {"test": "Test", "sample": "Sample", "equipment": "Equipment"}
