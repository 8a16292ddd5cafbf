"""Readings that `new` filled in are read again at the bench, once."""

from dataclasses import replace

from tests.entering.session import Held, begun, entered, hold, session


def new(*answers: str, committed: bool = False) -> Held:
    """Sit down at a record that holds the mold's mass and no other reading."""
    at = session(begun(0))
    return hold(at if committed else replace(at, base=None), answers)


def about_mold(held: Held) -> list[str]:
    return [prompt for prompt in held.asked if prompt.startswith("Empty mold")]


def test_enter_says_that_the_mold_weighed_the_same_again() -> None:
    held = new("", "2410", "85", "3854")

    assert about_mold(held) == ["Empty mold (to nearest 1 g), now 2001: "]
    assert held.tree["mold_mass"] == "2001"
    assert held.tree["points"][0]["mold_and_wet_soil"] == "3854"


def test_another_mass_takes_its_place_without_a_reason() -> None:
    held = new("2000", "2410")

    assert len(about_mold(held)) == 1
    assert held.tree["mold_mass"] == "2000"
    assert "Why is it changed" not in "".join(held.asked)


def test_what_was_committed_is_not_asked_again() -> None:
    assert about_mold(new("2410", committed=True)) == []


def test_what_is_weighed_is_said_as_the_record_has_it() -> None:
    # A mold weighed with its plate once and without it later is a plate of error.
    plate = begun(0).replace("weighed_with: mold", "weighed_with: mold and base plate")
    held = entered(plate.replace("mold_mass: 2001", "mold_mass:"), "/")
    assert about_mold(held) == ["Empty mold and base plate (to nearest 1 g): "]

    held = entered(plate, "2410", "85")
    assert held.asked[-1] == "Point 1: Mold, base plate and wet soil (to nearest 1 g): "
