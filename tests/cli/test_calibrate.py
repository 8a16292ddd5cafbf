"""`calibrate`: a new calibration, what moves, and what comes of it."""

from pathlib import Path

import pytest

from buildsite.cli.common import open_archive
from buildsite.record.source import read_source
from tests.cli.running import Ran, run
from tests.clones import git
from tests.entering.terminal import Person
from tests.issuing.clones import edit, in_commit, issued, lab
from tests.verify.tampering import issue

MOLD = "records/equipment/M-04.yaml"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return lab(tmp_path / "lab")


def calibrate(root: Path, *words: str, stdin: str = "") -> Ran:
    return run("calibrate", *words, "--root", root, stdin=stdin.encode())


def last_calibration(root: Path, id: str) -> dict[str, object]:
    file = f"records/equipment/{id}.yaml"
    tree = read_source(file, (root / file).read_bytes()).tree
    found: dict[str, object] = tree["calibrations"][-1]
    return found


ROUTINE = ("--by", "T04", "--on", "2026-06-01", "--defaults")


def test_a_routine_calibration_moves_no_earlier_test(root: Path) -> None:
    # methods.md 16: a routine recalibration of a mold moves no earlier result
    before = (root / MOLD).read_text()

    ran = calibrate(root, "M-04", "--volume", "944.0", *ROUTINE)

    assert (ran.status, ran.err) == (0, "")
    assert ran.out.splitlines() == [
        "No test moves, and none is to be assessed.",
        MOLD,
    ]
    assert (root / MOLD).read_text() == before + (
        "  - {on: 2026-06-01, by: T04, next_due: 2027-06-01, state: as found, "
        "weighed_with: mold, volume: 944.0}\n"
    )
    assert in_commit(root) == [f"M\t{MOLD}"]
    message = git(root, "log", "-1", "--format=%B")
    assert message.splitlines() == [
        "M-04: calibrated on 2026-06-01",
        "",
        "Entered-by: T04",
        "Reason: calibrated on 2026-06-01",
    ]


def test_a_warning_that_asks_for_an_assessment_is_not_taken_back(root: Path) -> None:
    # 953.7 cm3 for 944.3 cm3 is 1.0 % more; no test was made between the two days.
    first = ("--volume", "944.3", "--by", "T04", "--on", "2026-06-01", "--defaults")
    assert calibrate(root, "M-04", *first).status == 0

    ran = calibrate(
        root,
        "M-04",
        *("--volume", "953.7", "--by", "T04", "--on", "2026-06-02", "--defaults"),
        "--dry-run",
    )

    assert "mold-found-changed" in ran.err
    assert ran.out.splitlines() == [
        "No test moves, and no test on file used it in that time."
    ]


def reported_density(root: Path) -> float:
    text = run("show", "ML-102", "--root", root).out
    (
        line,
    ) = [  # of the fraction compacted: the coarse part does not move with the mold
        one
        for one in text.splitlines()
        if one.startswith("  Standard maximum dry unit weight ")
    ]
    return float(next(word for word in line.split() if word[0].isdigit()))


def test_found_wrong_since_a_day_the_tests_since_then_move(root: Path) -> None:
    # 953.7 cm³ for 944.3 cm³ (942.3 g of water at 21.5 °C, 0.99788 g/cm³): 1.0 % more,
    # so a density of the same mass is 944.3 / 953.7 of what it was; both are rounded
    # to 0.1, so that they agree within 0.05 + 0.05 · 0.99.
    was = reported_density(root)

    ran = calibrate(
        root, "M-04", "--volume", "953.7", "--wrong-since", "2026-03-01", *ROUTINE
    )

    assert ran.status == 0
    assert "2 tests would move: 2 with another reported result, 0 issued." in ran.out
    assert "buildsite review ML-102 --by CODE" in ran.out
    assert "mold-found-changed" in ran.err
    archive = open_archive(root)
    made = archive.outcome("records/marsh-lane/tests/ML-102.yaml")
    table = made.sheet().table("equipment") if made is not None else None
    assert table is not None
    told = "as found on 2026-06-01, which counts since 2026-03-01"
    assert [told in row.cells[2].text for row in table.rows].count(True) == 1
    now = reported_density(root)
    assert now == pytest.approx(was * 944.3 / 953.7, abs=0.1)
    assert now != was
    flagged = run("check", "--root", root).out
    assert flagged.count(": relied-on-wrong-calibration") == 2


def test_an_issued_test_leads_to_review_and_amendment(root: Path) -> None:
    issue(root, "ML-101", reason="first issue")

    ran = calibrate(
        root, "M-04", "--volume", "953.7", "--wrong-since", "2026-03-01", *ROUTINE
    )

    lines = ran.out.splitlines()
    assert "  ML-101 (issued as r0): reported results change" in lines
    steps = lines[lines.index("Next steps, one test at a time:") + 1 :]
    assert steps[:3] == [
        "  buildsite diff ML-101",
        "  buildsite review ML-101 --by CODE",
        "  buildsite issue ML-101 --authorized-by CODE --reason "
        '"calibration of M-04 on 2026-06-01"',
    ]
    settle = "  buildsite calibrate M-04 --judged 2026-06-01 --by CODE --reason TEXT"
    assert settle in steps


def test_nothing_is_kept_of_a_dry_run(root: Path) -> None:
    before, tip = (root / MOLD).read_bytes(), git(root, "rev-parse", "HEAD")

    ran = calibrate(
        root,
        "M-04",
        *("--volume", "953.7", "--wrong-since", "2026-03-01", "--dry-run"),
        *ROUTINE,
    )

    assert "2 tests would move" in ran.out
    assert (root / MOLD).read_bytes() == before
    assert git(root, "rev-parse", "HEAD") == tip


ANSWERS: dict[str, tuple[tuple[str, ...], dict[str, object]]] = {
    # equipment: the answers after who, when and as found, and what the record says
    "M-04": (
        ("mold", "2001", "", "3110.2", "4052.5", "21.5", "", ""),
        {
            "weighed_with": "mold",
            "mass": "2001",
            "water": {
                "empty_with_plates": "3110.2",
                "full_with_plates": "4052.5",
                "temperature_c": "21.5",
            },
        },
    ),
    "R-02": (
        ("2496", "304.9", "50.76", "1812 1819", "R-02", ""),
        {
            "mass": "2496",
            "drop": "304.9",
            "face_diameter": "50.76",
            "comparison": {
                "soils": [{"by_hand": "1812", "mechanical": "1819"}],
                "hand_rammer": "R-02",
            },
        },
    ),
    "B-11": (
        ("-0.4", "1000 1000 5000 5001", ""),
        {
            "largest_error": "-0.4",
            "check_masses": [
                {"mass": "1000", "read": "1000"},
                {"mass": "5000", "read": "5001"},
            ],
        },
    ),
    "O-01": (
        ("110", "109.5 110.5", ""),
        {"set_temperature_c": "110", "measured_temperatures_c": ["109.5", "110.5"]},
    ),
    "S-04": (("K-17",), {"certificate": "K-17"}),
}
"""Every kind of equipment, with the questions of that kind."""


@pytest.mark.parametrize("id", ANSWERS)
def test_every_kind_is_asked_for_its_own_readings(root: Path, id: str) -> None:
    answers, found = ANSWERS[id]
    typed = ("T04", "2026-06-01", "as found", *answers, "", "no", "2027-06-01")

    ran = calibrate(root, id, stdin="\n".join(typed) + "\n")

    assert ran.status == 0, ran.err
    head: dict[str, object] = {
        "on": "2026-06-01",
        "by": "T04",
        "next_due": "2027-06-01",
    }
    assert last_calibration(root, id) == {**head, "state": "as found", **found}


def test_what_was_adjusted_is_entered_as_found_and_as_left(root: Path) -> None:
    ran = calibrate(
        root,
        "R-02",
        *("--mass", "2496", "--drop", "310.0", "--left-mass", "2496"),
        *("--left-drop", "304.9", *ROUTINE),
    )

    assert ran.status == 0
    tree = read_source("R", (root / "records/equipment/R-02.yaml").read_bytes()).tree
    states = [(one["state"], one["drop"]) for one in tree["calibrations"][-2:]]
    assert states == [("as found", "310.0"), ("as left", "304.9")]

    # what was found is settled, not what was left
    who = ("--by", "E02", "--reason", "both stand")
    calibrate(root, "R-02", "--judged", "2026-06-01", *who)
    tree = read_source("R", (root / "records/equipment/R-02.yaml").read_bytes()).tree
    judged = ["tests_judged" in one for one in tree["calibrations"][-2:]]
    assert judged == [True, False]


def test_an_oven_reset_keeps_the_setting_that_was_asked_for(root: Path) -> None:
    calibrate(
        root,
        "O-01",
        *("--set-temperature-c", "105", "--measured-temperatures-c", "116"),
        *("--left-measured-temperatures-c", "105", *ROUTINE),
    )

    assert last_calibration(root, "O-01")["set_temperature_c"] == "105"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("M-04", "--by", "T9"), "T9 is not a staff code: "),
        (("M-04", "--on", "2999-01-01"), "--on: the day of a calibration is today"),
        (("M-04", "--on", "1999-01-01"), "T04 was not on the staff on 1999-01-01"),
        (("M-04", "--wrong-since", "2026-06-02"), "is after the calibration on"),
        (("M-04", "--temperature-c", "warm"), "expected: a number"),
        (("B-11", "--drop", "304.8"), "B-11 is a balance, which has none."),
        (("M-04",), "Nothing was measured: give a reading"),
        (("M-4", "--volume", "944"), "Did you mean M-04?"),
        (("M-04", "--state", "new"), "one of as found, as left"),
    ],
)
def test_what_cannot_be_kept_is_refused(
    root: Path, words: tuple[str, ...], told: str
) -> None:
    before = (root / MOLD).read_bytes()
    pairs = (("--by", "T04"), ("--on", "2026-06-01"))
    usual = [word for pair in pairs if pair[0] not in words for word in pair]

    ran = calibrate(root, *words, *usual, "--defaults")

    assert ran.status == 2
    assert told in ran.err
    assert (root / MOLD).read_bytes() == before


def test_a_slip_of_the_pen_is_doubted_and_a_fault_is_told(root: Path) -> None:
    typed = (
        *("T04", "2026-06-01", "", "", "200.1", "2001", "", "3110.2", "4062.5"),
        *("215", "21.5", "21.5", "", "", "", "no", ""),
    )

    ran = calibrate(root, "M-04", "--dry-run", stdin="\n".join(typed) + "\n")

    assert "? 200.1; 2001 on 2026-01-14; check the digits and unit." in ran.err
    assert "! 3110.2 empty, 4062.5 full, 215 °C; expected: full heavier" in ran.err
    # 952.3 g of water at 21.5 °C are 954.3 cm³
    assert "! Found wrong: 954.3 cm³; expected: within 0.5 % of 944.3 cm³" in ran.err
    assert "Tests that used it since 2026-01-14: ML-101, ML-102." in ran.err


def test_wrong_since_before_a_good_calibration_is_doubted(root: Path) -> None:
    calibrate(root, "M-04", "--volume", "944.0", *ROUTINE)

    words = ("--volume", "953.7", "--wrong-since", "2026-03-01", "--dry-run")
    ran = calibrate(
        root, "M-04", *words, "--by", "T04", "--on", "2026-07-01", "--defaults"
    )

    told = "--wrong-since: 2026-03-01, but the calibration of 2026-06-01 found it right"
    assert told in ran.err


BUBBLE = "a bubble under the plate"


def test_a_calibration_is_declared_wrong_and_settled(root: Path) -> None:
    about = ("--by", "T04", "--reason", "a bubble under the plate")
    wrong = calibrate(root, "M-04", "--wrong", "2026-01-14", *about)

    assert wrong.out.splitlines()[:2] == [
        "No test would move.",
        "Used it while it was wrong, found on 2026-01-14; assess each: ML-101, ML-102",
    ]
    flagged = run("check", "--root", root).out
    assert flagged.count(": relied-on-wrong-calibration") == 2

    refused = calibrate(root, "M-04", "--judged", "2026-01-14", *about)
    assert (refused.status, last_calibration(root, "M-04").get("tests_judged")) == (
        1,
        None,
    )
    assert "T04 has no authority to review" in refused.err

    who = ("--by", "E02", "--reason", "0.1 % of volume")
    judged = calibrate(root, "M-04", "--judged", "2026-01-14", *who)

    assert judged.status == 0
    assert last_calibration(root, "M-04")["tests_judged"] == {
        "by": "E02",
        "reason": "0.1 % of volume",
    }
    assert "wrong" not in run("check", "--root", root).out
    assert "Entered-by: E02" in git(root, "log", "-1", "--format=%B")


@pytest.mark.parametrize(
    ("option", "who", "why", "code", "field"),
    [
        ("--wrong", "Found by:", "Why it is wrong:", "T04", "found_wrong"),
        ("--judged", "Assessed by:", "Outcome of the", "E02", "tests_judged"),
    ],
)
def test_who_and_why_are_asked_for(
    root: Path, option: str, who: str, why: str, code: str, field: str
) -> None:
    git(root, "config", "--unset", "user.email")
    one = Person(root, "calibrate", "M-04", option, "2026-01-14")
    for words, answer in ((who, ""), ("Required", ""), (who, code), (why, BUBBLE)):
        one.waits_for(words)
        if words != "Required":
            one.types(answer)
    one.waits_for("Keep it?")
    one.types("")
    if option == "--wrong":
        one.waits_for("Go through them now?")
        one.types("n")
    assert one.ends() == 0

    found = last_calibration(root, "M-04")[field]
    judged = {"by": "E02", "reason": BUBBLE}
    assert found == (BUBBLE if option == "--wrong" else judged)
    message = git(root, "log", "-1", "--format=%B")
    assert f"Entered-by: {code}\nReason: {BUBBLE}" in message


def test_who_and_why_are_needed_where_nobody_can_be_asked(root: Path) -> None:
    for more in ((), ("--by", "T04"), ("--reason", "a bubble under the plate")):
        ran = calibrate(root, "M-04", "--wrong", "2026-01-14", *more)

        assert (ran.status, "--by CODE and --reason TEXT" in ran.err) == (2, True)


def test_another_s_uncommitted_change_is_not_committed(root: Path) -> None:
    edit(root, "equipment/M-04.yaml", "nominal: 4 in", "nominal: 6 in", commit=False)
    tip = git(root, "rev-parse", "HEAD")

    ran = calibrate(root, "M-04", "--volume", "944.0", *ROUTINE)

    assert ran.status == 1
    assert f"Commit them first: `buildsite commit {MOLD}`" in ran.err
    assert git(root, "rev-parse", "HEAD") == tip


def test_new_equipment_in_pounds_is_asked_in_pounds(root: Path) -> None:
    edit(
        root,
        "equipment/B-11.yaml",
        "readability: 1",
        "units: {mass: lb}\n" + "readability: 1",
    )

    typed = ("T04", "2026-06-01", "as found", "0.01", "", "", "", "no", "")
    ran = calibrate(root, "B-11", stdin="\n".join(typed) + "\n")

    assert "Largest error in lb" in ran.err


def test_at_a_terminal_the_tests_are_reviewed_and_amended_one_by_one(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    issue(root, "ML-101", reason="first issue")
    monkeypatch.setattr("buildsite.cli.calibrate.at_terminal", lambda: True)
    monkeypatch.setattr("buildsite.cli.calibrate_prompts.at_terminal", lambda: True)
    typed = (
        # who, when, state, weighed with, mass, volume given twice, certificate
        *("T04", "2026-06-01", "", "", "2001", "953.7", "953.7", ""),
        # wrong since, adjusted, next due, why; keep it, go through them
        *("2026-03-01", "", "", "it fell in March", "y", "y"),
        # ML-101, then ML-102
        *("show", "r", "E02", "i", "E02", "", "next", "q"),
    )

    ran = calibrate(root, "M-04", stdin="\n".join(typed) + "\n")

    assert ran.status == 0, ran.err
    assert "(last issued as ML-101 r0)" in ran.out
    assert "ML-101: reviewed by E02" in ran.out
    kept = git(root, "log", "-1", "--format=%B", "--", MOLD)
    assert "Reason: it fell in March" in kept
    last = issued(root, "ML-101").items[-1]
    assert (last.revision, last.authorized_by) == (1, "E02")
    assert last.reason == "calibration of M-04 on 2026-06-01"
    assert "ML-102 (not issued, complete): reported results change" in ran.err


def test_what_is_not_wanted_is_not_kept(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("buildsite.cli.calibrate.at_terminal", lambda: True)
    before = (root / MOLD).read_bytes()
    typed = ("", "", "2001", "944.0", "", "", "", "", "", "n")

    ran = calibrate(root, "M-04", *ROUTINE[:4], stdin="\n".join(typed) + "\n")

    assert ran.status == 1
    assert ran.err.endswith("Nothing was kept.\n")
    assert (root / MOLD).read_bytes() == before
