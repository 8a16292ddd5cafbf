"""Lifts with their state, and the numbers of each zone."""

from collections.abc import Mapping

from buildsite.archive.field_statistics import ZoneNumbers, in_zones, numbers_of
from buildsite.archive.field_tests import FieldControl
from buildsite.archive.lifts import FAILED, MET, OPEN, Lift
from buildsite.kinds.follows import Follow
from buildsite.kinds.reporting import to_places
from buildsite.kinds.sheet import Cell, Row, Table
from buildsite.pages.field.summary import counted, lift_name, lift_state
from buildsite.pages.field.table_of_tests import reference_cell
from buildsite.pages.tables import NOTHING, columns, list_table, table_row

MARKS = {FAILED: "error", OPEN: "warning", MET: "note"}
"""Marks of rows that need an act."""

HOW = (
    "Made, of those required: places tested for acceptance. Met: places that pass, by "
    "the first test or by a retest after rework at the same place. A lift is accepted "
    "only by a dated act of the engineer of record."
)


Waiting = Mapping[str, Follow | None]
"""Tests to judge again, by id, and what becomes of each verdict where it is known."""

MOST_REFERENCES = 3
"""References told of a lift: of a large one every test may have its own."""


def lift_table(control: FieldControl, waiting: Waiting) -> Table:
    """Return every lift, those to act on first: failing ones, then what waits."""
    acted = sorted(control.lifts, key=lambda lift: not acts_first(lift, waiting))
    heads = columns("Lift", "Tests", "State", "Last test", "Judged by")
    rows = tuple(lift_row(lift, waiting) for lift in acted)
    return Table("lifts", "Lifts", heads, rows, role="list lifts", note=HOW)


def acts_first(lift: Lift, waiting: Waiting) -> bool:
    """Whether a lift fails, or has tests that are to be judged again."""
    return lift.state == FAILED or any(test.id in waiting for test in lift.tests)


def lift_row(lift: Lift, waiting: Waiting) -> Row:
    """Return one lift."""
    days = [test.tested_on for test in lift.tests if test.tested_on is not None]
    paper, name = lift.acceptance, lift_name(lift.zone, lift.lift)
    again = again_text(lift, waiting)
    state = ". ".join(filter(None, (lift_state(lift), again)))
    return table_row(
        name[:1].upper() + name[1:],
        tests_of(lift),
        Cell(state, ("test", paper.id) if paper is not None else None),
        max(days) if days else NOTHING,
        judged_by(lift),
        mark=MARKS.get(lift.state, "warning" if again else ""),
    )


def again_text(lift: Lift, waiting: Waiting) -> str:
    """Return how many of its tests are to be judged again, and which would turn."""
    again = {test.id: waiting[test.id] for test in lift.tests if test.id in waiting}
    if not again:
        return ""
    turned = [
        f"{id} {follow.verdicts}"
        for id, follow in again.items()
        if follow is not None and follow.flipped
    ]
    number = f"To judge again: {counted(len(again), 'test')}"
    return f"{number}, {', '.join(turned)}" if turned else number


def judged_by(lift: Lift) -> Cell | str:
    """Return the references of its tests, each with its revision; one alone a link."""
    named = {test.judged_by: test for test in lift.counted if test.judged_by}
    if len(named) == 1:
        return reference_cell(*named.values())
    told = list(named)[:MOST_REFERENCES]
    rest = len(named) - len(told)
    return ", ".join(told) + (f" and {rest} more" if rest else "") or NOTHING


def tests_of(lift: Lift) -> str:
    """Return the tests of a lift: made, required, met."""
    asked = f" of {lift.required}" if lift.required is not None else ""
    return f"{lift.made}{asked} made, {lift.met} met"


def number_table(control: FieldControl) -> Table:
    """Return the numbers of each zone."""
    zones = in_zones(control.counted)
    windows = sorted({numbers_of(zone, tests).window for zone, tests in zones.items()})
    last = " or ".join(map(str, windows))
    labels = (
        "Zone",
        "Failing, of first tests",
        "Retests",
        "No verdict",
        "Least, %",
        "Mean, %",
        f"Mean of last {last}, %",
    )
    rows = [number_row(numbers_of(zone, tests)) for zone, tests in zones.items()]
    heads = columns(*labels, numbers=labels[2:])
    table = list_table("numbers", "Percent compaction by zone", heads, rows)
    return Table(
        table.name, table.title, table.columns, table.rows, role="list", note=NUMBERS
    )


NUMBERS = (
    "Of first tests for acceptance; retests are counted apart. A mean needs three "
    "tests, a share in percent twenty. Tests are few and their places are chosen, so "
    "no spread or confidence is stated."
)


def number_row(one: ZoneNumbers) -> Row:
    """Return the numbers of one zone."""
    return table_row(
        one.zone or NOTHING,
        one.share,
        one.retests,
        one.without,
        to_places(one.least, 1),
        to_places(one.mean, 1),
        to_places(one.last, 1),
    )
