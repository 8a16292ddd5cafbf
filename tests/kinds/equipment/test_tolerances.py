"""Molds and rammers against the limits of the standards."""

import pytest

from buildsite.kinds.equipment.tolerances import (
    MoldMeasures,
    RammerMeasures,
    check_mold,
    check_rammer,
)
from buildsite.standards.tables import find
from tests.kinds.making import made

INCH, FOOT, POUND = 0.0254, 0.3048, 0.45359237  # exact by definition: m, m, kg


def rammer(designation: str, found: RammerMeasures) -> dict[str, str]:
    method = find(designation, "D" if designation.startswith("AASHTO") else "C")
    assert method is not None
    return {held.what: held.verdict for held in check_rammer(found, method)}


@pytest.mark.parametrize(
    ("face", "t99", "d698"),
    [
        # AASHTO T 99-94, 2.2.2: 2.000 ± 0.01 in. new, 1.985 in. in service. ASTM D698:
        # ± 0.005 in. new, replaced beyond 0.01 in. of wear (from memory).
        (2.000, "within", "within"),
        (1.992, "within", "worn"),
        (1.988, "worn", "outside"),
        (1.984, "outside", "outside"),
    ],
)
def test_a_face_wears_from_new_to_worn_to_outside(
    face: float, t99: str, d698: str
) -> None:
    found = RammerMeasures("round", 5.5 * POUND, 1.0 * FOOT, face * INCH, None)

    assert rammer("AASHTO T 99", found)["face"] == t99
    assert rammer("ASTM D698", found)["face"] == d698


def test_mass_and_drop_are_held_to_the_tolerance_of_each_standard() -> None:
    # AASHTO T 99-94, 2.2.2: 12 ± 0.06 in.; ASTM D698: 12 ± 0.05 in. and 5.50 ± 0.02 lb
    # (from memory)
    found = RammerMeasures("round", 5.53 * POUND, 12.055 * INCH, None, None)

    assert rammer("AASHTO T 99", found) == {"mass": "outside", "drop": "within"}
    assert rammer("ASTM D698", found) == {"mass": "outside", "drop": "outside"}


def test_a_sector_face_is_held_by_its_radius() -> None:
    # ASTM D698: 2.90 ± 0.02 in. (from memory)
    near = RammerMeasures("sector", None, None, 2.0 * INCH, 2.92 * INCH)
    off = RammerMeasures("sector", None, None, 2.0 * INCH, 2.93 * INCH)

    assert rammer("ASTM D698", near) == {"sector radius": "within"}
    assert rammer("ASTM D698", off) == {"sector radius": "outside"}


def test_the_rammer_of_another_effort_is_not_held() -> None:
    found = RammerMeasures("round", 10.0 * POUND, 18 * INCH, None, None)

    assert rammer("ASTM D698", found) == {}
    assert rammer("ASTM D1557", found) == {"mass": "within", "drop": "within"}


@pytest.mark.parametrize(
    ("diameter", "verdict"),
    # AASHTO T 99-15, 3.1.1: 4.000 ± 0.016 in.; in service half as much again (from
    # memory): 4.024 in.
    [(4.016, "within"), (4.0235, "worn"), (4.0245, "outside")],
)
def test_a_mold_in_service_may_wear_half_as_much_again(
    diameter: float, verdict: str
) -> None:
    method = find("AASHTO T 99", "A")
    assert method is not None
    found = MoldMeasures("4 in", None, diameter * INCH, None)

    assert [held.verdict for held in check_mold(found, method)] == [verdict]
    other = MoldMeasures("6 in", None, diameter * INCH, None)
    assert list(check_mold(other, method)) == []


def test_a_page_holds_the_last_calibration_against_every_standard() -> None:
    sheet = made(
        "kind: rammer\nid: T-1\noperation: manual\nunits: {mass: lb, length: in}\n"
        "calibrations: [{on: 2026-01-13, mass: 5.53, drop: 12.00}]\n"
    ).sheet()

    table = sheet.table("limits")
    assert table is not None
    rows = [[cell.text for cell in row.cells] for row in table.rows]
    assert ["ASTM D698", "Mass", "5.530 lb", "5.50 ± 0.02 lb (2.495 ± 0.009 kg)"] in [
        row[:4] for row in rows
    ]
    named = {row[0] for row in rows}
    assert named >= {"AASHTO T 99", "ASTM D698"}
    # 10 lb; 300 mm (BS 1377-4:1990, 3.3.2): other rammers
    assert not named & {"AASHTO T 180", "ASTM D1557", "BS 1377-4"}
    marked = [row.cells[1].text for row in table.rows if row.mark]
    assert set(marked) == {"Mass"}
