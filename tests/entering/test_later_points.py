"""A point made on a later day, or by another person: its own day, person and oven."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from buildsite.entering.session import Session
from tests.entering.session import OVEN, Held, begun, hold, session

LATER, NEXT = date(2026, 3, 17), "2026-03-18"


def later(text: str, by: str = "T04", on: date = LATER) -> Session:
    """Sit down at a test another day, or as another person, than it was compacted."""
    at = session(text)
    at.record = replace(at.record, by=by, on=on)
    return at


def point(held: Held, number: int) -> Any:
    return held.tree["points"][number - 1]


def asked_of(held: Held, words: str) -> list[str]:
    return [one for one in held.asked if words in one]


RIGHT = "Right?"


def test_a_point_made_later_states_its_own_day_and_person() -> None:
    held = hold(later(begun(3) + OVEN), ["4010", "", "/"])

    assert point(held, 4)["compacted"] == {"on": "2026-03-17", "by": "T04"}
    assert held.tree["compacted"] == {"on": "2026-03-10", "by": "T07"}
    assert "Point 4: compacted 2026-03-17 by T04." in held.words
    assert "no: 2026-03-10 by T07" in asked_of(held, RIGHT)[0]


def test_who_is_called_away_at_the_question_has_lost_nothing() -> None:
    held = hold(later(begun(3) + OVEN), ["4010"])

    assert point(held, 4)["mold_and_wet_soil"] == "4010"
    assert point(held, 4)["compacted"] == {"on": "2026-03-17", "by": "T04"}
    assert held.commits[-1].by == "T04"


@pytest.mark.parametrize(
    ("answer", "on", "by"),
    [
        ("no", "2026-03-10", "T07"),
        ("t07", "2026-03-17", "T07"),
        ("2026-03-16", "2026-03-16", "T04"),
        ("2026-03-16 T07", "2026-03-16", "T07"),
    ],
)
def test_another_day_or_person_may_be_typed(answer: str, on: str, by: str) -> None:
    held = hold(later(begun(3) + OVEN), ["4010", answer, "/"])

    assert point(held, 4)["compacted"] == {"on": on, "by": by}


def test_what_is_no_day_and_no_code_is_asked_again() -> None:
    # The next day is still to come; 31 may be the container.
    held = hold(later(begun(3) + OVEN), ["4010", "31", NEXT, "", "/"])

    assert point(held, 4)["compacted"] == {"on": "2026-03-17", "by": "T04"}
    assert "container" not in point(held, 4)
    assert len(asked_of(held, RIGHT)) == 3


def test_the_number_of_the_next_container_is_nobodys_code() -> None:
    held = hold(later(begun(3) + OVEN, by="T07"), ["4010", "04", "7", "", "04", "/"])

    assert "! '04' is no day up to 2026-03-17, no code." in held.words
    assert point(held, 4)["compacted"] == {"on": "2026-03-17", "by": "T07"}
    assert point(held, 4)["container"] == "04"


def test_it_is_asked_once_and_said_of_the_next_points() -> None:
    four = ["4010", "2026-03-16", "", "51.70", "201.00"]
    held = hold(later(begun(3) + OVEN), [*four, "y", "", "", "3950", "/"])

    assert point(held, 5)["compacted"] == {"on": "2026-03-16", "by": "T04"}
    assert len(asked_of(held, RIGHT)) == 1
    assert "Point 5: compacted 2026-03-16 by T04." in held.words


def test_a_sheet_typed_later_keeps_the_day_of_the_test_for_all_its_points() -> None:
    four = ["4010", "no", "", "51.70", "201.00"]
    held = hold(later(begun(3)), [*four, "y", "", "", "3950", "/"])

    assert "compacted" not in point(held, 5)
    assert len(asked_of(held, RIGHT)) == 1


def test_on_the_same_day_by_the_same_person_nothing_is_asked() -> None:
    held = hold(session(begun(3)), ["4010", "/"])

    assert "compacted" not in point(held, 4)
    assert not asked_of(held, RIGHT)


def test_a_correction_on_a_later_day_moves_no_day() -> None:
    why = "misread the balance"
    held = hold(later(begun(3) + OVEN), ["p 2", "3945", why, "/"])

    assert point(held, 2)["mold_and_wet_soil"] == "3945"
    assert "compacted" not in point(held, 2)
    assert not asked_of(held, RIGHT)


def test_soil_wetted_on_the_first_day_is_of_the_day_on_which_it_is_compacted() -> None:
    text = begun(3) + OVEN
    wetted = "  - {specimen_mass: 2500, water_added_ml: 180}\n" + OVEN
    held = hold(later(text.replace(OVEN, wetted)), ["p 4", "", "", "4010", "", "/"])

    assert point(held, 4)["compacted"] == {"on": "2026-03-17", "by": "T04"}


def test_where_no_point_was_made_yet_the_test_itself_is_of_that_day() -> None:
    blank = begun(0).replace("points: []", "points:\n  - {mold_and_wet_soil: }")
    held = hold(later(blank), ["p 1", "3854", "", "/"])

    assert held.tree["compacted"] == {"on": "2026-03-17", "by": "T04"}
    assert "compacted" not in point(held, 1)
    assert "Compacted 2026-03-17 by T04." in held.words


def test_it_has_oven_times_and_a_weighing_of_its_own() -> None:
    answers = ["4010", "", "", "51.70", "201.00", "no"]
    own = ["2026-03-17 15:00", "110", f"{NEXT} 08:10"]
    at = later(begun(3, dry=True) + OVEN)
    held = hold(at, [*answers, *own, "181.20", "", "", "/"])

    assert point(held, 4)["oven"] == {
        "in": "2026-03-17T15:00",
        "temperature_c": "110",
        "out": f"{NEXT}T08:10",
    }
    assert held.tree["oven"]["in"] == "2026-03-10T15:40"
    # Weighed after it came out of the oven, not before.
    assert point(held, 4)["dried"] == {"on": NEXT, "by": "T04"}


def test_points_that_went_into_one_oven_have_no_times_of_their_own() -> None:
    # Points 1 to 3 were not in the oven yet.
    held = hold(later(begun(3)), ["4010", "", "", "51.70", "201.00", "no", "/"])

    assert asked_of(held, "Into the oven") == ["Into the oven at (hh:mm): "]


def test_a_further_point_can_be_added_when_the_others_are_dry() -> None:
    # The question whether to add one was before the oven.
    four = begun(4, dry=True) + OVEN
    at = later(four.replace("status", "dried: {on: 2026-03-11, by: T07}\nstatus", 1))
    held = hold(at, ["p 5", "y", "", "", "3981", "", "/"])

    assert asked_of(held, "Add point 5?")
    assert point(held, 5)["mold_and_wet_soil"] == "3981"
    assert point(held, 5)["compacted"] == {"on": "2026-03-17", "by": "T04"}
