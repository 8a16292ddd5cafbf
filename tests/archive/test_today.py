"""What is to be done: each thing planted, its line and its next step."""

from collections.abc import Mapping
from datetime import date
from typing import Any

import pytest

from buildsite.archive.archive import Archive
from buildsite.archive.task import Task
from buildsite.archive.today import tasks
from tests.archives import archive_of, changed

DAY = date(2026, 6, 1)  # no equipment is due by then, or within 30 days
TEST = "marsh-lane/tests/ML-102.yaml"
REVIEWED = "reviewed: {on: 2026-03-12, by: E02}\n"
DRY = {  # what point 5 lacks while its soil is in the oven
    "container_and_dry: 187.19": "container_and_dry: ",
    "container_and_dry: 190.07": "container_and_dry: ",
    "container_and_dry: 180.44": "container_and_dry: ",
    "container_and_dry: 182.03": "container_and_dry: ",
    "container_and_dry: 186.26": "container_and_dry: ",
}
ISSUED = ({"test": "marsh-lane/tests/ML-102"}, {"test": "marsh-lane/tests/ML-101"})


def found(
    changes: Mapping[str, Any], on: date | None = DAY, issues: Any = ()
) -> list[Task]:
    planted = {name: [list(pair) for pair in how] for name, how in changes.items()}
    return tasks(archive_of(changed(planted, issues)), on)


def about(id: str, listed: list[Task]) -> list[tuple[str, str, str]]:
    return [(one.list, one.what, one.step) for one in listed if one.id == id]


def test_what_is_complete_and_reviewed_waits_for_issue() -> None:
    assert about("ML-102", found({})) == [
        (
            "issue",
            "reviewed by E02 on 2026-03-12",
            "buildsite issue ML-102 --authorized-by CODE --reason TEXT",
        )
    ]


def test_what_is_complete_waits_for_review() -> None:
    assert about("ML-102", found({TEST: [(REVIEWED, "")]})) == [
        ("review", "complete", "buildsite review ML-102 --by CODE")
    ]


def test_the_entry_is_checked_before_the_review() -> None:
    unchecked = ("checked_by: T04}", "checked_by: }")

    assert about("ML-102", found({TEST: [(REVIEWED, ""), unchecked]})) == [
        ("entry-check", "readings entered by T07", "buildsite enter ML-102")
    ]


def test_an_error_is_corrected_before_all_else() -> None:
    heavier = ("container_and_dry: 187.19", "container_and_dry: 207.19")

    ((name, what, step),) = about("ML-102", found({TEST: [heavier]}))

    assert (name, what.split(" ", 2)[0]) == ("to-correct", "complete,")
    assert step == f"buildsite check records/{TEST}"


def test_in_progress_tells_the_last_reading_and_the_next() -> None:
    plant = [
        ("status: complete", "status: in-progress"),
        (REVIEWED, ""),
        ("container_and_dry: 186.26", "container_and_dry: "),
        ("oven: {in: 2026-03-10T15:40, out: 2026-03-11T08:05, temperature_c: 110}", ""),
    ]
    plant += [(dry, blank) for dry, blank in list(DRY.items())[:4]]

    ((name, what, step),) = about("ML-102", found({TEST: plant}))

    # wet soil of the fifth container was weighed last; the soil goes into the oven next
    assert name == "in-progress"
    assert what.startswith("Point 5, container and wet soil: 207.74 g; next: ")
    assert step == "buildsite enter ML-102"


def test_what_only_the_printed_sheet_has_a_place_for_is_not_the_next_reading() -> None:
    # ASTM D698: times of wetting are on the sheet; nobody is asked for them in turn.
    plant = [
        ("status: complete", "status: in-progress"),
        (REVIEWED, ""),
        ("wetted_at: 2026-03-09T14:10, compacted_at: 2026-03-10T08:30, ", ""),
        ("mold_and_wet_soil: 3854, ", ""),
    ]

    ((_, what, _),) = about("ML-102", found({TEST: plant}))

    assert "wetted at" not in what.lower()
    assert what.endswith("next: Point 1, mold and wet soil")


def test_in_the_oven_tells_since_when_and_from_when_it_may_be_dry() -> None:
    plant = [
        ("status: complete", "status: in-progress"),
        (REVIEWED, ""),
        ("out: 2026-03-11T08:05, temperature_c: 110}", "out: }"),
        *DRY.items(),
    ]

    listed = found({TEST: plant})

    # ASTM D2216: overnight, 12 h at least (from memory): 15:40 and 12 h are 03:40
    assert about("ML-102", listed) == [
        (
            "in-the-oven",
            "since 2026-03-10 15:40, ready from 2026-03-11 03:40",
            "buildsite enter ML-102",
        )
    ]
    (task,) = [one for one in listed if one.id == "ML-102"]
    assert dict(task.days) == {
        "since": "2026-03-10 15:40",
        "ready": "2026-03-11 03:40",
    }


def test_what_came_out_of_the_oven_is_not_in_it() -> None:
    plant = [
        ("status: complete", "status: in-progress"),
        (REVIEWED, ""),
        ("out: 2026-03-11T08:05, temperature_c: 110}", "out: }"),
        *list(DRY.items())[1:],
    ]

    ((name, what, _),) = about("ML-102", found({TEST: plant}))

    assert name == "in-progress"
    assert what.startswith("Point 1, container and dry soil: 187.19 g; next: Point 2,")


def test_in_progress_with_every_reading_says_so() -> None:
    plant = [("status: complete", "status: in-progress"), (REVIEWED, "")]

    ((name, what, _),) = about("ML-102", found({TEST: plant}))

    assert name == "in-progress"
    assert what == "Point 5, container and dry soil: 186.26 g; all readings made"


def test_what_was_issued_and_did_not_move_waits_for_nothing() -> None:
    assert about("ML-102", found({}, issues=ISSUED)) == []


def test_what_moved_since_issue_waits_for_amendment() -> None:
    lighter = ("mold_and_wet_soil: 4002", "mold_and_wet_soil: 3982")

    ((name, what, step),) = about("ML-102", found({TEST: [lighter]}, issues=ISSUED))

    assert (name, step) == ("amendment", "buildsite diff ML-102")
    assert what.startswith("r0: ")
    assert " lbf/ft³ now " in what


def test_a_comment_in_an_issued_record_asks_for_nothing() -> None:
    comment = ("layers: 3", "layers: 3  # as before")

    assert about("ML-102", found({TEST: [comment]}, issues=ISSUED)) == []


def test_a_withdrawn_test_waits_for_nothing() -> None:
    withdrawn = ("status: complete", "status: withdrawn")

    assert about("ML-102", found({TEST: [withdrawn]})) == []


def test_a_record_that_cannot_be_read_is_corrected() -> None:
    ((name, what, step),) = about(
        "ML-102", found({TEST: [("status: complete", "status: done")]})
    )

    assert (name, what) == ("to-correct", "1 error: it can't be read")
    assert step == f"buildsite check records/{TEST}"


def test_equipment_found_wrong_names_its_tests_until_they_are_assessed() -> None:
    sieve = "equipment/S-04.yaml"
    wrong = "state: as found, found_wrong: a torn cloth"
    settled = f"{wrong}, tests_judged: {{by: E02, reason: sieved again}}"

    assert about("S-04", found({sieve: [("state: as found", wrong)]})) == [
        (
            "found-wrong",
            "calibration of 2026-01-15: ML-101, ML-102",
            "buildsite calibrate S-04 --judged 2026-01-15 --by CODE --reason TEXT",
        )
    ]
    assert about("S-04", found({sieve: [("state: as found", settled)]})) == []


def test_a_rammer_out_of_a_method_s_tolerance_is_found_wrong_too() -> None:
    # 306.5 mm: ASTM D698 allows 304.8 ± 1.3 mm (from memory), T 99 305 ± 2 mm
    later = (
        "face_diameter: 50.76}",
        "face_diameter: 50.76}\n  - {on: 2026-05-12, by: T04, next_due: 2027-05-12, "
        "state: as found, mass: 2496, drop: 306.5, face_diameter: 50.76}",
    )

    ((name, what, _),) = about("R-02", found({"equipment/R-02.yaml": [later]}))

    assert (name, what) == ("found-wrong", "calibration of 2026-05-12: ML-102")


@pytest.mark.parametrize(
    ("on", "due", "overdue"),
    [
        (date(2026, 12, 12), [], []),
        # B-03 and B-11 on 2027-01-12, R-02 the day after, M-04 on the 14th
        (date(2026, 12, 13), ["B-03", "B-11"], []),
        (date(2027, 1, 12), ["B-03", "B-11", "R-02", "M-04", "O-01", "S-04"], []),
        (
            date(2027, 1, 14),
            ["B-03", "B-11", "R-02", "M-04", "O-01", "S-04"],
            ["B-03", "B-11", "R-02"],
        ),
    ],
)
def test_equipment_due_within_thirty_days(
    on: date, due: list[str], overdue: list[str]
) -> None:
    listed = [one for one in found({}, on) if one.list == "due"]

    assert [one.id for one in listed] == due
    assert [one.id for one in listed if one.overdue] == overdue
    assert all(("overdue" in one.what) is one.overdue for one in listed)
    assert all(one.step == f"buildsite calibrate {one.id}" for one in listed)


def test_without_a_day_all_are_listed_by_date_and_none_is_overdue() -> None:
    listed = [one for one in found({}, None) if one.list == "due"]

    assert [one.id for one in listed] == [
        "B-03",
        "B-11",
        "R-02",
        "M-04",
        "O-01",
        "S-04",
    ]
    assert not any(one.overdue or "overdue" in one.what for one in listed)


KEPT = "as_received_water_content: 4.6\n"
SAMPLE = "marsh-lane/samples/ML-S2.yaml"


@pytest.mark.parametrize(
    ("on", "more", "many"),
    [
        (date(2026, 6, 1), "", 0),  # kept until that day
        (date(2026, 6, 2), "", 1),
        (date(2026, 6, 2), "discarded: {on: 2026-06-02, by: T04}\n", 0),
        (None, "", 1),
    ],
)
def test_samples_past_the_day_until_which_they_are_kept(
    on: date | None, more: str, many: int
) -> None:
    kept = (KEPT, f"{KEPT}retained_until: 2026-06-01\n{more}")

    assert about("ML-S2", found({SAMPLE: [kept]}, on)) == many * [
        (
            "retention",
            "2026-06-01: discard it, or keep it longer",
            "buildsite enter ML-S2 keeping",
        )
    ]


def test_what_was_issued_and_did_not_move_is_not_computed() -> None:
    archive = archive_of(changed({}, ISSUED))
    parsed: list[str] = []

    class Watched(Archive):
        def computed(self, file: str) -> Any:
            parsed.append(file)
            return super().computed(file)

    watched = Watched(archive.names, archive.read_file, issued=archive.issued)

    assert [one for one in tasks(watched, DAY) if one.group == "test"] == []
    assert parsed == []


IN_PROGRESS = [("status: complete", "status: in-progress"), (REVIEWED, "")]
OVEN = "oven: {in: 2026-03-10T15:40, out: 2026-03-11T08:05, temperature_c: 110}"


def in_progress(*plant: tuple[str, str]) -> tuple[str, str]:
    ((name, what, _),) = about("ML-102", found({TEST: [*IN_PROGRESS, *plant]}))
    return name, what


def without_points() -> list[tuple[str, str]]:
    text = archive_of(changed({})).read_file(f"records/{TEST}").decode()
    lines = [line for line in text.splitlines() if line.startswith("  - {")]
    return [(line, "  - {mold_and_wet_soil: }") for line in lines]


def test_what_new_filled_in_is_no_reading() -> None:
    # The mass of the mold, the layers and the blows stand in a test not yet begun.
    name, what = in_progress((OVEN, ""), *without_points())

    assert (name, what[:17]) == ("in-progress", "nothing read yet;")
    assert what.endswith("next: Point 1, mold and wet soil")


def test_a_reading_that_was_passed_over_is_the_next() -> None:
    # `enter` asks for it first: the other four are dry already.
    skipped = ("mold_and_wet_soil: 4002, ", "")

    _, what = in_progress(skipped, list(DRY.items())[4])

    assert what == (
        "Point 4, container and dry soil: 182.03 g; next: Point 3, mold and wet soil"
    )


LATER = "compacted: {on: 2026-03-16, by: T07}, container_and_dry: "


def test_a_point_made_later_is_read_last_and_has_its_own_oven() -> None:
    # The oven of the others came out on the 11th, and their dry masses are read.
    name, what = in_progress(("container_and_dry: 186.26", LATER))

    assert name == "in-progress"
    assert what == (
        "Point 5, container and wet soil: 207.74 g; next: Point 5, into the oven at"
    )


def test_a_point_by_itself_in_the_oven_is_in_the_oven() -> None:
    own = f"oven: {{in: 2026-03-16T15:00}}, {LATER}"

    # 15:00 and 12 h (ASTM D2216: overnight, 12 h at least, from memory).
    assert in_progress(("container_and_dry: 186.26", own)) == (
        "in-the-oven",
        "since 2026-03-16 15:00, ready from 2026-03-17 03:00",
    )


def test_a_further_point_that_is_required_is_told() -> None:
    # Points 3 to 5 rejected leave two: ASTM D698 wants a point on each side.
    text = archive_of(changed({})).read_file(f"records/{TEST}").decode()
    lines = [line for line in text.splitlines() if line.startswith("  - {")]
    gone = ", rejected: {by: E02, reason: mold was loose}}"

    _, what = in_progress(*((line, line[:-1] + gone) for line in lines[3:]))

    assert "; still required: " in what


def test_a_blank_line_that_new_wrote_is_no_point_to_be_made() -> None:
    # ASTM D698 asks for four points (from memory); `new` writes five lines.
    five = [line for line, _ in without_points()]
    blank = (five[4], "  - {mold_and_wet_soil: , container: }")

    _, what = in_progress(blank, list(DRY.items())[3])

    assert what == (
        "Point 3, container and dry soil: 180.44 g; next: Point 4, container and dry "
        "soil"
    )
