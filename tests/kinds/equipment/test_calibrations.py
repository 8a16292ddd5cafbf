"""When equipment falls due."""

from datetime import date

from buildsite.kinds.equipment.due import Due, dues, months_later
from tests.kinds.making import made


def falls(text: str) -> Due | None:
    record = made(f"kind: sieve\nid: T-1\nopening: No. 4\n{text}").case.record
    return next(iter(dues(record)), None)


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
    never = falls("")
    assert never is not None
    assert (never.on, never.last, never.why) == (None, None, "no calibration on file")
    assert falls("out_of_use: {on: 2026-01-01}\n") is None


def test_months_end_on_their_last_day() -> None:
    assert months_later(date(2026, 1, 31), 1) == date(2026, 2, 28)
    assert months_later(date(2026, 11, 30), 3) == date(2027, 2, 28)
    assert months_later(date(2026, 11, 30), 0) == date(2026, 11, 30)
