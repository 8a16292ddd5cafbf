"""Lifts with their state, and the numbers of each zone."""

from buildsite.archive.field_statistics import ZoneNumbers, in_zones, numbers_of
from buildsite.archive.field_tests import FieldControl
from buildsite.archive.lifts import FAILED, MET, OPEN, Lift
from buildsite.kinds.reporting import to_places
from buildsite.kinds.sheet import Cell, Row, Table
from buildsite.pages.field.summary import lift_name, lift_state
from buildsite.pages.tables import NOTHING, columns, list_table, table_row

MARKS = {FAILED: "error", OPEN: "warning", MET: "note"}
"""Marks of rows that need an act."""

HOW = (
    "Made, of those required: places tested for acceptance. Met: places that pass, by "
    "the first test or by a retest after rework at the same place. A lift is accepted "
    "only by a dated act of the engineer of record."
)


def lift_table(control: FieldControl) -> Table:
    """Return every lift, those to act on first."""
    heads = columns("Lift", "Tests", "State", "Last test")
    rows = tuple(map(lift_row, control.lifts))
    return Table("lifts", "Lifts", heads, rows, role="list lifts", note=HOW)


def lift_row(lift: Lift) -> Row:
    """Return one lift."""
    days = [test.tested_on for test in lift.tests if test.tested_on is not None]
    paper, name = lift.acceptance, lift_name(lift.zone, lift.lift)
    return table_row(
        name[:1].upper() + name[1:],
        tests_of(lift),
        Cell(lift_state(lift), ("test", paper.id) if paper is not None else None),
        max(days) if days else NOTHING,
        mark=MARKS.get(lift.state, ""),
    )


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
