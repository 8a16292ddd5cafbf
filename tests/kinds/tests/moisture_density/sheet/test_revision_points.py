"""Points of two revisions side by side: what moved, what came, what was rejected."""

from typing import Any

from buildsite.kinds.sheet import Table
from buildsite.kinds.tests.moisture_density.sheet.revision_points import compare_points
from buildsite.standards.tables import find

KG = 16.01846337
"""1 lb/ft³ in kg/m³: 0.45359237 kg over (0.3048 m)³, NIST SP 811 (2008), B.8."""


def point(water: float, density: float, *, rejected: bool = False) -> dict[str, Any]:
    """A point as kept, its density given in lb/ft³."""
    return {
        "water_content": water,
        "dry_density": density * KG,
        "rejected": rejected,
    }


def compared(
    old: list[dict[str, Any]],
    new: list[dict[str, Any]],
    units: tuple[str, str] = ("lb/ft3", "lb/ft3"),
    standard: str = "AASHTO T 99",
) -> Table | None:
    kept = [
        {"points": points, "curve": {"density_unit": unit}}
        for points, unit in zip((old, new), units, strict=True)
    ]
    method = find(standard, "A", "none", "22")
    return compare_points(("r0", kept[0]), ("r1", kept[1]), method)


def texts(table: Table | None) -> list[list[str]]:
    assert table is not None
    return [[cell.text for cell in row.cells] for row in table.rows]


OLD = [point(11, 106), point(13, 109), point(15, 110)]


def test_each_point_has_both_values_and_their_difference() -> None:
    table = compared(OLD, [OLD[0], point(13.2, 108.5), point(15, 109.3)])

    # 13.2 − 13.0 = 0.2 points; 108.5 − 109.0 = −0.5 and 109.3 − 110.0 = −0.7 lb/ft³.
    assert texts(table) == [
        ["1", "11.0", "11.0", "—", "106.0", "106.0", "—"],
        ["2", "13.0", "13.2", "+0.2", "109.0", "108.5", "−0.5"],
        ["3", "15.0", "15.0", "—", "110.0", "109.3", "−0.7"],
    ]
    assert table is not None
    assert [(one.label, one.unit) for one in table.columns] == [
        ("Point", ""),
        ("Moisture content ○\u00a0r0", "%"),
        ("Moisture content ●\u00a0r1", "%"),
        ("Difference", "points"),
        ("Dry density ○\u00a0r0", "lb/ft³"),
        ("Dry density ●\u00a0r1", "lb/ft³"),
        ("Difference", "lb/ft³"),
    ]
    assert [row.point for row in table.rows] == [1, 2, 3]


def test_points_that_are_all_the_same_need_no_table() -> None:
    assert compared(OLD, [*OLD]) is None
    assert compared([], []) is None


def test_a_point_that_came_or_went_stands_alone() -> None:
    table = compared(OLD, [*OLD, point(17, 107)])
    assert texts(table)[3] == ["4", "—", "17.0", "—", "—", "107.0", "—"]

    table = compared(OLD, OLD[:2])
    assert texts(table)[2] == ["3", "15.0", "—", "—", "110.0", "—", "—"]
    assert table is not None
    assert table.rows[2].point == 0  # there is no such point on the figure


def test_a_point_that_is_now_rejected_is_told() -> None:
    table = compared(OLD, [*OLD[:2], point(15, 110, rejected=True)])

    assert table is not None
    assert table.note == "Point 3 is rejected in r1, not in r0."
    assert [row.mark for row in table.rows] == ["", "", "rejected"]


def test_both_are_in_the_unit_of_the_later_report() -> None:
    table = compared(OLD, [*OLD[:2], point(15, 109)], ("lb/ft3", "kN/m3"), "ASTM D698")

    # 110 lb/ft³ · 16.01846337 · 9.80665/1000 = 17.28 kN/m³; 109 lb/ft³: 17.12.
    assert texts(table)[2][4:] == ["17.28", "17.12", "−0.16"]
    assert table is not None
    assert table.columns[4].label == "Dry unit weight ○\u00a0r0"
