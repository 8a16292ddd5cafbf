"""What closes a failure is one rule, for a page and for the papers of the fill."""

from dataclasses import replace

import pytest

from buildsite.kinds.field_answers import FieldTestFacts
from buildsite.kinds.field_control.closing import closings
from tests.pages.field.fills import field_one

REWORK = {"what": "rolled again", "on": "2026-06-02", "by": "T07"}
CHANGES: tuple[dict[str, object], ...] = (
    {},
    {"rework": None},
    {"zone": "abutment"},
    {"verdict": "fail"},
    {"purpose": "information"},
    {"position": {"station": "14+00"}},
    {"position": {"station": "12+40", "elevation": "101.2"}},
    {"on": "2026-05-30"},
)


def listed(**about: object) -> FieldTestFacts:
    """A test as a paper lists it, from the test as a page collects it."""
    one = field_one(**about)  # type: ignore[arg-type]
    names = FieldTestFacts.__dataclass_fields__
    found = {name: getattr(one, name) for name in names if hasattr(one, name)}
    blank = dict.fromkeys(("dry_density", "percent", "water"), "")
    return FieldTestFacts(**{**found, **blank})


@pytest.mark.parametrize("change", CHANGES)
def test_a_page_and_a_paper_agree(change: dict[str, object]) -> None:
    failure: dict[str, object] = {"id": "F1", "verdict": "fail"}
    retest: dict[str, object] = {
        "id": "F2",
        "on": "2026-06-02",
        "retest_of": "F1",
        "rework": REWORK,
        **change,
    }
    page = closings([field_one(**failure), field_one(**retest)])  # type: ignore[arg-type]
    paper = closings([listed(**failure), listed(**retest)])

    assert page == paper
    assert ("F1" in page) == (change in (CHANGES[0], CHANGES[6]))


def test_a_disposition_closes_where_no_retest_does() -> None:
    test = replace(field_one("F1", verdict="fail"), disposition="removed, E02")

    assert closings([test])["F1"].words == "removed, E02"


@pytest.mark.parametrize(
    "place",
    [
        {"easting": "410.2", "northing": "88.0", "unit": "m"},
        {"offset": "3.2", "unit": "m"},
        {"unit": "m"},
        {},
    ],
)
def test_a_place_that_is_told_otherwise_closes_nothing(place: dict[str, str]) -> None:
    there = {"station": "12+40", "offset": "3.2", "unit": "m"}
    failure = field_one("F1", verdict="fail", position=there)
    about = {"on": "2026-06-02", "retest_of": "F1", "rework": REWORK}
    retest = field_one("F2", position=place, **about)  # type: ignore[arg-type]

    assert closings([failure, retest]) == {}


def test_a_retest_may_write_lift_and_offset_otherwise() -> None:
    failure = field_one(
        "F1", verdict="fail", lift="7", position={"station": "12+40", "offset": "3.2"}
    )
    about = {"on": "2026-06-02", "retest_of": "F1", "rework": REWORK}
    retest = field_one(
        "F2",
        lift="Lift 07 ",
        position={"station": "12+40", "offset": "3.20"},
        **about,  # type: ignore[arg-type]
    )

    assert closings([failure, retest])["F1"].by == "F2"


@pytest.mark.parametrize(
    ("failed", "again", "closed"),
    [("10:40", "14:10", True), ("9:40", "10:10", True), ("2 pm", "10:40", False)],
)
def test_a_retest_of_the_same_day_is_later(
    failed: str, again: str, closed: bool
) -> None:
    about = {"verdict": "fail", "tested_at": failed}
    failure = replace(field_one("F1", on="2026-06-02"), **about)  # type: ignore[arg-type]
    retest = field_one("F2", on="2026-06-02", retest_of="F1", rework=REWORK)

    assert ("F1" in closings([failure, replace(retest, tested_at=again)])) == closed


def test_a_disposition_that_nobody_signed_closes_nothing() -> None:
    unsigned = field_one("F1", verdict="fail", disposition={"as": "accepted-as-is"})
    signed = field_one("F2", verdict="fail", disposition={"as": "removed", "by": "E02"})

    assert set(closings([unsigned, signed])) == {"F2"}
