"""`calibrate` of field apparatus: what is entered, and of which bag."""

from pathlib import Path
from typing import Any

import pytest

from buildsite.record.source import read_source
from tests.archives import sound
from tests.cli.running import Ran, run
from tests.clones import git
from tests.issuing.clones import lab

CONE = "records/equipment/SC-01.yaml"
GAUGE = "records/equipment/G-01.yaml"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    folder = lab(tmp_path / "lab")
    for name, data in sound(("field-apparatus",)).items():
        if not (folder / name).exists():
            (folder / name).write_bytes(data)
    git(folder, "add", "--all")
    git(folder, "commit", "--quiet", "--message=field apparatus")
    return folder


def calibrate(root: Path, *words: str, stdin: str = "") -> Ran:
    return run("calibrate", *words, "--root", root, stdin=stdin.encode())


def record(root: Path, file: str) -> Any:
    return read_source(file, (root / file).read_bytes()).tree


def test_a_bag_is_three_masses_and_is_due_in_a_fortnight(root: Path) -> None:
    # what, bag (first due), by, on, container (as last), masses, next due, keep, why
    typed = ("", "", "T04", "2026-04-01", "", "1421 1424 1419", "", "", "")

    ran = calibrate(root, "SC-01", stdin="\n".join(typed) + "\n")

    assert ran.status == 0, ran.err
    bags = record(root, CONE)["bags"]
    # bag 15 fell due on 2026-03-16, before bag 14; 14 days: ASTM D1556
    assert bags[1]["determinations"][-1] == {
        "on": "2026-04-01",
        "by": "T04",
        "next_due": "2026-04-15",
        "container_volume": "943.6",
        "sand_in_container": ["1421", "1424", "1419"],
    }
    message = git(root, "log", "-1", "--format=%s")
    assert message.strip() == "SC-01: sand of bag 15 determined on 2026-04-01"


GIVEN = ("--sand-in-container", "1421 1424 1419", "--by", "T04", "--on", "2026-04-01")


def test_options_alone_enter_a_bag_that_is_new(root: Path) -> None:
    ran = calibrate(root, "SC-01", "--bag", "16", *GIVEN, "--defaults")

    assert ran.status == 0, ran.err
    last = record(root, CONE)["bags"][-1]
    assert (last["bag"], len(last["determinations"])) == ("16", 1)
    assert last["determinations"][0]["next_due"] == "2026-04-15"
    assert (
        (root / CONE)
        .read_text("utf-8")
        .endswith(
            """\
  - bag: 16
    determinations:
      - {on: 2026-04-01, by: T04, next_due: 2026-04-15, container_volume: 943.6, """
            "sand_in_container: [1421, 1424, 1419]}\n"
        )
    )


def test_the_cone_is_due_in_a_year_and_asked_for_its_own_readings(root: Path) -> None:
    masses = ("--sand-in-cone", "1481 1483 1482", "--by", "T04", "--on", "2026-04-01")

    ran = calibrate(root, "SC-01", *masses, "--defaults")

    assert ran.status == 0, ran.err
    last = record(root, CONE)["calibrations"][-1]
    assert last["sand_in_cone"] == ["1481", "1483", "1482"]
    assert last["next_due"] == "2027-04-01"


def test_a_determination_that_disagrees_is_doubted(root: Path) -> None:
    typed = (
        *("sand", "14", "T04", "2026-04-01", "", "1421 1464 1419"),
        *("1421 1424 1419", "", "", ""),
    )

    ran = calibrate(root, "SC-01", stdin="\n".join(typed) + "\n")

    assert ran.status == 0, ran.err
    # 1464 of a mean of 1434.7 g: 2.0 %
    assert "? sand of bag 14: a determination 2.0 % from the mean" in ran.err
    last = record(root, CONE)["bags"][0]["determinations"][-1]
    assert last["sand_in_container"] == ["1421", "1424", "1419"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("SC-01", "--what", "jar"), "--what: one of sand or cone."),
        (("M-04", "--what", "sand"), "M-04 is a mold, which has none."),
        (("SC-01", "--what", "cone", "--bag", "14"), "--bag: not with cone."),
        (("SC-01", "--bag", "14", "--drop", "304"), "which has none."),
    ],
)
def test_what_cannot_be_entered_is_refused(
    root: Path, words: tuple[str, ...], told: str
) -> None:
    before = (root / CONE).read_bytes()

    ran = calibrate(root, *words, "--by", "T04", "--on", "2026-04-01", "--defaults")

    assert ran.status == 2
    assert told in ran.err
    assert (root / CONE).read_bytes() == before


def test_a_bag_without_its_masses_is_not_kept(root: Path) -> None:
    who = ("--by", "T04", "--on", "2026-04-01")

    ran = calibrate(root, "SC-01", "--bag", "14", *who, "--defaults")

    assert ran.status == 1
    assert "write `sand_in_container: " in ran.err
    assert ran.err.endswith("Nothing was kept.\n")


def test_a_determination_is_declared_wrong_and_settled_by_its_bag(root: Path) -> None:
    who = ("--by", "E02", "--reason", "the balance was not level")
    both = calibrate(root, "SC-01", "--wrong", "2026-03-02", *who)

    assert both.status == 2  # bag 14 and bag 15 were determined that day
    assert "--what sand --bag 14 or --what sand --bag 15" in both.err

    one = calibrate(
        root, "SC-01", "--what", "sand", "--bag", "15", "--wrong", "2026-03-02", *who
    )

    assert one.status == 0, one.err
    bags = record(root, CONE)["bags"]
    assert "found_wrong" not in bags[0]["determinations"][0]
    assert bags[1]["determinations"][0]["found_wrong"] == who[-1]
    settled = calibrate(
        root, "SC-01", "--bag", "15", "--judged", "2026-03-02", *who[:-1], "both stand"
    )
    assert settled.status == 0, settled.err
    judged = record(root, CONE)["bags"][1]["determinations"][0]["tests_judged"]
    assert judged == {"by": "E02", "reason": "both stand"}


def test_today_and_check_list_the_cone_and_each_bag(root: Path) -> None:
    told = run("today", "--root", root, "--on", "2026-03-25").out
    due = run("check", "--root", root, "--due", "7d", "--on", "2026-03-25").out

    lines = " ".join(told.split())
    assert (
        "SC-01 sand-cone apparatus, sand of bag 15: overdue since 2026-03-16 → "
        "buildsite calibrate SC-01 --what sand --bag 15" in lines
    )
    assert "SC-01 sand-cone apparatus, sand of bag 14: due 2026-03-30" in lines
    assert "SC-01 (sand of bag 15), due 2026-03-16" in due
    assert "SC-01 (cone)" not in due


def test_the_counts_of_the_day_are_two_numbers(root: Path) -> None:
    # what, by, on, density, water, keep
    typed = ("", "T07", "2026-03-09", "2413", "653", "")

    ran = calibrate(root, "G-01", stdin="\n".join(typed) + "\n")

    assert ran.status == 0, ran.err
    assert record(root, GAUGE)["counts"][-1] == {
        "on": "2026-03-09",
        "by": "T07",
        "density": "2413",
        "water": "653",
    }
    message = git(root, "log", "-1", "--format=%s")
    assert message.strip() == "G-01: standard counts on 2026-03-09"


def test_counts_outside_are_kept_when_given_twice_and_ask_for_a_repeat(
    root: Path,
) -> None:
    typed = ("counts", "T07", "2026-03-09", "2443", "653", "653", "")

    ran = calibrate(root, "G-01", stdin="\n".join(typed) + "\n")

    # (2412 + 2405 + 2415 + 2420)/4 = 2413: 2443 is 1.24 % above it
    assert "? density count 2443, +1.2 % off the mean" in ran.err
    assert "repeat the counts once" in ran.err
    assert ran.status == 0, ran.err
    again = ("--density-count", "2442", "--water-count", "654")
    who = ("--by", "T07", "--on", "2026-03-09", "--defaults")
    calibrate(root, "G-01", *again, *who)
    told = run("check", root / GAUGE).out
    assert "take it out of service" in told

    why = ("--service", "out", "--why", "counts too high")
    assert calibrate(root, "G-01", *why, *who).status == 0
    assert "standard-count-outside" not in run("check", root / GAUGE).out
    assert record(root, GAUGE)["service"] == [
        {"on": "2026-03-09", "by": "T07", "state": "out", "reason": "counts too high"}
    ]


def test_a_leak_test_is_due_after_the_interval_it_had(root: Path) -> None:
    who = ("--by", "T04", "--on", "2026-07-14", "--defaults")

    ran = calibrate(root, "G-01", "--what", "leak-test", "--certificate", "L-81", *who)

    assert ran.status == 0, ran.err
    assert record(root, GAUGE)["leak_tests"][-1] == {
        "on": "2026-07-14",
        "by": "T04",
        "next_due": "2027-01-14",
        "result": "passed",
        "certificate": "L-81",
    }


def test_today_lists_calibration_and_leak_test_apart(root: Path) -> None:
    told = run("today", "--root", root, "--on", "2026-07-25").out

    lines = " ".join(told.split())
    assert (
        "G-01 nuclear gauge, leak test: overdue since 2026-07-20 → buildsite "
        "calibrate G-01 --what leak-test" in lines
    )
    assert "G-01 nuclear gauge, calibration" not in lines
