"""
The acceptance of a lift: counted by hand, and refused for each reason there is.

That one pass accepts nothing, and that a failure is closed by a retest after rework or
by a disposition, is common practice of earthwork specifications (from memory).
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from buildsite.kinds.sheet import Table
from tests.archives import archive_of, sound
from tests.kinds.tests.papers.made import (
    ACCEPTANCE,
    FAILING,
    PASSING,
    REQUIREMENT,
    TERMS,
    field_test,
    flag_named,
    flags_of,
    made,
    retest,
)


def counted(paper: object) -> tuple[str, ...]:
    """Tests made, required and met, as reported."""
    results = paper.results  # type: ignore[attr-defined]
    names = ("tests_made", "tests_required", "tests_met")
    return tuple(results[name].reported for name in names if name in results)


def test_two_passing_places_of_two_required() -> None:
    paper = made(
        ACCEPTANCE, field_test("F-1"), field_test("F-2", place="station 13+00")
    )

    assert counted(paper) == ("2", "2", "2")
    assert flags_of(paper) == []


def test_one_pass_is_too_few() -> None:
    assert flags_of(made(ACCEPTANCE, field_test("F-1"))) == [("too-few-tests", "error")]


def test_a_retest_is_no_further_place() -> None:
    failing = field_test("F-1", FAILING)
    paper = made(ACCEPTANCE, failing, retest("F-2", "F-1"))

    assert counted(paper) == ("1", "2", "1")
    assert flags_of(paper) == [("too-few-tests", "error")]


def test_a_failure_is_closed_by_the_retest_that_passes() -> None:
    """F-1 fails, its retest F-2 too, F-3 passes: the place meets, all stay listed."""
    first = field_test("F-1", FAILING)
    second = retest("F-2", "F-1", verdict="fail", tested_at="12:00")
    third = retest("F-3", "F-2")
    paper = made(
        ACCEPTANCE, first, second, third, field_test("F-4", place="station 13+00")
    )
    lift = paper.detail()["lift"]

    assert counted(paper) == ("2", "2", "2")
    assert lift["closed"] == {
        "F-1": {"by": "F-3", "disposition": None},
        "F-2": {"by": "F-3", "disposition": None},
    }
    assert flags_of(paper) == []


@pytest.mark.parametrize(
    "no_retest",
    [
        retest("F-2", "F-1", rework=""),
        retest("F-2", "F-1", place="station 12+60"),
        retest("F-2", "F-1", tested_at="09:00"),
        retest("F-2", "F-1", purpose="contractor-control"),
        retest("F-2", "F-1", verdict="none"),
    ],
    ids=["no rework", "elsewhere", "before it", "the contractor's", "no verdict"],
)
def test_what_does_not_close_a_failure(no_retest: object) -> None:
    paper = made(
        ACCEPTANCE,
        field_test("F-1", FAILING),
        no_retest,  # type: ignore[arg-type]
        field_test("F-3", place="station 13+00"),
    )

    assert ("failure-open", "error") in flags_of(paper)
    assert paper.detail()["lift"]["open"] == ["F-1"]


def test_a_disposition_closes_a_failure_and_is_no_pass() -> None:
    failing = field_test("F-1", FAILING, disposition="accepted as is, letter 14, E02")
    paper = made(ACCEPTANCE, failing, field_test("F-2", place="station 13+00"))

    assert counted(paper) == ("2", "2", "1")
    assert flags_of(paper) == []


def test_who_may_accept() -> None:
    tests = (field_test("F-1"), field_test("F-2", place="station 13+00"))
    named = made(
        ACCEPTANCE,
        *tests,
        lift_accepted='{on: 2026-06-04, by: "R. Alder, Harbour Works"}',
    )
    other = made(ACCEPTANCE, *tests, lift_accepted="{on: 2026-06-04, by: T07}")
    nobody = made(ACCEPTANCE, *tests, terms=replace(TERMS, engineers=()))
    early = made(ACCEPTANCE, *tests, lift_accepted="{on: 2019-06-04, by: E02}")

    assert flags_of(named) == []
    for paper in (other, nobody):
        assert flags_of(paper) == [("not-engineer-of-record", "error")]
    assert ("not-engineer-of-record", "error") in flags_of(early)
    assert "E02 or R. Alder" in flag_named(other, "not-engineer-of-record").expected


def test_an_acceptance_is_an_act_of_somebody_on_a_day() -> None:
    tests = (field_test("F-1"), field_test("F-2", place="station 13+00"))
    paper = made(ACCEPTANCE, *tests, lift_accepted="{document: letter 3}")

    assert flags_of(paper) == [("acceptance-undated", "error")] * 2


@pytest.mark.parametrize(
    "said", [{"lift": "8"}, {"zone": "ramp"}, {"project": "q"}], ids=str
)
def test_a_test_of_another_lift(said: dict[str, Any]) -> None:
    strange = field_test("F-3", **said)
    paper = made(
        ACCEPTANCE, field_test("F-1"), field_test("F-2", place="13+00"), strange
    )

    assert counted(paper) == ("2", "2", "2")
    assert flags_of(paper) == [("test-of-another-lift", "error")]


def test_only_issued_tests_are_accepted_on() -> None:
    tests = (field_test("F-1"), replace(field_test("F-2", place="13+00"), revision=""))

    assert flags_of(made(ACCEPTANCE, *tests)) == [
        ("acceptance-of-unissued-test", "error")
    ]


def test_a_test_that_does_not_count() -> None:
    paper = made(
        ACCEPTANCE,
        field_test("F-1"),
        field_test("F-2", place="13+00"),
        field_test("F-3", place="14+00", purpose="assurance"),
        field_test("F-4", place="15+00", verdict="none"),
    )

    assert counted(paper) == ("2", "2", "2")
    assert flags_of(paper) == [("test-not-counted", "warning")] * 2


def test_a_day_before_the_tests_is_none() -> None:
    late = field_test("F-2", place="13+00", tested_on=date(2026, 6, 5))

    assert flags_of(made(ACCEPTANCE, field_test("F-1"), late)) == [
        ("dates-out-of-order", "error")
    ]


LOT = replace(
    REQUIREMENT,
    lot_average_of=2,
    lot_average=Decimal(97),
    lot_each=Decimal(95),
)


def in_lots(*percents: float) -> object:
    """A lift of that many places, judged by the average of two."""
    tests = [
        field_test(f"F-{i}", place=f"station {i}", percent_value=percent)
        for i, percent in enumerate(percents, start=1)
    ]
    return made(ACCEPTANCE, *tests, terms=replace(TERMS, requirement=LOT))


def test_lots_are_averaged_unrounded_and_compared_as_stated() -> None:
    """(96.0 + 97.0)/2 = 96.5 rounds to the even 96, (96.2 + 97.0)/2 = 96.6 to 97."""
    below, met = in_lots(96.0, 97.0), in_lots(96.2, 97.0)

    assert flags_of(below) == [("lot-below-average", "error")]  # type: ignore[arg-type]
    assert flags_of(met) == []  # type: ignore[arg-type]
    assert met.detail()["lift"]["lots"] == [  # type: ignore[attr-defined]
        {
            "tests": ["F-1", "F-2"],
            "average": pytest.approx(96.6),
            "compared": Decimal(97),
            "met": True,
        }
    ]


def test_a_lot_that_is_not_full_is_too_few() -> None:
    assert flags_of(in_lots(98.0, 98.0, 98.0)) == [  # type: ignore[arg-type]
        ("too-few-tests", "error")
    ]


def test_the_retest_stands_in_the_lot_for_its_failure() -> None:
    failing = field_test("F-1", FAILING, percent_value=92.0)
    paper = made(
        ACCEPTANCE,
        failing,
        retest("F-2", "F-1", percent_value=98.0),
        field_test("F-3", place="13+00", percent_value=97.0),
        terms=replace(TERMS, requirement=LOT),
    )

    (lot,) = paper.detail()["lift"]["lots"]
    assert set(lot["tests"]) == {"F-2", "F-3"}
    assert lot["average"] == pytest.approx(97.5)


def test_what_is_not_complete_raises_notes_alone() -> None:
    begun = made(ACCEPTANCE, lift_accepted="", status="in-progress", reviewed="")

    assert flags_of(begun) == []


def test_the_page_says_who_accepted_and_by_which_revisions() -> None:
    paper = made(
        ACCEPTANCE, field_test("F-1", FAILING), retest("F-2", "F-1"), field_test("F-3")
    )
    sheet = paper.sheet()
    tests = sheet.table("tests")
    texts = [cell.text for row in tests.rows for cell in row.cells] if tests else []
    facts = sheet.table("acceptance")
    assert isinstance(facts, Table)

    assert "F-1 r0" in texts
    assert "92 % is below 95 %; closed by F-2" in texts
    assert "retest of F-1 after rework: rolled again" in texts
    assert [row.cells[1].text for row in facts.rows] == [
        "embankment",
        "7",
        "2026-06-04",
        "E02",
    ]


def test_a_new_revision_of_a_test_moves_what_was_used() -> None:
    tests = (field_test("F-1"), field_test("F-2", place="13+00"))
    again = replace(tests[0], revision="F-1 r1")

    assert made(ACCEPTANCE, *tests).used != made(ACCEPTANCE, again, tests[1]).used
    assert PASSING.verdict == "pass"


def test_an_edit_for_another_zone_moves_no_test_and_no_acceptance() -> None:
    """The project is asked about the zone, so that `used` holds nothing of others."""
    files = dict(sound(("fill",)))
    path = "records/marsh-lane/project.yaml"
    text = files[path].decode()
    assert text.count("zone: ramp") == 1
    other = {**files, path: text.replace("zone: ramp", "zone: haul road").encode()}
    names = [f"records/marsh-lane/tests/ML-F000{i}.yaml" for i in range(1, 6)]
    used = [
        [made.used for name in names if (made := archive_of(one).outcome(name))]
        for one in (files, other)
    ]

    assert len(used[0]) == len(names)
    assert used[0] == used[1]
