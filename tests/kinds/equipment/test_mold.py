"""A mold's volume by water, by dimensions, as certified; and which holds on a day."""

from datetime import date
from math import pi
from typing import Any

import pytest

from buildsite.kinds.answers import DeviceFacts, MoldFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.tests.moisture_density.rules.molds import is_mistaken_unit
from tests.kinds.making import kind, made

close = pytest.approx
MOLD = "kind: mold\nid: T-1\nnominal: 4 in\n"


def facts(text: str, on: date | None = None) -> MoldFacts:
    case = made(MOLD + text).case
    answer = kind("mold").answers(case, Ref(MoldFacts, ("mold",), "T-1", (), on))
    assert isinstance(answer, MoldFacts)
    return answer


def test_volume_by_water_is_its_mass_over_its_density() -> None:
    # 4052.5 - 3110.2 = 942.3 g of water at 20 °C, 0.998207 g/cm³ (CRC Handbook):
    # 943.993 cm³.
    found = facts(
        "calibrations: [{on: 2026-01-14, water: {empty_with_plates: 3110.2, "
        "full_with_plates: 4052.5, temperature_c: 20}}]\n"
    )

    assert found.volume_m3 == close(943.993e-6, rel=1e-6)
    assert found.how == "by water"


def test_volume_by_dimensions_keeps_top_and_bottom_apart() -> None:
    # Means 100 and 102 mm over 120 mm: π × 120 × 202² / 16 = π × 306 030 mm³.
    found = facts(
        "calibrations: [{on: 2026-01-14, dimensions: {"
        "diameters: [99, 100, 101, 101, 102, 103], heights: [119, 120, 121]}}]\n"
    )

    assert found.volume_m3 == close(pi * 306_030e-9, rel=1e-9)
    assert found.how == "by dimensions"
    assert found.diameter_m == close(0.101)
    assert found.height_m == close(0.120)


@pytest.mark.parametrize(
    ("units", "volume", "expected"),
    # 1/30 ft³ = 28 316.846592 cm³ / 30 (foot and inch exact by definition)
    [("cm3", "943.6", 943.6e-6), ("ft3", "0.033333333333", 943.8948864e-6)],
)
def test_a_certificate_counts_before_what_was_measured_beside_it(
    units: str, volume: str, expected: float
) -> None:
    found = facts(
        f"units: {{volume: {units}}}\n"
        f"calibrations: [{{on: 2026-01-14, volume: {volume}, water: "
        "{empty_with_plates: 3110.2, full_with_plates: 4052.5, temperature_c: 20}}]\n"
    )

    assert found.volume_m3 == close(expected, rel=1e-9)
    assert found.how == "as certified"
    assert found.volume_by_water_m3 == close(943.993e-6, rel=1e-6)


THREE = """\
calibrations:
  - {on: 2026-02-01, volume: 902, state: as found, mass: 2001, certificate: C2}
  - {on: 2026-02-01, volume: 903, state: as left, next_due: 2027-02-01}
  - {on: 2026-01-01, volume: 901}
"""


@pytest.mark.parametrize(
    ("on", "volume"),
    [
        (date(2025, 12, 31), None),
        (date(2026, 1, 1), 901),
        (date(2026, 1, 31), 901),
        (date(2026, 2, 1), 903),  # as left, which was written last
        (date(2030, 1, 1), 903),
        (None, 903),
    ],
)
def test_the_last_calibration_made_by_then_is_in_force(
    on: date | None, volume: int | None
) -> None:
    found = facts(THREE, on)

    assert found.volume_m3 == (None if volume is None else close(volume * 1e-6))
    assert (found.how == "nominal") is (volume is None)


def test_what_the_calibration_in_force_says_is_told() -> None:
    found = facts(THREE, date(2026, 2, 1))

    assert (found.state, found.next_due) == ("as left", date(2027, 2, 1))
    assert found.certificate == ""  # the one before it had one
    assert found.mass_kg is None


@pytest.mark.parametrize(
    "water",
    [
        "empty_with_plates: 4052.5, full_with_plates: 3110.2, temperature_c: 20",
        "empty_with_plates: 4052.5, full_with_plates: 4052.5, temperature_c: 20",
        "empty_with_plates: 3110.2, full_with_plates: 4052.5, temperature_c: 68",
        "empty_with_plates: 3110.2, full_with_plates: 4052.5, temperature_c: -5",
    ],
)
def test_an_impossible_filling_gives_no_volume_and_an_error(water: str) -> None:
    outcome = made(f"{MOLD}calibrations: [{{on: 2026-01-14, water: {{{water}}}}}]\n")

    assert outcome.results == {}
    assert outcome.case.values[0].used is None
    assert [flag.flag for flag in outcome.flags] == ["calibration-unreadable"]


@pytest.mark.parametrize(
    "dimensions",
    ["diameters: [], heights: []", "diameters: [101.6], heights: []"],
)
def test_too_few_dimensions_are_no_volume(dimensions: str) -> None:
    outcome = made(
        f"{MOLD}calibrations: [{{on: 2026-01-14, dimensions: {{{dimensions}}}}}]\n"
    )

    assert outcome.case.values[0].used is None
    assert outcome.sheet().table("calibrations") is not None


def test_the_result_is_the_latest_volume_by_water() -> None:
    outcome = made(
        MOLD + "calibrations:\n"
        "  - {on: 2026-03-01, volume: 950}\n"
        "  - {on: 2026-02-01, water: {empty_with_plates: 3110.2, "
        "full_with_plates: 4052.5, temperature_c: 20}}\n"
        "  - {on: 2026-01-01, water: {empty_with_plates: 3110.2, "
        "full_with_plates: 4050.0, temperature_c: 20}}\n"
    )

    assert outcome.results["mold_volume"].reported == "944.0 cm3"
    assert outcome.results["mold_volume"].unit == "m3"
    assert [one["how"] for one in outcome.detail()["calibrations"]] == [
        "as certified",
        "by water",
        "by water",
    ]


def test_a_mold_answers_only_as_a_mold() -> None:
    case = made(MOLD).case

    assert kind("mold").answers(case, Ref(DeviceFacts, (), "T-1", ())) is None


def device(text: str, on: date | None = None) -> DeviceFacts:
    outcome = made(text)
    answer: Any = outcome.kind.answers(
        outcome.case, Ref(DeviceFacts, (outcome.kind.name,), "T-1", (), on)
    )
    assert isinstance(answer, DeviceFacts)
    return answer


def test_a_rammer_tells_what_its_calibration_found_in_si() -> None:
    # 5.5 lb = 2.494758 kg and 12 in = 0.3048 m (pound and inch exact by definition)
    text = (
        "kind: rammer\nid: T-1\noperation: manual\nunits: {mass: lb, length: in}\n"
        "calibrations: [{on: 2026-01-13, mass: 5.5, drop: 12, face_diameter: 2}]\n"
    )

    found = device(text, date(2026, 1, 13))

    assert found.mass_kg == close(2.494758035)
    assert found.drop_m == close(0.3048)
    assert found.face_diameter_m == close(0.0508)
    assert (found.operation, found.face) == ("manual", "round")
    before = device(text, date(2026, 1, 12))
    assert before.calibrated_on is None
    assert before.mass_kg is None
    assert before.operation == "manual"


def test_a_balance_tells_its_last_place() -> None:
    found = device("kind: balance\nid: T-1\nreadability: 0.01\ncapacity: 2200\n")

    assert found.resolution_kg == close(1e-5)
    assert found.capacity_kg == close(2.2)
    assert found.calibrated_on is None


def test_a_sieve_tells_its_opening() -> None:
    assert device("kind: sieve\nid: T-1\nopening: No. 4\n").opening == "No. 4"


@pytest.mark.parametrize(
    ("read", "flags"),
    # ASTM D2216: 110 ± 5 °C (from memory)
    [("105.0", 0), ("115.0", 0), ("104.9", 1), ("115.1", 1)],
)
def test_an_oven_is_doubted_beyond_five_degrees(read: str, flags: int) -> None:
    outcome = made(
        "kind: oven\nid: T-1\ncalibrations: [{on: 2026-01-15, "
        f"set_temperature_c: 110, measured_temperatures_c: [110, {read}]}}]\n"
    )

    assert [flag.flag for flag in outcome.flags] == ["oven-off-its-setting"] * flags


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        (
            "kind: rammer\nid: T-1\noperation: manual\ncalibrations: "
            "[{on: 2026-01-13, mass: 2496, drop: 304.9}]\n",
            "mass 2496 g; drop 304.9 mm",
        ),
        (
            "kind: oven\nid: T-1\ncalibrations: [{on: 2026-01-13, "
            "set_temperature_c: 110, measured_temperatures_c: [109.2, 111]}]\n",
            "set to 110 °C; read 109.2, 111 °C",
        ),
        ("kind: oven\nid: T-1\ncalibrations: [{on: 2026-01-13}]\n", "—"),
    ],
)
def test_what_a_calibration_found_is_shown_as_written(text: str, shown: str) -> None:
    table = made(text).sheet().table("calibrations")

    assert table is not None
    assert [column.label for column in table.columns][4] == "Found"
    assert table.rows[0].cells[4].text == shown


# 1000 g to the kilogram; 453.592 37 g to the pound (international agreement of 1959).
@pytest.mark.parametrize(
    ("times", "mistaken"),
    [
        (1000, True),
        (0.001, True),
        (453.6, True),
        (2.2046, True),
        (10, True),
        (1.02, False),
        (0.97, False),
        (2, False),
        (500, False),
    ],
)
def test_a_mass_in_another_unit_is_told_from_another_mass(
    times: float, mistaken: bool
) -> None:
    assert is_mistaken_unit(times) is mistaken
