"""Limits of equipment, what was found of it over time, and when it falls due."""

from datetime import date

import pytest

from buildsite.kinds.equipment.calibrations import Due, due, months_later
from buildsite.kinds.equipment.tolerances import (
    MoldMeasures,
    RammerMeasures,
    check_mold,
    check_rammer,
)
from buildsite.kinds.sheet import Plot
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

    assert rammer("ASTM D698", near) == {"radius of the sector": "within"}
    assert rammer("ASTM D698", off) == {"radius of the sector": "outside"}


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


BALANCE = (
    "kind: balance\nid: T-1\nreadability: {readability}\n"
    "calibrations: [{{on: 2026-01-12, "
    "check_masses: [{{mass: {mass}, read: {read}}}]}}]\n"
)


@pytest.mark.parametrize(
    ("readability", "mass", "read", "flags"),
    [
        # AASHTO M 231 (from memory): twice the readability, or 0.1 % of the load
        ("0.1", "100", "100.2", 0),
        ("0.1", "100", "100.3", 1),
        ("0.1", "500", "499.5", 0),
        ("0.1", "500", "499.4", 1),
        ("1", "500", "502", 0),
        ("1", "500", "503", 1),
    ],
)
def test_a_balance_on_its_check_masses(
    readability: str, mass: str, read: str, flags: int
) -> None:
    text = BALANCE.format(readability=readability, mass=mass, read=read)

    assert [flag.flag for flag in made(text).flags] == ["balance-off"] * flags


def test_a_largest_error_is_judged_by_the_capacity_where_that_is_stated() -> None:
    text = "kind: balance\nid: T-1\nreadability: 1\n{}calibrations: [{}]\n"
    error = "{on: 2026-01-12, largest_error: 21}"

    flags = made(text.format("capacity: 20000\n", error)).flags

    assert [flag.flag for flag in flags] == ["balance-off"]
    assert made(text.format("", error)).flags == ()


def test_a_mechanical_rammer_is_compared_soil_by_soil() -> None:
    outcome = made(
        "kind: rammer\nid: T-1\noperation: mechanical\nunits: {density: lb/ft3}\n"
        "calibrations: [{on: 2026-01-13, comparison: {hand_rammer: R-1, soils: "
        "[{soil: A, by_hand: 120.0, mechanical: 121.2}, "
        "{by_hand: 100.0, mechanical: 102.0}]}}]\n"
    )

    assert outcome.flags == ()  # +1.0 and +2.0 %: 1.5 % in the mean
    table = outcome.sheet().table("comparison")
    assert table is not None
    assert [cell.text for cell in table.rows[0].cells] == [
        "2026-01-13",
        "R-1",
        "A",
        "120.0",
        "121.2",
        "+1.0",
    ]
    calibrations = outcome.sheet().table("calibrations")
    assert calibrations is not None
    found = calibrations.rows[0].cells[4].text
    assert found == "compacts +1.5 % against the hand rammer"


def figure(*calibrations: str) -> Plot:
    text = "kind: mold\nid: T-1\nnominal: 4 in\ncalibrations:\n"
    lines = "".join(f"  - {{{one}}}\n" for one in calibrations)
    (plot,) = [b for b in made(text + lines).sheet().blocks if isinstance(b, Plot)]
    return plot


def test_volumes_over_time_are_a_step_from_one_calibration_to_the_next() -> None:
    plot = figure("on: 2025-01-01, volume: 945", "on: 2024-01-01, volume: 943")

    assert plot.lines[0].x == (2024.0, 2025.0, 2025.0, plot.x.high)
    assert plot.lines[0].y == (943.0, 943.0, 945.0, 945.0)
    assert plot.x.low <= 2024.0
    assert plot.x.high > 2025.0
    assert plot.y.low < 943.0
    assert plot.y.high > 945.0
    assert "943.0 cm³ from 2024-01-01; 945.0 cm³ from 2025-01-01" in plot.alt


def test_each_way_of_measuring_has_its_own_mark() -> None:
    # 942.3 g of water at 20 °C: 943.993 cm³ (CRC Handbook: 0.998207 g/cm³); a diameter
    # of 101.6 mm over 116.4 mm: π / 4 × 101.6² × 116.4 = 943.695 cm³.
    plot = figure(
        "on: 2026-07-02, water: {empty_with_plates: 3110.2, full_with_plates: 4052.5, "
        "temperature_c: 20}, dimensions: {diameters: [101.6, 101.6], heights: [116.4]}"
    )

    assert [(dot.kind, round(dot.y, 1)) for dot in plot.dots] == [
        ("point", 944.0),
        ("second", 943.7),
    ]


@pytest.mark.parametrize("volumes", [("943", "943"), ("1", "9999999"), ("943", "944")])
@pytest.mark.parametrize(
    "days", [("2026-12-31", "2026-12-31"), ("1926-01-01", "2026-12-31")]
)
def test_axes_have_few_round_ticks_whatever_was_written(
    volumes: tuple[str, str], days: tuple[str, str]
) -> None:
    plot = figure(
        *(f"on: {d}, volume: {v}" for d, v in zip(days, volumes, strict=True))
    )

    for axis in (plot.x, plot.y):
        assert 1 <= (axis.high - axis.low) / axis.step <= 12
    assert all(plot.x.low <= x <= plot.x.high for x in plot.lines[0].x)
    assert all(plot.y.low <= y <= plot.y.high for y in plot.lines[0].y)


def test_a_mold_without_a_volume_has_no_figure() -> None:
    sheet = made("kind: mold\nid: T-1\nnominal: 4 in\n").sheet()

    assert not [block for block in sheet.blocks if isinstance(block, Plot)]


def falls(text: str) -> Due | None:
    return due(made(f"kind: sieve\nid: T-1\nopening: No. 4\n{text}").case.record)


def test_equipment_is_due_when_its_last_calibration_says() -> None:
    found = falls(
        "calibrations: [{on: 2026-01-15, next_due: 2026-07-15}, "
        "{on: 2025-01-15, next_due: 2030-01-15}]\n"
    )

    assert found is not None
    assert (found.on, found.last) == (date(2026, 7, 15), date(2026, 1, 15))


def test_without_a_day_it_is_due_after_a_year() -> None:
    # AASHTO R 18 (from memory)
    found = falls("calibrations: [{on: 2024-02-29}]\n")

    assert found is not None
    assert found.on == date(2025, 2, 28)
    assert "R 18" in found.why


def test_what_was_never_calibrated_is_due_and_what_is_out_of_use_is_not() -> None:
    assert falls("") == Due(None, None, "no calibration on file")
    assert falls("out_of_use: {on: 2026-01-01}\n") is None


def test_months_end_on_their_last_day() -> None:
    assert months_later(date(2026, 1, 31), 1) == date(2026, 2, 28)
    assert months_later(date(2026, 11, 30), 3) == date(2027, 2, 28)
    assert months_later(date(2026, 11, 30), 0) == date(2026, 11, 30)


def test_a_mechanical_rammer_is_set_by_what_it_compacts() -> None:
    # ASTM D2168 (from memory): its mass or drop is changed until it compacts as the
    # hand rammer does; 2470 g is outside 5.50 ± 0.02 lb of ASTM D698 (from memory).
    text = (
        "kind: rammer\nid: T-1\noperation: mechanical\n"
        "calibrations: [{{on: 2026-01-13, mass: 2470, drop: 304.8{}}}]\n"
    )
    like = ", comparison: {soils: [{by_hand: 1850, mechanical: 1860}]}"
    unlike = ", comparison: {soils: [{by_hand: 1850, mechanical: 1900}]}"

    def verdicts(more: str) -> set[str]:
        table = made(text.format(more)).sheet().table("limits")
        assert table is not None
        return {r.cells[4].text for r in table.rows if r.cells[1].text == "Mass"}

    assert verdicts(like) == {"set so, to compact as the hand rammer does"}
    assert verdicts(unlike) == {"outside: not to be used under this standard"}
    assert verdicts("") == {"outside: not to be used under this standard"}


def test_what_was_judged_is_no_longer_doubted() -> None:
    text = (
        "kind: oven\nid: T-1\ncalibrations: [{{on: 2026-01-15, set_temperature_c: 110, "
        "measured_temperatures_c: [116]{}}}]\n"
    )
    judged = ", tests_judged: {by: E02, reason: none was dried in it}"

    assert [f.flag for f in made(text.format("")).flags] == ["oven-off-its-setting"]
    assert made(text.format(judged)).flags == ()
