"""A nuclear gauge: its counts, leak tests and service, and what a test is told."""

from datetime import date

import pytest

from buildsite.kinds.equipment.due import dues
from buildsite.kinds.field_answers import CountsOfDay, GaugeFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.outcome import Outcome
from tests.archives import Changes, archive_of, changed

FILE = "records/equipment/G-01.yaml"
NAME = "equipment/G-01.yaml"
LAST = "  - {on: 2026-03-06, by: T07, density: 2420, water: 655}"


def outcome(changes: Changes | None = None) -> Outcome:
    files = changed(changes or {}, beside=("field-apparatus",))
    found = archive_of(files).outcome(FILE)
    assert found is not None
    return found


def asked(one: Outcome, on: date) -> GaugeFacts:
    facts = one.kind.answers(one.case, Ref(GaugeFacts, (), "G-01", (), on))
    assert isinstance(facts, GaugeFacts)
    return facts


def test_a_test_is_told_the_counts_of_its_day_and_the_four_before() -> None:
    facts = asked(outcome(), date(2026, 3, 6))

    assert facts.counts == (
        CountsOfDay(date(2026, 3, 6), 2420, 655),
        CountsOfDay(date(2026, 3, 5), 2415, 651),
        CountsOfDay(date(2026, 3, 4), 2405, 653),
        CountsOfDay(date(2026, 3, 3), 2412, 654),
        CountsOfDay(date(2026, 3, 2), 2408, 650),
    )
    assert (facts.density_limit, facts.water_limit) == (None, None)
    assert (facts.calibrated_on, facts.next_due, facts.leak_test_due) == (
        date(2026, 1, 20),
        date(2027, 1, 20),
        date(2026, 7, 20),
    )
    assert not facts.out_of_service


def test_on_a_day_without_counts_only_those_before_are_told() -> None:
    facts = asked(outcome(), date(2026, 3, 7))

    assert [one.on.day for one in facts.counts] == [6, 5, 4, 3]


def test_counts_are_off_the_mean_of_the_last_four_by_hand() -> None:
    # (2408 + 2412 + 2405 + 2415)/4 = 2410 and (650 + 654 + 653 + 651)/4 = 652:
    # 2420 is 0.415 % above, 655 is 0.460 % above.
    last = outcome().case.values[-1]

    assert last.off == (
        pytest.approx(0.4149, abs=0.0001),
        pytest.approx(0.4601, abs=0.0001),
    )
    assert [one.off for one in outcome().case.values[:4]] == [()] * 4


REPEATED = (
    "  - {on: 2026-03-06, by: T07, density: 2440, water: 655}\n"
    "  - {on: 2026-03-06, by: T07, density: 2415, water: 655}\n"
    "  - {on: 2026-03-07, by: T07, density: 2415, water: 652}"
)


def test_counts_outside_are_told_and_count_in_no_mean() -> None:
    # 2440 is 1.2 % above 2410; T 310 and D6938 allow 1 % (from memory)
    one = outcome({NAME: [[LAST, REPEATED]]})

    of_day, after = asked(one, date(2026, 3, 6)), asked(one, date(2026, 3, 7))

    assert [(each.density, each.repeated) for each in of_day.counts[:2]] == [
        (2415, True),
        (2440, False),
    ]
    assert [each.density for each in after.counts] == [2415, 2415, 2415, 2405, 2412]


def test_a_gauge_is_out_of_service_until_it_is_back_and_then_begins_anew() -> None:
    text = (
        "service: [{on: 2026-03-06, state: out, reason: dropped}, "
        "{on: 2026-03-20, state: back, reason: repaired and calibrated}]"
    )
    counted = f"{LAST}\n  - {{on: 2026-03-20, by: T07, density: 2300, water: 600}}"
    one = outcome({NAME: [["service:", text], [LAST, counted]]})

    days = [date(2026, 3, day) for day in (5, 6, 19, 20)]
    assert [asked(one, day).out_of_service for day in days] == [
        False,
        True,
        True,
        False,
    ]
    # A repair may change its counts: the mean is not that of before
    assert len(asked(one, date(2026, 3, 20)).counts) == 1
    assert one.flags == ()


def test_calibration_and_leak_test_fall_due_by_themselves() -> None:
    found = {each.words: each.on for each in dues(outcome().case.record)}

    assert found == {
        "calibration": date(2027, 1, 20),
        "leak test": date(2026, 7, 20),
    }


def test_without_a_date_a_leak_test_is_due_after_half_a_year() -> None:
    # common practice; the licence states it
    facts = asked(outcome({NAME: [["next_due: 2026-07-20, ", ""]]}), date(2026, 6, 2))

    assert facts.leak_test_due == date(2026, 7, 20)
    assert asked(outcome(), date(2026, 1, 19)).leak_test_due is None


def test_its_page_shows_everything_and_what_it_may_harm() -> None:
    sheet = outcome().sheet()

    names = [block.name for block in sheet.blocks]
    assert names == ["about", "calibrations", "leak-tests", "counts", "cautions"]
    about, counts = sheet.table("about"), sheet.table("counts")
    assert about is not None
    assert counts is not None
    stated = {row.cells[0].text: row.cells[1].text for row in about.rows}
    assert stated["Serial number"] == "00471"
    assert stated["Licence"] == "XX-0001"
    assert [cell.text for cell in counts.rows[0].cells] == [
        *("2026-03-06", "T07", "2420", "+0.41", "655", "+0.46", "within"),
    ]
    cautions = sheet.blocks[-1]
    assert "radiation safety officer" in str(cautions)
    assert "licence" in str(cautions)


def test_serial_and_licence_are_told_to_no_test() -> None:
    # A kept report may print what a test was told: the gauge's number alone is for it
    facts = asked(outcome(), date(2026, 3, 6))

    assert "00471" not in str(facts)
    assert "XX-0001" not in str(facts)
