"""A page for each piece of equipment: its calibrations, and the tests using each."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial

from buildsite.kinds.equipment.piece import Piece
from buildsite.kinds.equipment.uses import (
    Finding,
    TestUse,
    found_wrong,
    most_specimens,
    settling,
    specimens_since,
)
from buildsite.kinds.sheet import Cell, Table
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.overview import EQUIPMENT
from buildsite.pages.indexes.records import own_flags, sheet_of
from buildsite.pages.indexes.split_lists import MOST, SplitLists
from buildsite.pages.links import address
from buildsite.pages.page import File, Head
from buildsite.pages.report.parts import drawn_files
from buildsite.pages.rows import Row
from buildsite.pages.tables import (
    NOTHING,
    columns,
    facts_table,
    link_cell,
    list_table,
    method_cell,
    table_row,
)
from buildsite.values import dataclass

NONE = ""
"""In place of the date, for a test without a calibration in force."""


Relied = dict[str, list[Row]]
"""Date of a calibration → tests that used it, the latest first."""


def tests_by_calibration(context: IndexContext, id: str) -> dict[str, Relied]:
    """Return part of a piece of equipment → tests by the calibrations they used."""
    found: dict[str, Relied] = {}
    rows = context.tests("equipment", id)
    for row in sorted(rows, key=lambda row: row.newest_first):
        for other, on, part in row.relies if row.page else ():
            if other == id:
                found.setdefault(part, {}).setdefault(on, []).append(row)
    return found


USING = ("Tests using the calibration of", "Tests with no calibration in force")
"""Titles of the tests of a calibration, before its day, and of those of none."""


@dataclass(frozen=True)
class Reliance:
    """The tests that used one calibration of equipment or of a part of it."""

    name: str
    title: str
    tests: tuple[Row, ...]

    def table(self, tests: Sequence[Row]) -> Table:
        """Return some of these tests as a table."""
        heads = columns("Test", "Tested", "Project", "Method", "Status")
        rows = [
            table_row(
                link_cell("test", test.id),
                test.day or NOTHING,
                link_cell("project", test.project),
                method_cell(test),
                test.state,
            )
            for test in tests
        ]
        return list_table(self.name, self.title, heads, rows)


def part_uses(piece: Piece, tests: Mapping[str, Relied]) -> Iterator[Reliance]:
    """Return the tests that used each part of equipment, as each bag of sand."""
    for series in piece.series:
        if series.part:
            words = f"Tests using the {series.words}"
            titles = (f"{words}, found on", f"{words}, not calibrated by then")
            for use in uses_of((), tests.get(series.part, {}), titles):
                yield replace(use, name=f"{use.name}-{series.at[1]}")


def uses_of(
    days: Sequence[str],
    relied_on: Relied,
    titles: tuple[str, str] = USING,
) -> Iterator[Reliance]:
    """Return the tests that used each calibration, the latest calibration first."""
    using, none = titles
    for day in (*sorted(set(days) | set(relied_on) - {NONE}, reverse=True), NONE):
        tests = relied_on.get(day, ())
        if not tests and day == NONE:
            continue
        title = f"{using} {day}" if day else none
        yield Reliance(f"tests-{day or 'none'}", title, tuple(tests))


def lists_of_uses(lists: SplitLists, uses: Sequence[Reliance]) -> Iterator[Table]:
    """
    Return the tests that used each calibration.

    Of very many, how many they are and from when to when; each list has a page.
    """
    if sum(len(use.tests) for use in uses) <= MOST:
        yield from (use.table(use.tests) for use in uses)
        return
    rows = []
    for use in uses:
        days = sorted(str(test.day) for test in use.tests if test.day)
        below = f"{lists.folder}/{use.name}"
        first, last = (days[0], days[-1]) if days else (NOTHING, NOTHING)
        to = ("page", below) if use.tests else None
        rows.append(table_row(Cell(use.title, to), len(use.tests), first, last))
        if use.tests:
            lists.later += pages_of_use(lists, use, below)
    heads = columns("Tests", "Number", "First", "Last", numbers=["Number"])
    yield list_table("tests", "Tests by calibration", heads, rows)


def pages_of_use(
    lists: SplitLists, use: Reliance, below: str
) -> list[tuple[str, Callable[[], File]]]:
    """Return the page of the tests that used a calibration, and those of its parts."""
    context = lists.context
    head = Head(lists.head.title, use.title, f"{len(use.tests)} tests")
    way = (*lists.crumbs, (lists.head.title, f"{lists.folder}/index.html"))
    own = SplitLists(context, below, head, way)
    table = own.table(use.tests, lambda test: test.day, use.table)
    path = f"{below}/index.html"
    return [(path, lambda: context.page(path, head, [table], way)), *own.later]


def count_table(piece: Piece, uses: Sequence[TestUse]) -> Table | None:
    """Return the specimens made since the last calibration, and the most allowed."""
    if not any(use.specimens for use in uses):
        return None
    most = most_specimens(uses)
    allowed = (
        f"{most}, {most.basis}"
        if most is not None
        else "no limit in the standards used"
    )
    since = specimens_since(piece.record.calibrations, uses)
    facts = [
        ("Specimens since last calibration", str(since)),
        ("Specimens allowed between calibrations", allowed),
        ("In all tests on file", str(sum(use.specimens for use in uses))),
    ]
    return facts_table("specimens", "Specimens made with it", facts)


def assessment(piece: Piece, one: Finding) -> str:
    """Return who assessed the tests of a finding, and the outcome."""
    by = one.look.calibration.tests_judged
    if by is not None:
        return f"Assessed by {by.by}: {by.reason}"
    return f"Not yet assessed; {settling(piece.record.id, one.look)}"


def of_part(one: Finding) -> list[str]:
    """Return the place of the part that was calibrated, for the name of a table."""
    return list(map(str, one.look.series.at[:-1]))


def finding_table(name: str, title: str, tests: Sequence[Row]) -> Table:
    """Return the tests that a finding bears on."""
    heads = columns("Test", "Tested", "Status")
    rows = [
        table_row(link_cell("test", test.id), test.day or NOTHING, test.state)
        for test in tests
    ]
    return list_table(name, title, heads, rows)


def finding_tables(
    lists: SplitLists, piece: Piece, uses: Sequence[TestUse]
) -> Iterator[Table]:
    """Return each finding, with the tests since the last good calibration."""
    for one in found_wrong(piece, uses):
        rows = lists.context.rows_of(one.tests)
        what = "; ".join(fault.words for fault in one.faults)
        asked = "; ".join(fault.required for fault in one.faults)
        since = f"since {one.since}" if one.since else "before it"
        if one.declared:
            since = "using it"
        state = one.look.calibration.state or "found"
        words = f"{one.look.series.words}, " if one.look.series.words else ""
        title = f"Out of tolerance on {one.on}: {words}{state} {what}"
        if one.declared:
            title = f"Calibration of {one.on} not valid: {words}{what}"
        who = f"Tests {since}. {assessment(piece, one)}."
        note = f"Expected: {asked}. {who if rows else 'No test on file used it.'}"
        name = "-".join(["wrong", *of_part(one), str(one.look.index + 1)])
        make = partial(finding_table, name, title)
        table = lists.table(rows, lambda test: test.day, make, name)
        yield replace(table, note=note)


def equipment_pages(context: IndexContext, file: str, id: str) -> Iterator[File]:
    """Return the page of a piece: calibrations, findings, tests that used it."""
    tests = tests_by_calibration(context, id)
    path, sheet = address(("equipment", id)), sheet_of(context, file)
    head = Head("Equipment", sheet.title)
    lists = SplitLists(context, f"equipment/{id}", head, (EQUIPMENT,))
    more: list[Table | None] = []
    days: list[str] = []
    piece = context.site.archive.entry(file).piece
    if piece is not None:
        used = context.uses(id)
        days = [str(one.on) for one in piece.record.calibrations]
        more += [count_table(piece, used)]
        more += finding_tables(lists, piece, used)
    uses = [*uses_of(days, tests.get("", {}))]
    if piece is not None:
        uses += part_uses(piece, tests)
    more += [*lists_of_uses(lists, uses), *own_flags(context, file)]
    blocks = [table for table in more if table is not None]
    yield context.sheet_page(path, sheet, "Equipment", [EQUIPMENT], blocks, of=file)
    for name, _, data in drawn_files(path.rpartition("/")[0], sheet):
        yield name, data
    yield from lists.files
