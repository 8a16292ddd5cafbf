"""What relied on a calibration that was found wrong, and when a rammer is due."""

from datetime import date
from typing import Any

import pytest

from buildsite.kinds.equipment.calibrations import in_force
from buildsite.kinds.equipment.piece import Piece
from buildsite.kinds.equipment.uses import Finding, doubts, found_wrong
from buildsite.kinds.equipment.uses import by_equipment as laid_out
from buildsite.kinds.traces import Trace, Use
from tests.kinds.making import kind, made

T99 = ("AASHTO T 99", "A", "none", "")
D698 = ("ASTM D698", "A", "none", "")


def used(id: str, on: str, standard: Any = D698, specimens: int = 5) -> Trace:
    use = Use("T-1", date.fromisoformat(on), specimens)
    return Trace(f"{id}.yaml", id, (), (), uses=(use,), standard=standard)


def piece(text: str) -> Piece:
    outcome = made(text)
    return Piece("T-1.yaml", outcome.kind, outcome.case.record)


def findings(text: str, *traces: Trace) -> list[Finding]:
    return list(found_wrong(piece(text), laid_out(traces).get("T-1", [])))


def raised(text: str, *traces: Trace) -> list[tuple[str, str]]:
    found = doubts([piece(text)], traces)
    return [(known.flag, doubt.found) for known, _, doubt in found]


RAMMER = """\
kind: rammer
id: T-1
operation: mechanical
calibrations:
  - {on: 2024-01-01, state: as found, mass: 2495, drop: 304.8}
  - {on: 2025-01-01, state: as found, mass: 2495, drop: 306.5}
  - {on: 2025-01-01, state: as left, mass: 2495, drop: 304.8}
  - {on: 2026-01-01, state: as found, mass: 2495, drop: 304.9}
"""


def test_tests_since_the_last_good_calibration_are_named() -> None:
    # 306.5 mm: ASTM D698 allows 304.8 ± 1.3 mm (from memory), AASHTO T 99-94, 2.2.2
    # allows 305 ± 2 mm.
    (one,) = findings(
        RAMMER,
        used("BEFORE", "2023-12-31"),
        used("FIRST", "2024-01-01"),
        used("LAST", "2024-12-31"),
        used("WIDER", "2024-06-01", T99),
        used("ON-THE-DAY", "2025-01-01"),
        used("AFTER", "2025-06-01"),
    )

    assert (one.look.index, one.on, one.since) == (
        1,
        date(2025, 1, 1),
        date(2024, 1, 1),
    )
    assert one.tests == ("FIRST", "LAST")
    assert [fault.words for fault in one.faults] == ["drop 12.067 in."]


def test_a_finding_without_tests_is_shown_and_raises_no_flag() -> None:
    assert findings(RAMMER, used("AFTER", "2025-06-01")) == []
    assert raised(RAMMER, used("AFTER", "2025-06-01")) == []


MOLD = """\
kind: mold
id: T-1
nominal: 4 in
calibrations:
  - {on: 2024-01-01, state: as found, volume: 943}
  - {on: 2025-01-01, state: as found, volume: 949}
  - {on: 2026-01-01, state: as found, volume: 949}
"""


def test_a_mold_found_with_another_volume_concerns_what_came_before() -> None:
    # 949 / 943 = 1.0064: more than 0.5 % (common practice)
    traces = (
        used("THEN", "2024-06-01"),
        used("LATER", "2025-06-01"),
        used("NOW", "2026-06-01"),
    )

    (one,) = findings(MOLD, *traces)

    assert one.tests == ("THEN",)
    assert raised(MOLD, *traces) == [
        (
            "calibration-found-wrong",
            "949.0 cm³; used in 1 test since 2024-01-01: THEN",
        )
    ]


def test_what_was_judged_raises_no_more() -> None:
    judged = MOLD.replace("949}", "949, tests_judged: {by: E02, reason: stands}}", 1)

    assert raised(judged, used("THEN", "2024-06-01")) == []
    assert len(findings(judged, used("THEN", "2024-06-01"))) == 1


OVEN = """\
kind: oven
id: T-1
calibrations:
  - {on: 2024-01-01, state: as found, set_temperature_c: 110, \
measured_temperatures_c: [110]}
  - {on: 2025-01-01, state: as found, set_temperature_c: 110, \
measured_temperatures_c: [116]}
  - {on: 2026-01-01, state: as left, set_temperature_c: 110, \
measured_temperatures_c: [111]}
"""


def test_what_lasts_until_it_is_put_right_concerns_what_came_after_too() -> None:
    # ASTM D2216: 110 ± 5 °C (from memory)
    (one,) = findings(
        OVEN,
        used("BEFORE", "2024-06-01"),
        used("AFTER", "2025-06-01"),
        used("RIGHT", "2026-01-01"),
    )

    assert one.tests == ("BEFORE", "AFTER")


def test_a_calibration_declared_wrong_concerns_what_relied_on_it() -> None:
    declared = MOLD.replace("943}", "943, found_wrong: a bubble}")

    (one,) = findings(
        declared,
        used("BEFORE", "2023-06-01"),
        used("ON-IT", "2024-06-01"),
        used("AFTER", "2025-06-01"),
    )

    assert one.declared
    assert one.tests == ("ON-IT",)
    # and nothing is compared with it any more: 949 is no change


def test_a_wrong_calibration_is_no_good_one_to_count_from() -> None:
    declared = MOLD.replace("volume: 949}", "volume: 943, found_wrong: read twice}", 1)

    found = findings(declared, used("FIRST", "2024-06-01"), used("ON", "2025-06-01"))

    assert [(one.since, one.tests) for one in found] == [
        (date(2024, 1, 1), ("ON",)),
        (date(2024, 1, 1), ("FIRST", "ON")),
    ]


@pytest.mark.parametrize(
    ("standard", "specimens", "flags"),
    [
        # ASTM D1557-12e1, 7: a thousand specimens or a year, whichever is first
        (("ASTM D1557", "A", "none", ""), 1000, 0),
        (("ASTM D1557", "A", "none", ""), 1001, 1),
        (T99, 1001, 0),  # which counts none
    ],
)
def test_specimens_since_the_last_calibration(
    standard: Any, specimens: int, flags: int
) -> None:
    traces = [
        used("BEFORE", "2025-12-31", standard, 5000),
        used("NOW", "2026-01-01", standard, specimens),
    ]

    found = raised(RAMMER.replace("306.5", "304.8"), *traces)

    words = f"{specimens} specimens since 2026-01-01"
    assert found == [("due-by-specimens", words)] * flags


def test_specimens_that_no_test_holds_are_counted() -> None:
    text = RAMMER.replace("drop: 304.9}", "drop: 304.9, other_specimens: 998}")

    assert raised(text.replace("306.5", "304.8"), used("NOW", "2026-02-01")) == [
        ("due-by-specimens", "1003 specimens since 2026-01-01")
    ]


def test_a_compaction_test_counts_its_specimens_by_mold_and_rammer() -> None:
    test = made(
        "kind: moisture-density\nid: T-1\nproject: p\nsample: S\nstatus: complete\n"
        "standard: {designation: ASTM D698, method: A}\nunits: {compacted: g}\n"
        "compacted: {on: 2026-03-10}\ndried: {on: 2026-03-11}\n"
        "equipment: {mold: M-1, rammer: R-1, balance: B-1, oven: O-1}\n"
        "points:\n"
        "  - {mold_and_wet_soil: 3854}\n"
        "  - {mold_and_wet_soil: 3939, mold: M-2}\n"
        "  - {mold_and_wet_soil: 3940, compacted: {on: 2026-03-09}}\n"
        "  - {water_added_ml: 50}\n"
    )
    trace = kind("moisture-density").trace
    assert trace is not None

    uses = trace(test.case.record, "T-1.yaml").uses

    day, eve = date(2026, 3, 10), date(2026, 3, 9)
    assert sorted(uses, key=lambda use: (use.equipment, use.on)) == [
        Use("B-1", eve, 0),
        Use("B-1", day, 0),
        Use("M-1", eve, 1),
        Use("M-1", day, 1),
        Use("M-2", day, 1),
        Use("O-1", date(2026, 3, 11), 0),
        Use("R-1", eve, 1),  # point 3
        Use("R-1", day, 2),
    ]


def test_equipment_out_of_use_is_not_used() -> None:
    text = MOLD + "out_of_use: {on: 2026-06-01, reason: cracked}\n"
    text = text.replace("949", "943")

    assert raised(text, used("BEFORE", "2026-05-31")) == []
    assert raised(text, used("AFTER", "2026-06-01")) == [
        ("used-while-out-of-use", "T-1 on 2026-06-01")
    ]


def test_what_was_found_is_in_force_since_the_day_stated() -> None:
    # It fell on the eve of 2025-01-01: only the tests since then are concerned, and
    # they are computed with the volume that was found.
    fell = MOLD.replace("volume: 949}", "wrong_since: 2024-12-31, volume: 949}", 1)
    record = piece(fell).record
    days = [date(2024, 12, 30), date(2024, 12, 31), date(2025, 1, 1)]

    (one,) = findings(fell, used("BEFORE", "2024-12-30"), used("FELL", "2024-12-31"))

    assert [in_force(record.calibrations, on) for on in days] == [0, 1, 1]
    assert (one.since, one.tests) == (date(2024, 12, 31), ("FELL",))


def test_a_routine_calibration_is_in_force_from_its_own_day() -> None:
    record = piece(MOLD).record

    assert in_force(record.calibrations, date(2024, 12, 31)) == 0


PYCNOMETER = """\
kind: pycnometer
id: T-1
calibrations:
  - {on: 2024-01-01, state: as found, mass: 168.42, \
fillings: [{full: 666.42, temperature_c: 22}]}
  - {on: 2025-01-01, state: as found, mass: 168.42, \
fillings: [{full: FULL, temperature_c: 22}]}
"""


@pytest.mark.parametrize(
    ("full", "tests"),
    # Water at 22 °C: 0.99777 g/cm³ (ASTM D854, table), so 0.09 g are 0.090 cm³ and
    # 0.12 g are 0.120 cm³; two fillings agree within 0.1 cm³ (common practice).
    [("666.51", []), ("666.54", ["THEN"])],
)
def test_a_pycnometer_found_with_another_volume(full: str, tests: list[str]) -> None:
    text = PYCNOMETER.replace("FULL", full)

    found = findings(text, used("THEN", "2024-06-01"))

    assert [id for one in found for id in one.tests] == tests


@pytest.mark.parametrize("kind", ["sieve\nopening: No. 4", "oven", "pycnometer"])
def test_any_equipment_declared_wrong_concerns_its_tests(kind: str) -> None:
    text = f"kind: {kind}\nid: T-1\ncalibrations:\n"
    text += "  - {on: 2024-01-01, found_wrong: read on a broken caliper}\n"

    (one,) = findings(text, used("BEFORE", "2023-06-01"), used("ON-IT", "2024-06-01"))

    assert one.tests == ("ON-IT",)
