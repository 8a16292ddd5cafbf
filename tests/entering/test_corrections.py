"""A committed reading of a complete test is corrected, from any prompt."""

import pytest

from tests.archives import sound
from tests.entering.session import SEPARATE, Held, begun, entered, hold, session

COMPLETE = sound()[SEPARATE].decode()
ASKS = "Which reading is to be corrected (p 2: point 2; or its name, as oven; Enter"
WHY = "read the wrong line"
TO_MASS = ("p 2", "", "")  # soil in the pan, water added, then the filled mold


def mass(held: Held, point: int) -> str:
    return str(held.tree["points"][point - 1]["mold_and_wet_soil"])


def test_a_complete_test_asks_which_reading_is_to_be_corrected() -> None:
    stood = mass(Held(text=COMPLETE), 2)
    new = str(int(stood) + 1)
    held = entered(COMPLETE, *TO_MASS, new, WHY, "")

    assert held.asked[0].startswith(ASKS)
    (change,) = held.commits
    assert change.subject == f"ML-102: point 2, mold and wet soil: {stood} to {new} g"
    assert (change.by, change.reason) == ("T07", WHY)
    assert held.asked[-1].startswith(ASKS)  # and then which other one


def test_enter_or_a_slash_leaves_a_complete_test_as_it_is() -> None:
    for key in ("", "/", "no"):
        held = entered(COMPLETE, key)
        assert held.text == COMPLETE
        assert len(held.asked) == 1


def test_the_point_alone_is_walked_through_also_behind_the_oven() -> None:
    held = entered(COMPLETE, "p 2", *[""] * 20)
    seen = [prompt for prompt in held.asked if not prompt.startswith(ASKS)]
    assert all(prompt.startswith("Point 2") for prompt in seen)
    assert "Container and dry soil" in seen[-1]
    assert held.asked[-1].startswith(ASKS)


def test_a_reading_of_no_point_is_found_by_its_name() -> None:
    held = entered(COMPLETE, "mold of wood", "layers")
    assert "No reading is called 'mold of wood' (p 2: point 2; or its" in held.words
    assert held.asked[2].startswith("Layers, now 3")
    oven = entered(COMPLETE, "oven")
    assert oven.asked[1].startswith("Into the oven at")


def test_p_leads_to_a_point_where_it_is_asked_whether_the_test_is_complete() -> None:
    text = COMPLETE.replace("status: complete", "status: in-progress")
    asks = "All readings entered. Is the test complete?"
    held = entered(text, *TO_MASS, "3940", WHY, "")
    assert held.asked[0].startswith(asks)
    assert held.asked[1].startswith("Point 2")
    assert mass(held, 2) == "3940"
    assert held.asked[-1].startswith(asks)


def test_an_answer_that_is_neither_yes_nor_a_reading_is_asked_again() -> None:
    text = COMPLETE.replace("status: complete", "status: in-progress")
    held = entered(text, "4003.7")
    assert "No reading is called '4003.7' (p 2" in held.words
    assert len(held.asked) == 2
    assert held.text == text


@pytest.mark.parametrize("part", ["", "oven", "remarks", "deviations", "points"])
def test_p_leads_to_a_point_from_any_particulars(part: str) -> None:
    stood = mass(Held(text=COMPLETE), 2)
    new = str(int(stood) + 1)
    at = session(COMPLETE)
    held = hold(at, [f"={part}", *TO_MASS, new, WHY, "/"])
    if part == "points":  # what is rarely said of that same point
        assert held.asked[2].startswith("Point 2: Wetted at")
        return
    assert held.asked[2].startswith("Point 2"), held.asked
    assert mass(held, 2) == new
    assert held.asked[-1] == held.asked[1]  # where they were


def test_the_check_of_the_entry_and_the_review_are_of_the_earlier_reading() -> None:
    held = entered(COMPLETE, *TO_MASS, "3940", WHY, "")

    assert "The entry check by T04 was before this: blank again." in held.words
    assert held.tree["entered"]["by"] == "T07"
    assert not held.tree["entered"].get("checked_by")
    assert held.said[-2:] == [
        "Next: a second person checks the entry: buildsite enter ML-102",
        "Then: review again (E02 reviewed it before this change): "
        "buildsite review ML-102 --by CODE",
    ]


def test_remarks_are_no_reading_that_was_checked() -> None:
    held = entered(COMPLETE, "=remarks", "+rain")
    assert "remarks: rain" in held.text
    assert held.tree["entered"]["checked_by"] == "T04"


def test_who_weighed_dry_is_asked_when_the_last_dry_mass_is_in() -> None:
    asked = ("Weighed dry on", "Weighed dry by", "Readings entered by")
    left_out = {"n": 0}

    def four_of_five(prompt: str) -> str:
        if "right" in prompt:
            return "shown by the balance"
        if "dry soil" in prompt:
            left_out["n"] += 1
            return "s" if left_out["n"] == 5 else f"{150 + left_out['n']}.20"
        return ""

    held = hold(session(begun(5)), four_of_five)
    assert left_out["n"] >= 5
    assert not [one for one in held.asked if one.startswith(asked)]
    assert "dried" not in held.tree
    assert "entered" not in held.tree


def test_it_is_asked_again_after_a_further_dry_mass() -> None:
    said = "dried: {on: 2026-03-09, by: T02}\nentered: {by: T02}\n"
    text = begun(5, dry=True)
    last = text.rindex(", container_and_dry: ")
    mass = text[last:].removeprefix(", container_and_dry: ").split("}")[0].split(",")[0]
    text = text.replace(f", container_and_dry: {mass}", "") + said
    held = hold(
        session(text, file=SEPARATE),
        lambda prompt: mass if "dry soil" in prompt else "",
    )
    again = [one for one in held.asked if "now 2026-03-09" in one or "now T02" in one]
    assert again == [
        "Weighed dry on, now 2026-03-09: ",
        "Weighed dry by, now T02: ",
        "Readings entered by, now T02: ",
    ]


@pytest.mark.parametrize(
    "word", ["yes", "ok", "y", "misread", "yes ok", "it is right", "p 2", "T07"]
)
def test_a_reason_says_what_was_wrong(word: str) -> None:
    stood = mass(Held(text=COMPLETE), 2)
    answers = (*TO_MASS, str(int(stood) + 1), word, WHY)
    held = entered(COMPLETE, *answers)
    assert f"{word!r} is no reason. A reason says what was wrong" in held.words
    assert [one.reason for one in held.commits] == [WHY]


def test_yes_is_no_answer_to_a_doubt() -> None:
    held = entered(begun(2), "4500", "yes", "4003")
    assert "'yes' is no reason." in held.words
    assert held.tree["points"][2]["mold_and_wet_soil"] == "4003"


@pytest.mark.parametrize("leave", ["/", None])
def test_a_doubted_reading_that_is_left_is_told(leave: str | None) -> None:
    held = hold(session(begun(2)), ["4500", *filter(None, [leave])])
    assert (
        "Not kept: point 3, mold and wet soil 4500, which waited to be read again."
        in held.words
    )
    assert len(held.tree["points"]) == 2


def test_a_change_that_waits_for_its_reason_is_told() -> None:
    stood = mass(Held(text=COMPLETE), 2)
    held = entered(COMPLETE, *TO_MASS, str(int(stood) + 1))
    assert f"soil {int(stood) + 1}, which waited for a reason." in held.words
    assert held.text == COMPLETE
    kept = entered(begun(2), "4500", "4003")
    assert "Not kept" not in kept.words


def test_a_complete_test_asks_only_what_is_needed_before_the_correction() -> None:
    text = COMPLETE.replace("prepared: {on: 2026-03-09, by: T07}\n", "")
    text = text.replace("water_added_ml: 85, ", "")
    held = entered(text, *[""] * 10)
    assert held.asked[0].startswith(ASKS)
    assert held.text == text

    dry = ", container_and_dry: 190.07"
    assert COMPLETE.count(dry) == 1
    lacking = entered(COMPLETE.replace(dry, ""), "190.07", "", "", "")
    assert "Container and dry soil" in lacking.asked[0]
    assert lacking.asked[1:3] == [
        "Weighed dry on, now 2026-03-11: ",  # of this one as well?
        "Weighed dry by, now T04: ",
    ]
    assert lacking.asked[3].startswith(ASKS)


def test_the_check_of_the_entry_is_asked_first_and_not_of_who_corrects() -> None:
    text = COMPLETE.replace("checked_by: T04", "checked_by: ")
    held = entered(text, "T04", "p 2", "", "", "3940", WHY, "")
    assert held.asked[0] == "Entry checked by: "
    assert [one for one in held.asked if one.startswith("Entry")] == held.asked[:1]
    assert not held.tree["entered"].get("checked_by")


def test_enter_takes_no_day_and_nobody_in_a_complete_test() -> None:
    oven = COMPLETE.replace("dried: {on: 2026-03-11, by: T04}\n", "")
    held = entered(oven, *[""] * 4)
    assert held.asked[:2] == ["Weighed dry on: ", "Weighed dry by: "]
    assert held.text == oven


def test_a_point_dried_by_itself_has_its_own_weighing_and_asks_for_no_other() -> None:
    text = begun(5, dry=True) + "dried: {on: 2026-03-11, by: T02}\n"
    dry = ", container_and_dry: 186.26"
    own = ", oven: {in: 2026-03-10T15:40, temperature_c: 110, out: 2026-03-11T08:05}"
    assert text.count(dry) == 1
    by_itself = session(text.replace(dry, own))
    held = hold(by_itself, lambda ask: "186.26" if "dry soil" in ask else "")
    assert "container_and_dry: 186.26" in held.text
    assert not [one for one in held.asked if one.startswith("Weighed dry on, now")]


def test_a_further_oven_mass_of_a_complete_test_needs_a_reason() -> None:
    answers = ("p 2", "", "", "", "", "", "", "+190.00", WHY)
    held = entered(COMPLETE, *answers)
    assert held.asked[8].startswith("190.07 is committed. Why change it to 190.07, 190")
    assert [one.reason for one in held.commits] == [WHY]
    assert held.tree["points"][1]["container_and_dry"] == ["190.07", "190.00"]
