"""The talk at the bench: what is asked, judged, saved, changed and committed."""

import pytest

from buildsite.record.set_reading import value_at
from tests.archives import sound
from tests.entering.session import (
    OVEN,
    REUSED,
    SEPARATE,
    Held,
    begun,
    entered,
    hold,
    session,
)

POINT = ("2410", "85", "3854", "31", "52.10", "198.40")
"""Soil in the pan, water, mold and soil, container, empty, wet."""


def dried(*answers: str, points: int = 4) -> Held:
    """Some points of a test that come out of the oven."""
    return entered(begun(points) + OVEN, *answers)


def test_readings_go_in_as_typed_with_their_last_zeros() -> None:
    held = entered(begun(0), *POINT)

    assert held.tree["points"] == [
        {
            "specimen_mass": "2410",
            "water_added_ml": "85",
            "mold_and_wet_soil": "3854",
            "container": "31",
            "container_mass": "52.10",
            "container_and_wet": "198.40",
        }
    ]
    assert len(held.saved) == len(POINT)  # after each
    # Layout and comments stay.
    assert held.text.startswith(begun(0).replace(" []", ""))


def test_at_the_end_all_new_readings_are_one_commit() -> None:
    held = entered(begun(0), *POINT)

    (commit,) = held.commits
    assert commit.subject == "ML-102: enter point 1"
    assert (commit.by, commit.reason) == ("T07", "readings at the bench")


def test_the_talk_goes_on_at_the_first_blank_reading() -> None:
    held = entered(begun(2))

    assert held.asked == ["Point 3: Mold and wet soil (to nearest 1 g): "]


def test_of_a_point_not_begun_the_pan_is_asked_for_where_the_others_have_it() -> None:
    assert entered(begun(2, pan=True)).asked == [
        "Point 3: Soil in the pan, before the water (g): "
    ]
    # The pan was weighed, then somebody stopped: go on at the water.
    stopped = entered(begun(2, pan=True), "2411", "/").text
    assert entered(stopped).asked == ["Point 3: Water added for this point (mL): "]
    # Compacted without: then what is needed comes first.
    compacted = entered(begun(2, pan=True), "", "", "4002", "/").text
    assert entered(compacted).asked == ["Point 3: Empty container (to nearest 0.1 g): "]


def test_a_new_record_begins_at_its_first_blank() -> None:
    text = begun(0).replace("prepared: {on: 2026-03-09, by: T07}", "prepared:")
    text = text.replace("preparation: moist\n", "")
    held = entered(text, "", "", "2")

    assert held.asked[0] == "Prepared on [2026-03-10]: "
    assert held.tree["prepared"] == {"on": "2026-03-10", "by": "T07"}
    assert held.tree["preparation"] == "dry"


def test_what_is_no_number_is_asked_again() -> None:
    held = entered(begun(2), "12,5", "4002")

    assert "'12,5' is not a number. Write a decimal point: 12.5." in held.words
    assert held.tree["points"][2] == {"mold_and_wet_soil": "4002"}


def test_a_number_with_its_unit_is_asked_again_without_it() -> None:
    held = entered(begun(2), "4.002 kg", "4002")

    said = " ".join(held.words.split())
    assert "'4.002 kg' is not a number. Write the number alone, in " in said


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("1990", "expected: more than the empty mold"),
        ("4340", "expected: within 10 % of point 2's"),
    ],
)
def test_what_looks_wrong_is_read_again(typed: str, says: str) -> None:
    held = entered(begun(2), typed, "4002")

    assert says in held.words
    assert held.tree["points"][2] == {"mold_and_wet_soil": "4002"}
    assert "remarks" not in held.tree


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        # The mold by hand: pi/4 x 10.1605^2 x 11.641 cm = 943.9 cm3, of water 944 g.
        (("85", "2410"), "expected: enough to fill the mold, more than 944 g"),
        # The mold's mass where the water is asked for.
        (("2410", "3854", "85"), "expected: less than half the mass of the soil"),
    ],
)
def test_soil_and_water_that_make_no_specimen_are_read_again(
    typed: tuple[str, ...], says: str
) -> None:
    held = entered(begun(0), *typed)

    assert says in held.words
    assert held.tree["points"][0]["specimen_mass"] == "2410"
    assert held.tree["points"][0].get("water_added_ml") in (None, "85")


def test_going_elsewhere_is_no_reason_either() -> None:
    held = entered(begun(2), "4340", "p 1")

    assert held.asked[-1].startswith("Point 1, container 31: Mold and wet soil")
    assert len(held.tree["points"]) == 2
    assert "remarks" not in held.tree


def test_a_moist_specimen_too_small_is_told_while_more_can_be_taken() -> None:
    # ASTM D2216, table 1 (from memory): 20 g at least for soil that passes No. 10,
    # and 100 g for what passes No. 4, to 1 %.
    held = entered(begun(2), "4002", "29", "52.87", "57.10", "195.96")

    assert "4.23 g of wet soil; expected: at least" in held.words
    assert held.tree["points"][2]["container_and_wet"] == "195.96"


def test_a_number_where_more_points_are_asked_for_is_told() -> None:
    held = entered(begun(4), "2410", "no")

    assert "  ! '2410' is not yes or no." in held.said


@pytest.mark.parametrize(
    ("typed", "stands"),
    [
        (("25:40", "15:40"), "2026-03-10T15:40"),
        (("2026-03-11 8:05",), "2026-03-11T08:05"),
        (("2026-03-11T08:05",), "2026-03-11T08:05"),
        (("2026-02-30 8:05", "yesterday", "18.05"), "2026-03-10T18:05"),
    ],
)
def test_a_time_has_another_day_where_one_is_said(
    typed: tuple[str, ...], stands: str
) -> None:
    held = entered(begun(4), "no", *typed)

    assert held.tree["oven"] == {"in": stands}
    assert ("is not a time. Type 15:20" in held.words) == (len(typed) > 1)


def test_a_wet_mass_that_rises_after_it_fell_is_read_again() -> None:
    # As the bench sheet has it: 8.64, 8.66, then 8.61 lb; 8.65 after that would rise.
    held = entered(begun(5, REUSED) + OVEN, "p5", file=REUSED)
    assert held.asked[1].startswith("Point 5")

    text = begun(5, REUSED).replace("water_added_ml: 43", "water_added_ml: 43")
    held = entered(text, "yes", "5.60", "40", "8.65", "8.55", file=REUSED)
    assert "expected: one peak" in held.words
    assert held.tree["points"][5]["mold_and_wet_soil"] == "8.55"


def test_a_container_unlike_the_others_is_read_again() -> None:
    held = entered(begun(2), "4002", "29", "5.287", "52.87")

    assert (
        "an empty container of 5.287 g; expected: a mass like the others" in held.words
    )
    assert held.tree["points"][2]["container_mass"] == "52.87"


def test_a_container_unlike_the_same_number_in_another_test_is_read_again() -> None:
    # Container 21 weighed 31.42 g for ML-101; with 41.42 g the water content of a
    # point of 131.37 g wet and 115.62 g dry would be 14.9 % for 13.6 %, by hand.
    held = entered(begun(2), "4002", "21", "41.42", "31.42")

    assert (
        "41.42 g for empty container 21; expected: 31.42 g, as for ML-101 on 2026-03-10"
        in held.words
    )
    assert held.tree["points"][2]["container_mass"] == "31.42"


def test_a_container_not_weighed_is_read_again() -> None:
    held = entered(begun(2), "4002", "29", "0.00", "52.87")

    assert "expected: the mass of the empty container" in held.words
    assert held.tree["points"][2]["container_mass"] == "52.87"


def test_a_reading_coarser_than_asked_is_read_again() -> None:
    # ASTM D2216 (from memory): the moisture specimen to 0.1 g.
    held = entered(begun(2), "4002", "", "52", "52.9")

    assert "read to 1 g; expected: 0.1 g or finer" in held.words
    assert held.tree["points"][2]["container_mass"] == "52.9"


def test_a_column_that_is_known_to_be_coarse_is_not_asked_about_again() -> None:
    text = begun(2).replace("container_mass: 52.13", "container_mass: 52")
    held = entered(text, "4002", "", "53")

    assert held.tree["points"][2]["container_mass"] == "53"


def test_it_is_kept_where_the_person_says_why() -> None:
    held = entered(begun(2), "4340", "stones in the soil")

    assert held.tree["points"][2] == {"mold_and_wet_soil": "4340"}
    assert held.tree["remarks"] == (
        "point 3, mold and wet soil 4340: kept, stones in the soil"
    )
    assert "accepted" not in held.tree


def test_another_remark_follows_the_one_that_stood() -> None:
    held = entered(f"{begun(2)}remarks: wet day\n", "4340", "stones in the soil")

    assert held.tree["remarks"].startswith("wet day; point 3")


def test_an_impossible_reading_is_kept_only_if_typed_twice_with_a_reason() -> None:
    # 1990 g of mold and soil, of which the mold alone has 2001: impossible.
    held = entered(begun(2), "1990", "stones in the soil", "4002")
    assert "kept only if the same is typed again, with a reason." in held.words
    assert held.tree["points"][2] == {"mold_and_wet_soil": "4002"}
    assert "remarks" not in held.tree

    held = entered(begun(2), "1990", "1990", "29", "collar left off by mistake")
    assert "'29' is no reason. A reason says what was wrong or why" in held.words
    assert held.tree["points"][2] == {"mold_and_wet_soil": "1990"}
    assert held.tree["remarks"].endswith("1990: kept, collar left off by mistake")
    flags = session(held.text).state.flags
    assert [str(one.severity) for one in flags if one.line and "1990" in one.found] == [
        "error"
    ]


@pytest.mark.parametrize("typed", ["43400", "504"])
def test_a_wet_mass_that_no_soil_has_is_an_error_before_the_oven(typed: str) -> None:
    # By hand: (43400 - 2001) g in 944.3 cm3 are 51300 kg/m3; no soil is denser than
    # its solids, 3000 at most.
    typed = typed if len(typed) > 4 else "2030"  # 29 g of soil: 31 kg/m3
    held = entered(begun(2), typed, typed, "weighed it twice")

    assert "impossible-density" in held.words
    flags = {flag.flag for flag in session(held.text).state.flags}
    assert "impossible-density" in flags


@pytest.mark.parametrize(
    ("before", "typed"),
    [
        ((), "24.10"),  # soil for a mold of 944 cm3
        (("2410",), "8500"),  # mL of water to 2410 g of soil
        (("2410", "85", "3854", "31", "52.13"), "19841"),  # g on a balance of 2200 g
        (("1710", "85"), "3854"),  # 1853 g in the mold, of 1795 g in the pan
    ],
)
def test_what_cannot_be_is_not_kept_for_a_few_words(
    before: tuple[str, ...], typed: str
) -> None:
    held = entered(begun(0), *before, typed, "sure about it", "/")

    said = [ask for ask in held.asked if ask.startswith("Impossible. Reread and ")]
    assert [(" point 1, " in ask) for ask in said] == [True]
    assert typed not in held.text
    assert "remarks" not in held.tree


def test_the_remark_on_a_kept_doubt_goes_when_the_reading_is_corrected() -> None:
    text = f"{begun(2)}remarks: wet day\n"
    kept = entered(text, "4340", "stones in the soil; and gravel", "/").text
    assert "kept, stones in the soil, and gravel" in kept

    held = entered(kept, "p 3", "4002", "read the wrong line")
    assert held.tree["remarks"] == "wet day"
    assert held.tree["points"][2] == {"mold_and_wet_soil": "4002"}

    held = entered(begun(2), "4340", "stones in the soil", "-", "4002")
    assert not held.tree.get("remarks")

    held = entered(begun(2), "4340", "stones in it", "-", "4341", "weighed again")
    assert held.tree["remarks"] == (
        "point 3, mold and wet soil 4341: kept, weighed again"
    )


def test_a_container_number_that_looks_like_a_mass_is_doubted() -> None:
    held = entered(begun(2), "4002", "52.87", "29", "52.87")

    assert "52.87 looks like a mass; expected: the number on the container" in (
        held.words
    )
    assert held.tree["points"][2]["container"] == "29"
    assert held.tree["points"][2]["container_mass"] == "52.87"


def test_a_container_number_as_long_as_a_mass_is_doubted_until_it_is_known() -> None:
    held = entered(begun(2), "4002", "4012", "29", "52.87")
    assert "4012 looks like a mass; expected: the number on the container" in held.words
    assert held.tree["points"][2]["container"] == "29"

    whole = sound()[SEPARATE].decode()
    other = whole.replace("id: ML-102", "id: ML-150")
    known = other.replace('container: "', 'container: "40')
    number = known.partition('container: "')[2].partition('"')[0]
    assert len(number) >= 4
    held = hold(session(begun(2), other=known), ["4002", number, "/"])
    assert "looks like a mass" not in held.words
    held = hold(session(begun(2), other=other), ["4002", number, "/"])
    assert "looks like a mass" in held.words


@pytest.mark.parametrize(("typed", "doubted"), [("2410", True), ("180", False)])
def test_water_beside_a_pan_that_was_not_weighed_may_be_a_mass(
    typed: str, doubted: bool
) -> None:
    # Mold of 944.3 cm3, filled twice at 2,000 kg/m3: 3777 g of soil; half is 1889 mL.
    held = entered(begun(0), "", typed, "/")
    assert (
        "at most 1889 mL, half the soil that fills the mold twice" in held.words
    ) is (doubted)


def test_a_doubt_names_the_earlier_point_that_may_be_the_slip() -> None:
    # Point 2 stands as 5039 for 3939 g, and 4002 g at point 3 is right.
    text = begun(2).replace("mold_and_wet_soil: 3939", "mold_and_wet_soil: 5039")
    held = entered(text, "4002", "p 2")

    assert "the slip may be here or at point 2: check both" in held.words
    # Point 1 stands as 168.19 for 187.19 g, 26.0 %; 190.07 g at point 2 is right.
    dry = begun(4).replace("198.41}", "198.41, container_and_dry: 168.19}")
    held = entered(dry + OVEN, "190.07")
    assert "the slip may be here or at point 1: check both" in held.words


def test_a_filled_mold_is_judged_before_the_empty_one_is_weighed() -> None:
    # By hand: M-04 weighs 2001 g and holds 944 cm3; no soil is looser than 500 kg/m3:
    # 2473 g at least. 2150 would be 149 g of soil.
    text = begun(2).replace("mold_mass: 2001", "mold_mass:")
    held = entered(text, "p 3", "2150", "4002", "/")

    assert "2150 g; expected: 2473 to " in held.words
    assert held.tree["points"][2] == {"mold_and_wet_soil": "4002"}


def test_a_doubt_about_another_point_says_which() -> None:
    # 2150 g typed at point 2 while the empty mold was blank; 149 g in 943 cm3 is 158
    # kg/m3, 9.9 lb/ft3: the mold is right, the point is not.
    text = begun(2).replace("mold_mass: 2001", "mold_mass:")
    held = entered(text.replace("3939", "2150"), "2001", "/")

    assert "? point 2: a moist unit weight of 9.9 lbf" in held.words


def test_a_staff_code_is_taken_in_small_letters() -> None:
    text = begun(4, dry=True) + OVEN
    held = entered(text, "2026-03-11", "t07", "/")

    assert held.tree["dried"] == {"on": "2026-03-11", "by": "T07"}


def test_a_reading_above_its_balances_capacity_is_doubted_as_it_is_typed() -> None:
    # B-03 carries 2200 g, and shows 0.01 g.
    held = entered(begun(2), "4002", "29", "52.87", "2261.98", "195.96")

    assert "2261.98 g on B-03; expected: at most 2200 g, its capacity" in held.words
    assert held.tree["points"][2]["container_and_wet"] == "195.96"


def test_a_reading_finer_than_its_balance_shows_is_doubted_once() -> None:
    held = entered(begun(2), "4002", "29", "52.873", "another balance used", "195.96")

    assert "52.873 g on B-03, to 0.001 g; expected: 0.01 g, its readability" in (
        held.words
    )
    held = entered(held.text, "4007", "30", "52.114", "196.20")
    assert "readability" not in held.words


def test_points_before_the_oven_are_drawn_as_estimates() -> None:
    held = entered(begun(2, pan=True), "2410", "150", "4002")

    assert any("?: estimated" in line for line in held.said)
    assert any("3?" in line for line in held.said)


def test_a_single_word_is_no_reason() -> None:
    held = entered(begun(2), "4340", "stones", "4002")

    assert held.tree["points"][2] == {"mold_and_wet_soil": "4002"}


def test_a_dry_mass_above_the_wet_one_is_seen_at_once() -> None:
    held = dried("199.19", "187.19")

    assert "expected: at most container and wet soil, 198.41 g" in held.words
    assert held.tree["points"][0]["container_and_dry"] == "187.19"


def test_a_water_content_out_of_line_is_seen_at_once() -> None:
    # By hand: (198.41 - 168.19) / (168.19 - 52.13) = 26.0 %, beside 10.2 %:
    # (204.25 - 190.07) / (190.07 - 51.64) of point 2.
    text = begun(4).replace("204.25}", "204.25, container_and_dry: 190.07}")
    held = entered(text + OVEN, "168.19", "187.19")

    assert (
        "a water content of 26.0 %; expected: within 8 points of point 2's 10.2 %"
        in (held.words)
    )


def test_water_contents_and_densities_are_shown_as_they_come() -> None:
    held = dried("187.19", "190.07")

    # By hand: (198.41 - 187.19) / (187.19 - 52.13) = 8.307 %. Mold M-04 holds
    # 942.3 g of water at 21.5 °C (0.99789 g/cm³): 944.3 cm³; (3854 - 2001) g in it
    # are 1962.3 kg/m³, 122.5 lb/ft³; over 1.08307: 1811.8 kg/m³, 113.1 lb/ft³.
    assert "  point 1: w 8.3 %, wet 122.5, dry 113.1 lbf/ft³" in held.said
    assert any("+---" in line for line in held.said)  # the curve's axis


def test_an_oven_mass_may_be_followed_by_another() -> None:
    held = dried("187.25", "-", "+187.19")

    assert held.tree["points"][0]["container_and_dry"] == ["187.25", "187.19"]


def test_back_shows_what_stands_and_enter_walks_on() -> None:
    held = dried("187.19", "-", "", "190.07")

    assert held.asked[2].endswith("now 187.19: ")
    assert held.tree["points"][0]["container_and_dry"] == "187.19"
    assert held.tree["points"][1]["container_and_dry"] == "190.07"


def test_a_slip_of_this_session_is_simply_mended() -> None:
    held = dried("187.91", "-", "187.19")

    assert held.tree["points"][0]["container_and_dry"] == "187.19"
    assert len(held.commits) == 1


def test_a_reading_typed_into_the_wrong_place_is_made_blank_again() -> None:
    of_now = entered(begun(3), "2410", "-", "blank", "/")  # a pan not weighed
    assert not value_at(of_now.tree, ("points", 3, "specimen_mass"))

    held = entered(begun(3), "p 3", "blank", "no such specimen", "/")
    assert not held.tree["points"][2]["mold_and_wet_soil"]
    assert held.commits[0].subject == (
        "ML-102: point 3, mold and wet soil: 4002 g to blank"
    )
    assert held.commits[0].reason == "no such specimen"


def test_a_reading_that_stood_is_changed_with_who_and_why_in_its_own_commit() -> None:
    # To point 3, to its mold; then back to where the work is.
    held = entered(begun(3), *("p3", "4003", "read the wrong line"), *("", "52.9"))

    first, *others = held.commits
    assert first.subject == "ML-102: point 3, mold and wet soil: 4002 to 4003 g"
    assert (first.by, first.reason) == ("T07", "read the wrong line")
    assert [commit.subject for commit in others] in ([], ["ML-102: enter point 4"])
    assert held.tree["points"][2]["mold_and_wet_soil"] == "4003"


def test_what_is_new_is_committed_before_a_change() -> None:
    held = entered(begun(3), "3990", "p 3", "4003", "read the wrong line")

    assert [commit.subject for commit in held.commits] == [
        "ML-102: enter point 4",
        "ML-102: point 3, mold and wet soil: 4002 to 4003 g",
    ]


def test_the_next_reading_is_no_reason() -> None:
    answers = ("p3", "4003", "29", "E02", "read the wrong line")
    held = entered(begun(3), *answers)

    assert held.words.count("is no reason. A reason says what was wrong") == 2
    assert held.commits[0].reason == "read the wrong line"


@pytest.mark.parametrize("leaving", ["-", "/"])
def test_who_goes_back_or_stops_at_the_reason_changes_nothing(leaving: str) -> None:
    held = entered(begun(3), "p3", "4003", leaving)

    assert held.tree["points"][2]["mold_and_wet_soil"] == "4002"
    assert held.commits == []


def test_without_a_reason_it_stays_as_it_was() -> None:
    held = entered(begun(3), "p3", "4003", "")

    assert held.tree["points"][2]["mold_and_wet_soil"] == "4002"
    assert held.commits == []


def test_nothing_that_stood_is_changed_while_nothing_is_committed() -> None:
    at = session(begun(3))
    at.committing = False
    held = hold(at, ["p3", "4003"])

    assert "needs a commit of its own" in held.words
    assert held.text == begun(3)


def test_more_points_are_asked_for_only_when_wanted() -> None:
    assert entered(begun(4), "").asked == [
        "Add point 5? [no] ",
        "Into the oven at (hh:mm): ",
    ]
    assert entered(begun(4), "", "-").asked[2] == "Add point 5? [no] "
    yes = entered(begun(4), "yes", "", "", "4006")
    assert yes.tree["points"][4] == {"mold_and_wet_soil": "4006"}


def test_once_the_oven_is_on_record_no_point_is_asked_for() -> None:
    assert dried().asked == [
        "Point 1, container 31: Container and dry soil (to nearest 0.1 g): "
    ]


def test_the_stop_rule_is_told_before_the_last_point() -> None:
    # ML-101 by AASHTO T 99: 8.64, then 8.66 lb.
    held = entered(begun(4, REUSED), file=REUSED)

    assert "The wet mass still rose at point 4: continue the series." in held.said


def test_what_is_still_required_is_offered_as_the_default() -> None:
    # 8.64, then 8.66 lb: by AASHTO T 99 the series goes on until the wet mass falls.
    held = entered(begun(4, REUSED), "", "", "", "8.61", file=REUSED)

    assert held.asked[0] == "Add point 5? [yes] "
    assert any(
        line.startswith("Still required: a wetter point at which") for line in held.said
    )
    assert held.asked[1].startswith("Point 5: ")
    assert held.tree["points"][4]["mold_and_wet_soil"] == "8.61"


def test_a_point_that_is_offered_and_left_blank_is_not_offered_again() -> None:
    held = entered(begun(4, REUSED), *[""] * 20, file=REUSED)

    assert held.asked.count("Add point 5? [yes] ") == 1
    assert "Add point 6? [yes] " not in held.asked


def test_after_the_oven_a_point_still_required_is_offered_before_the_end() -> None:
    # Of the base's points the fourth is the highest, and here the last.
    text = begun(4, dry=True) + (
        f"{OVEN}dried: {{on: 2026-03-11, by: T04}}\n"
        "entered: {by: T07, checked_by: T04}\n"
    )
    text = text.replace("3939", "3900").replace("4002", "3950").replace("4007", "4060")
    held = entered(text, "no", "")

    assert held.asked[0] == "Add point 5? [yes] "
    assert any("as the highest is at the end" in line for line in held.said)
    assert held.asked[1].startswith("All readings entered. Is the test complete?")


def test_p_leads_to_the_reading_after_the_oven_of_that_point() -> None:
    held = dried("p 3", "180.44")

    assert held.asked[1].startswith("Point 3, container 29: Container and dry soil")
    assert held.tree["points"][2]["container_and_dry"] == "180.44"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("p 9", "There is no point 9: the last is 4."),
        ("p5", "There is no point 5: the last is 4. It is added at `Add point 5?`."),
        ("p 0", "There is no point 0: the last is 4."),
    ],
)
def test_p_says_why_it_leads_nowhere(typed: str, says: str) -> None:
    held = entered(begun(2), typed)

    assert f"  ! {says}" in held.said
    assert held.asked[0] == held.asked[1]


def test_p_says_that_a_point_is_rejected() -> None:
    text = begun(1) + "  - {rejected: {by: E02, reason: dropped}}\n"
    held = entered(text, "p 2")

    assert "  ! Point 2 is rejected: its readings are not asked for." in held.said


def test_p_leads_to_a_pan_that_was_passed_over_and_on_through_the_point() -> None:
    # Points 1 and 2 have soil in the pan and water; point 3 was compacted without.
    text = entered(begun(2, pan=True), "", "", "4002", "/").text
    held = entered(text, "p 3", "", "", "", "/")

    assert [ask.partition(" (")[0] for ask in held.asked[1:]] == [
        "Point 3: Soil in the pan, before the water",
        "Point 3: Water added for this point",
        "Point 3: Mold and wet soil",
        "Point 3: Container no.: ",
    ]
    held = entered(text, "p 3", "2410", "85")
    assert held.tree["points"][2]["water_added_ml"] == "85"


def test_a_time_is_taken_on_the_day_of_the_session() -> None:
    held = entered(begun(4), "no", "15:40", "110")

    assert held.tree["oven"] == {"in": "2026-03-10T15:40", "temperature_c": "110"}


def test_soil_is_weighed_dry_no_earlier_than_it_leaves_the_oven() -> None:
    # Out of the oven on 2026-03-11; the session is of 2026-03-10.
    masses = ("187.19", "190.07", "180.44", "182.03")
    held, early = dried(*masses, ""), dried(*masses, "2026-03-10", "2026-03-11")

    assert held.asked[4] == "Weighed dry on [2026-03-11]: "
    assert held.tree["dried"] == {"on": "2026-03-11"}
    assert "expected: on or before 2026-03-10, when the soil was weighed dry" in (
        early.words
    )
    assert early.tree["dried"] == {"on": "2026-03-11"}


def test_a_rejected_point_is_not_asked_about() -> None:
    text = begun(3) + "  - {rejected: {by: E02, reason: dropped}}\n"

    # Three points count, of four that ASTM D698 asks for.
    assert entered(text).asked == ["Add point 5? [yes] "]


def test_values_taken_from_a_report_are_not_asked_for_again() -> None:
    text = begun(0).replace("points: []", "points:") + 4 * (
        "  - {dry_density: 1800, water_content: 10.0}\n"
    )

    assert entered(text).asked == ["Add point 5? [no] "]


def test_a_point_with_several_containers_is_asked_for_each() -> None:
    text = begun(0).replace("points: []", "points:") + (
        "  - mold_and_wet_soil: 3854\n    containers:\n"
        "      - {container: a, container_mass: 52.1, container_and_wet: 198.4}\n"
        "      - {container: b, container_mass: 51.6}\n"
    )
    held = entered(text, "204.2")

    assert held.asked[0].startswith("Point 1, container b: Container and wet soil")
    assert held.tree["points"][0]["containers"][1]["container_and_wet"] == "204.2"


def test_the_readings_of_a_session_that_was_cut_off_are_committed_first() -> None:
    held = hold(session(begun(2), base=begun(1)), ["4002"], recovered="T04")

    first, second = held.commits
    assert (first.subject, first.by) == ("ML-102: enter point 2", "T04")
    assert (second.subject, second.by) == ("ML-102: enter point 3", "T07")


def test_changes_of_others_are_told_and_not_committed_as_ones_own() -> None:
    held = hold(session(begun(2), base=begun(1)), ["", "4002"], foreign=True)

    assert "not committed" in held.words
    assert "point 2" in held.words
    assert held.commits == []
    assert held.tree["points"][2] == {"mold_and_wet_soil": "4002"}


@pytest.mark.parametrize(
    "answers",
    [[], ["/"], ["stop"], ["T04"], ["T04", "/"], ["T04", ""], ["T04", "-"]],
    ids=lambda each: " ".join(each) or "gone",
)
def test_who_leaves_at_the_question_whose_they_are_commits_nothing(
    answers: list[str],
) -> None:
    held = hold(session(begun(2), base=begun(1)), answers, foreign=True)

    assert held.commits == []
    assert held.saved == []


def test_whose_they_are_is_said_by_a_code_of_the_staff_with_a_reason() -> None:
    answers = ["X99", "T04", "42", "typed at the bench", "/"]
    held = hold(session(begun(2), base=begun(1)), answers, foreign=True)

    assert "  ! 'X99' is not a staff code:" in held.words
    assert [(one.by, one.reason) for one in held.commits] == [
        ("T04", "typed at the bench")
    ]


def test_whose_they_are_may_be_said_in_small_letters() -> None:
    answers = ["t04", "typed at the bench", "/"]
    held = hold(session(begun(2), base=begun(1)), answers, foreign=True)

    assert [one.by for one in held.commits] == ["T04"]


def test_somebody_may_say_whose_they_are() -> None:
    at = session(begun(2), base=begun(1))
    held = hold(at, ["T04", "typed at the bench", "4002"], foreign=True)

    first, second = held.commits
    assert (first.by, first.reason) == ("T04", "typed at the bench")
    assert second.by == "T07"


def test_a_test_with_every_reading_may_be_called_complete() -> None:
    text = begun(5, dry=True) + (
        "  - {water_added_ml: , mold_and_wet_soil: }\n"
        f"{OVEN}dried: {{on: 2026-03-11, by: T04}}\n"
        "entered: {by: T07, checked_by: T04}\n"
    )
    held = entered(text, "yes")

    assert held.asked == ["All readings entered. Is the test complete? [no] "]
    assert held.tree["status"] == "complete"
    assert len(held.tree["points"]) == 5  # the blank line is gone
    assert "status: complete   # yet" in held.text


def test_completion_shows_the_result_and_the_next_step() -> None:
    text = begun(5, dry=True) + (
        f"{OVEN}dried: {{on: 2026-03-11, by: T04}}\n"
        "entered: {by: T07, checked_by: T04}\n"
    )
    held = entered(text, "yes")

    found = [line for line in held.said if line.startswith("  Standard ")]
    assert [line.partition(":")[0] for line in found] == [
        "  Standard maximum dry unit weight",
        "  Standard optimum water content",
    ]
    assert all(any(sign.isdigit() for sign in line) for line in found)
    assert "Complete: ready for review. Next: buildsite review ML-102 --by CODE" in (
        held.said
    )


def test_completion_without_the_second_persons_check_says_so() -> None:
    text = begun(5, dry=True) + (
        f"{OVEN}dried: {{on: 2026-03-11, by: T04}}\nentered: {{by: T07}}\n"
    )
    held = entered(text, "", "yes")

    assert any("Next: buildsite enter ML-102" in line for line in held.said)


def test_an_error_keeps_it_in_progress() -> None:
    text = begun(5, dry=True).replace("187.19", "287.19") + (
        f"{OVEN}dried: {{on: 2026-03-11, by: T04}}\n"
        "entered: {by: T07, checked_by: T04}\n"
    )
    held = entered(text, "yes")

    assert "The test stays in progress: it has an error." in held.said
    assert held.text == text


def test_a_gap_keeps_a_test_from_being_called_complete() -> None:
    held = entered(begun(2), *[""] * 30)

    assert not any("complete?" in ask for ask in held.asked)
    assert "Still blank: point 3, mold and wet soil;" in held.said[-1]


def test_help_says_the_keys_and_where_a_step_comes_from() -> None:
    held = entered(begun(2), "?")

    assert "- or back" in held.words
    assert "Source of this question: ASTM D698" in held.words


@pytest.mark.parametrize("word", ["/", "stop", "quit", "q"])
def test_a_word_stops(word: str) -> None:
    assert len(entered(begun(2), word, "4002").asked) == 1


def test_a_container_may_be_called_by_a_single_letter() -> None:
    held = entered(begun(2), "4002", "s")

    assert held.tree["points"][2] == {"mold_and_wet_soil": "4002", "container": "s"}


def test_equipment_of_the_archive_is_offered_by_number() -> None:
    text = begun(0).replace("mold: M-04, ", "").replace("balance: B-11, ", "")
    held = entered(text, "1", "2")

    assert held.asked[0] == "Mold (1 M-04): "
    assert held.asked[1] == "Balance for mold and soil (1 B-03, 2 B-11): "
    assert held.tree["equipment"]["mold"] == "M-04"
    assert held.tree["equipment"]["balance"] == "B-11"


def test_equipment_that_is_not_there_is_asked_again() -> None:
    held = entered(begun(0).replace("mold: M-04, ", ""), "M-05", "M-04")

    assert "'M-05' is not one of: M-04." in held.words
    assert held.tree["equipment"]["mold"] == "M-04"


@pytest.mark.parametrize("typed", ["m04", "M 4", "m-4", "1", "04"])
def test_equipment_is_found_in_the_forms_that_people_type(typed: str) -> None:
    held = entered(begun(0).replace("mold: M-04, ", ""), typed)

    assert held.tree["equipment"]["mold"] == "M-04"


def test_go_leads_back_to_the_first_blank() -> None:
    held = entered(begun(2), "p1", ".")

    assert held.asked[0] == held.asked[2]
