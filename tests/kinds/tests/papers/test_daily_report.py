"""The report of a day: its tests, its failures, and who was told of them."""

from datetime import date

import pytest

from buildsite.kinds.sheet import Note, Table
from tests.kinds.tests.papers.made import (
    DAILY,
    FAILING,
    field_test,
    flags_of,
    made,
    retest,
)

TOLD = "[{test: F-1, who: foreman of the contractor, at: 2026-06-02T10:55}]"


def test_a_day_with_a_failure_that_was_told() -> None:
    paper = made(DAILY, field_test("F-1", FAILING), retest("F-2", "F-1"), told=TOLD)
    day = paper.detail()["day"]

    assert {name: one.reported for name, one in paper.results.items()} == {
        "tests_made": "2",
        "tests_failing": "1",
        "retests": "1",
    }
    assert day["closed"] == {"F-1": {"by": "F-2", "disposition": None}}
    assert flags_of(paper) == []


@pytest.mark.parametrize(
    ("told", "missing"),
    [
        ("", "who was told and when"),
        ("[{test: F-1, who: foreman}]", "when"),
        ("[{test: F-1, at: 2026-06-02T10:55}]", "who was told"),
    ],
)
def test_a_failure_that_nobody_was_told_of(told: str, missing: str) -> None:
    paper = made(DAILY, field_test("F-1", FAILING), told=told)
    (flag,) = [one for one in paper.flags if one.flag == "failure-not-told"]

    assert flag.found == f"F-1 fails; not stated: {missing}"
    assert flags_of(paper) == [("failure-not-told", "warning")]


def test_a_failure_stays_one_when_its_retest_passes() -> None:
    """The foreman had to know of it when it was found."""
    paper = made(DAILY, field_test("F-1", FAILING), retest("F-2", "F-1"))

    assert flags_of(paper) == [("failure-not-told", "warning")]


@pytest.mark.parametrize("said", ["F-2", "F-9"])
def test_told_of_what_does_not_fail(said: str) -> None:
    told = f"[{{test: {said}, who: foreman, at: 2026-06-02T10:55}}]"

    assert flags_of(made(DAILY, field_test("F-2"), told=told)) == [
        ("told-of-no-failure", "warning")
    ]


def test_nobody_is_told_before_the_test() -> None:
    told = TOLD.replace("06-02T", "06-01T")

    assert flags_of(made(DAILY, field_test("F-1", FAILING), told=told)) == [
        ("told-before-test", "error")
    ]


def test_a_test_of_another_day() -> None:
    other = field_test("F-2", tested_on=date(2026, 6, 1))
    undated = field_test("F-3", tested_on=None)

    assert (
        flags_of(made(DAILY, field_test("F-1"), other, undated))
        == [("test-of-another-day", "error")] * 2
    )


def test_a_day_without_a_test_says_why() -> None:
    assert flags_of(made(DAILY)) == [("empty-daily-report", "error")]
    assert flags_of(made(DAILY, not_tested="Rain, no fill was placed")) == []


def test_somebody_signs() -> None:
    assert flags_of(made(DAILY, field_test("F-1"), inspector="")) == [
        ("inspector-missing", "error")
    ]
    assert flags_of(made(DAILY, field_test("F-1"), inspector="T99")) == [
        ("unknown-code", "warning")
    ]
    # E02 of these answers may review and authorize, and not test.
    assert flags_of(made(DAILY, field_test("F-1"), inspector="E02")) == [
        ("no-authority", "warning")
    ]


def test_a_test_is_listed_once() -> None:
    paper = made(DAILY, field_test("F-1"), field_test("F-1"))

    assert paper.results["tests_made"].reported == "1"
    assert flags_of(paper) == [("test-listed-twice", "error")]


WORKS = """
  - {zone: embankment, lift: "7", what: fill placed, source: pit 4, roller: padfoot,
     passes: 8, thickness_loose: 250, thickness_compacted: 200}
"""


def test_the_page_has_what_an_inspector_signs_for() -> None:
    paper = made(
        DAILY,
        field_test("F-1", FAILING),
        retest("F-2", "F-1"),
        told=TOLD,
        works=WORKS,
        units="{depth: mm}",
        not_tested="The ramp",
        contractor="Fen Earthworks (invented)",
    )
    sheet = paper.sheet()
    works, failures = sheet.table("works"), sheet.table("failures")
    assert works is not None
    assert failures is not None
    texts = [cell.text for row in works.rows for cell in row.cells]
    told = [tuple(cell.text for cell in row.cells[-2:]) for row in failures.rows]

    assert sheet.subtitle == "Tuesday 2026-06-02"  # the calendar has it so
    assert texts[-2:] == ["8", "250 mm loose, 200 mm compacted"]
    assert told == [
        ("foreman of the contractor", "2026-06-02 10:55"),
        ("—", "—"),
    ]
    assert any(isinstance(b, Note) and b.name == "not-tested" for b in sheet.blocks)


def test_what_is_in_house_stays_there() -> None:
    """Serial, leak test and licence of a gauge are no part of any answer to a paper."""
    gauge = field_test("F-1", apparatus="nuclear-gauge")
    tables = [b for b in made(DAILY, gauge).sheet().blocks if isinstance(b, Table)]
    texts = " ".join(c.text for t in tables for row in t.rows for c in row.cells)

    assert "gauge" not in texts
