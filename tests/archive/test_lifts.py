"""Where a lift stands: what answers a failure, what counts, and who accepts."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from buildsite.archive.field_tests import field_control
from buildsite.archive.lifts import (
    ACCEPTED,
    FAILED,
    MET,
    OPEN,
    Lift,
    lifts_of,
)
from buildsite.kinds.field_control.closing import closings
from buildsite.kinds.field_control.results import FieldTest, LiftPaper
from tests.pages.field.fills import accepted, field_one, fill, one, requirement

REWORK = {"what": "rolled four passes", "by": "T07", "on": "2026-06-02"}
FAIL: dict[str, Any] = {"verdict": "fail", "percent": 93.1}
RETEST: dict[str, Any] = {"on": "2026-06-02", "retest_of": "F1", "rework": REWORK}


def lift(*tests: FieldTest, papers: tuple[LiftPaper, ...] = ()) -> Lift:
    """The only lift of these tests."""
    (found,) = lifts_of(tests, papers)
    return found


def by_id(tests: list[FieldTest]) -> dict[str, str]:
    """What closes each failure, by test."""
    closed = closings(test for test in tests if not test.withdrawn)
    return {id: how.words for id, how in closed.items()}


def acceptance(on: str = "2026-06-05") -> LiftPaper:
    found = one("L1", accepted("embankment", "1", on))
    assert isinstance(found, LiftPaper)
    return found


def passing(count: int, number: int | None = 3) -> list[FieldTest]:
    """Tests that pass, at as many places."""
    return [field_one(f"P{i}", number, place=f"place {i}") for i in range(count)]


def test_a_passing_retest_after_rework_at_the_same_place_closes_a_failure() -> None:
    tests = [field_one("F1", **FAIL), field_one("F2", **RETEST)]

    assert by_id(tests) == {"F1": "F2"}
    assert (lift(*tests).made, lift(*tests).met) == (1, 1)
    assert lift(*tests).failing == ()


@pytest.mark.parametrize(
    "change",
    [
        {"rework": None},
        {"position": {"station": "14+00", "offset": "3.2", "side": "left"}},
        {"position": {}, "place": "near the culvert"},
        {"lift": "2"},
        {"zone": "abutment"},
        {"verdict": "none"},
        {"purpose": "information"},
        {"on": "2026-05-30"},
        {"retest_of": None, "check_of": "F1"},
    ],
)
def test_nothing_else_closes_it(change: dict[str, Any]) -> None:
    tests = [field_one("F1", **FAIL), field_one("F2", **{**RETEST, **change})]

    assert by_id(tests) == {}
    assert lifts_of(tests)[0].state == FAILED


def test_rework_changes_the_level_and_not_the_place() -> None:
    place = {"station": "12+40", "offset": "3.2", "side": "Left"}
    low = {**place, "elevation": "101.20"}
    tests = [
        field_one("F1", **FAIL, position=low, place="elevation 101.20 m"),
        field_one("F2", **RETEST, position=place, place="another wording"),
    ]

    assert by_id(tests) == {"F1": "F2"}


def test_a_withdrawn_retest_closes_nothing() -> None:
    tests = [field_one("F1", **FAIL), field_one("F2", **RETEST)]

    assert by_id([tests[0], replace(tests[1], withdrawn=True)]) == {}


def test_a_disposition_closes_a_failure_and_is_no_test_met() -> None:
    about = {"as": "accepted-as-is", "document": "letter 12", "by": "E02"}
    found = lift(field_one("F1", 1, **FAIL, disposition=about))

    assert found.closed["F1"].words == "accepted-as-is, letter 12, E02"
    assert (found.made, found.met, found.state) == (1, 0, MET)


def test_a_retest_that_fails_is_closed_by_the_one_that_passes() -> None:
    again = {**RETEST, **FAIL}
    last = {**RETEST, "on": "2026-06-03", "retest_of": "F2"}
    tests = [
        field_one("F1", **FAIL),
        field_one("F2", **again),
        field_one("F3", **last),
    ]

    assert by_id(tests[:2]) == {}
    assert by_id(tests) == {"F1": "F3", "F2": "F3"}
    assert (lift(*tests).made, lift(*tests).met) == (1, 1)


def test_retests_that_name_each_other_end() -> None:
    tests = [
        field_one("F1", **FAIL, retest_of="F2", rework=REWORK),
        field_one("F2", **RETEST),
    ]

    assert by_id(tests) == {"F1": "F2"}


def test_enough_passing_tests_meet_and_do_not_accept() -> None:
    assert lift(*passing(2)).state == OPEN
    assert lift(*passing(3)).state == MET
    assert lift(*passing(3), papers=(acceptance(),)).state == ACCEPTED


def test_a_test_without_a_verdict_keeps_a_lift_open() -> None:
    tests = [*passing(3), field_one("N1", verdict="none", place="place 9")]

    assert (lift(*tests).made, lift(*tests).state) == (3, OPEN)


def test_a_failure_outweighs_an_acceptance() -> None:
    tests = [*passing(3), field_one("F1", **FAIL)]

    assert lift(*tests, papers=(acceptance(),)).state == FAILED


def test_only_acceptance_tests_count() -> None:
    tests = [*passing(3), field_one("F1", **FAIL, purpose="contractor-control")]

    assert (lift(*tests).made, lift(*tests).state) == (3, MET)


def test_the_last_acceptance_stands_and_a_withdrawn_one_does_not() -> None:
    early, late = acceptance("2026-06-05"), replace(acceptance("2026-06-07"), id="L2")
    found = lift(*passing(3), papers=(late, early))
    assert found.acceptance == late

    gone = replace(late, withdrawn=True)
    assert lift(*passing(3), papers=(gone, early)).acceptance == early
    assert lift(*passing(3), papers=(replace(early, withdrawn=True),)).state == MET


def test_an_acceptance_that_is_not_issued_accepts_nothing() -> None:
    draft = replace(acceptance("2026-06-07"), id="L2", issued=False)

    assert lift(*passing(3), papers=(draft,)).state == MET
    assert lift(*passing(3), papers=(draft, acceptance())).state == ACCEPTED


def test_lifts_to_act_on_come_first_then_by_zone_and_number() -> None:
    control = field_control("p", [one(id, result) for id, result in fill()])
    assert control is not None

    ranks = [(FAILED, OPEN, MET, ACCEPTED).index(lift.state) for lift in control.lifts]
    assert ranks == sorted(ranks)
    assert {FAILED, OPEN, MET, ACCEPTED} == {lift.state for lift in control.lifts}
    many = lifts_of([field_one(f"F{n}", lift=str(n)) for n in (10, 9, 1)])
    assert [lift.lift for lift in many] == ["1", "9", "10"]


def test_a_project_without_field_tests_has_no_field_control() -> None:
    assert field_control("p", []) is None


def lot(*percents: float) -> Lift:
    """A lift whose requirement averages four tests to at least 97 %."""
    asked = replace(
        requirement("embankment", 1), lot_average_of=4, lot_average=Decimal(97)
    )
    tests = [
        replace(field_one(f"F{n}", percent=one, place=f"place {n}"), requirement=asked)
        for n, one in enumerate(percents)
    ]
    return lift(*tests)


def test_the_average_of_a_lot_fails_a_lift_whose_tests_pass() -> None:
    """(96 + 96 + 97 + 97) / 4 = 96.5; a half goes to even (E29-13, 6; from memory)."""
    low = lot(96.0, 96.0, 97.0, 97.0)
    assert (low.state, low.met) == (FAILED, 4)
    assert [str(one.compared) for one in low.low] == ["96"]

    # (96 + 96 + 97 + 97.2) / 4 = 96.55, rounded to 97.
    assert lot(96.0, 96.0, 97.0, 97.2).state == MET


def test_a_lot_that_is_not_full_is_not_judged() -> None:
    assert [one.met for one in lot(97.0, 97.0, 97.0, 97.0, 90.0).lots] == [True, None]


def test_a_lot_holds_the_retest_that_closed_a_failure() -> None:
    failed, retest = (
        field_one("F1", **FAIL),
        field_one("F2", **{**RETEST, "percent": 99}),
    )
    asked = replace(
        requirement("embankment", 1), lot_average_of=1, lot_average=Decimal(97)
    )
    found = lift(*(replace(one, requirement=asked) for one in (failed, retest)))

    assert [one.tests for one in found.lots] == [("F2",)]
    assert found.state == MET


def test_a_failure_does_not_leave_its_lift_by_a_spelling() -> None:
    spelled = [field_one("F1", 1, lift="Lift 01", zone=" Embankment", **FAIL)]
    found = lift(*spelled, field_one("P1", 1), papers=(acceptance(),))

    assert [test.id for test in found.failing] == ["F1"]
    assert found.state == FAILED
