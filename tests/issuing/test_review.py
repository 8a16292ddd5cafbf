"""`review`: one line of the record, by one who may."""

from pathlib import Path

import pytest

from tests.cli.running import run
from tests.clones import git
from tests.issuing.clones import TESTS, edit, in_commit, lab, state

LINE = "reviewed: {on: 2026-03-12, by: E02}\n"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    whole = lab(tmp_path)
    edit(whole, "marsh-lane/tests/ML-101.yaml", LINE, "")
    return whole


def test_a_review_is_one_line_in_one_commit(root: Path) -> None:
    before = (root / TESTS / "ML-101.yaml").read_text("utf-8")

    ran = run("review", "ML-101", "--by", "E02", "--on", "2026-03-12", "--root", root)

    assert (ran.status, ran.out) == (0, "ML-101: reviewed by E02 on 2026-03-12\n")
    assert "Next: buildsite issue ML-101 --authorized-by CODE" in ran.err
    after = (root / TESTS / "ML-101.yaml").read_text("utf-8")
    assert after == before.replace("status:", f"{LINE}status:")
    assert in_commit(root) == [f"M\t{TESTS}/ML-101.yaml"]
    said = git(root, "log", "-1", "--format=%B")
    assert said == "Review ML-101\n\nReviewed-by: E02"


def test_what_a_test_in_progress_still_lacks_is_said(root: Path) -> None:
    dry = ", container_and_dry: 143.60"
    edit(root, "marsh-lane/tests/ML-101.yaml", dry, "")
    edit(root, "marsh-lane/tests/ML-101.yaml", "complete", "in-progress")

    ran = run("review", "ML-101", "--by", "E02", "--root", root)

    assert ran.status == 1
    assert "in progress: Point 5, container and dry soil is still blank." in ran.err


def test_a_review_that_stands_is_not_committed_again(root: Path) -> None:
    words = ("review", "ML-101", "--by", "E02", "--on", "2026-03-12", "--root", root)
    run(*words)
    before = git(root, "rev-parse", "HEAD")

    again = run(*words)

    assert (again.status, again.out) == (0, "ML-101: reviewed by E02 on 2026-03-12\n")
    assert git(root, "rev-parse", "HEAD") == before


def test_a_review_after_an_edit_of_the_same_day_is_one_of_its_own(root: Path) -> None:
    # By the same person on the same day: the record alone could not tell them apart.
    words = ("review", "ML-101", "--by", "E02", "--on", "2026-03-12", "--root", root)
    run(*words)
    edit(root, "marsh-lane/tests/ML-101.yaml", "layers: 3", "layers: 4")
    assert "edited-after-review" in run("check", "--root", root).out

    again = run(*words)

    assert (again.status, again.out) == (0, "ML-101: reviewed by E02 on 2026-03-12\n")
    assert "edited-after-review" not in run("check", "--root", root).out
    text = (root / TESTS / "ML-101.yaml").read_text("utf-8")
    assert "reviewed: {on: 2026-03-12, by: E02, again: 1}\n" in text
    run("review", "ML-101", "--by", "E02", "--on", "2026-03-13", "--root", root)
    assert "again" not in (root / TESTS / "ML-101.yaml").read_text("utf-8")


def test_a_review_is_not_dated_ahead(root: Path) -> None:
    before = state(root)

    ran = run("review", "ML-101", "--by", "E02", "--on", "2999-01-01", "--root", root)

    assert (ran.status, ran.out) == (2, "")
    assert "--on 2999-01-01 is in the future: give today or earlier." in ran.err
    assert state(root) == before


def test_a_second_review_replaces_the_first(root: Path) -> None:
    for on in ("2026-03-12", "2026-03-14"):
        run("review", "ML-101", "--by", "E02", "--on", on, "--root", root)

    text = (root / TESTS / "ML-101.yaml").read_text("utf-8")
    assert text.count("reviewed:") == 1
    assert "reviewed: {on: 2026-03-14, by: E02}\n" in text


def test_open_flags_are_shown_first(root: Path) -> None:
    edit(root, "marsh-lane/tests/ML-101.yaml", "T04}\nentered", "X99}\nentered")

    ran = run("review", "ML-101", "--by", "E02", "--on", "2026-03-12", "--root", root)

    assert ran.status == 0
    assert "warning: unknown-code" in ran.err


@pytest.mark.parametrize(
    ("change", "words", "said"),
    [
        (None, ["--by", "T07"], "T07 has no authority to review"),
        (
            None,
            ["--by", "X9"],
            "X9 is not a staff code in lab.yaml. There are: T07, T04, E02.",
        ),
        (None, ["--by", "E02", "--on", "2020-02-02"], "on 2020-02-02"),
        (
            ("complete", "in-progress"),
            ["--by", "E02"],
            "ML-101 is still in progress. `buildsite enter ML-101` asks for what is",
        ),
        (("complete", "withdrawn"), ["--by", "E02"], "only complete tests"),
        (("mold: M-04", "mold: M-99"), ["--by", "E02"], "reference-to-nothing"),
    ],
)
def test_what_is_no_review_is_refused(
    root: Path, change: tuple[str, str] | None, words: list[str], said: str
) -> None:
    if change is not None:
        edit(root, "marsh-lane/tests/ML-101.yaml", *change)
    before = state(root)

    ran = run("review", "ML-101", "--on", "2026-03-12", "--root", root, *words)

    assert (ran.status, ran.out) == (1, "")
    assert said in ran.err
    assert state(root) == before


def test_what_is_not_committed_is_not_reviewed(root: Path) -> None:
    edit(root, "marsh-lane/tests/ML-101.yaml", "8.64", "8.60", commit=False)

    ran = run("review", "ML-101", "--by", "E02", "--on", "2026-03-12", "--root", root)

    assert ran.status == 1
    assert "differs from the last commit" in ran.err
    file = "records/marsh-lane/tests/ML-101.yaml"
    assert f"{file} differs from the last commit: run `buildsite commit`." in ran.err


def test_without_commit_only_the_record_is_written(root: Path) -> None:
    day = ("--on", "2026-03-12", "--no-commit")

    ran = run("review", "ML-101", "--by", "E02", *day, "--root", root)

    assert ran.status == 0
    assert git(root, "status", "--porcelain") == f"M {TESTS}/ML-101.yaml"


def test_a_review_over_several_lines_is_set_in_its_lines(root: Path) -> None:
    old = "reviewed:\n  on: 2026-03-11 # by day\n  by: T07\nstatus:"
    edit(root, "marsh-lane/tests/ML-101.yaml", "status:", old)

    ran = run("review", "ML-101", "--by", "E02", "--on", "2026-03-12", "--root", root)

    assert ran.status == 0, ran.err
    new = "reviewed:\n  on: 2026-03-12 # by day\n  by: E02\nstatus:"
    assert new in (root / TESTS / "ML-101.yaml").read_text("utf-8")
