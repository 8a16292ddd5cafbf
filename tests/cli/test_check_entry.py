"""The check of an entry: by another than who entered, and after the last reading."""

from pathlib import Path

import pytest

from buildsite.build import build
from buildsite.pages.site_sources import Options
from tests.cli.running import run
from tests.clones import git
from tests.issuing.clones import edit, lab

RECORD = "marsh-lane/tests/ML-101.yaml"
ENTERED = "entered: {by: T07, checked_by: T04}"
UNCHECKED = "entered: {by: T07, checked_by: }"
READ, MISREAD = "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """ML-101, whose entry T04 checked as it was first committed."""
    (tmp_path / "archive").mkdir()
    return lab(tmp_path / "archive")


def entry_flags(root: Path) -> list[str]:
    """What `check` says of the checks of entries: flag, found."""
    lines = run("check", "--root", root).out.splitlines()
    return [
        f"{line.rpartition(': ')[2]}: {lines[i + 1].strip()}"
        for i, line in enumerate(lines)
        if "entry-check" in line.rpartition(": ")[2]
    ]


def edit_as(root: Path, code: str, was: str, now: str) -> None:
    """Change a text, in a commit as `enter` makes it."""
    edit(root, RECORD, was, now, commit=False)
    message = f"ML-101: enter\n\nEntered-by: {code}"
    git(root, "commit", "--quiet", "--all", f"--message={message}")


def test_an_entry_that_another_checked_at_last_stands(root: Path) -> None:
    assert entry_flags(root) == []


@pytest.mark.parametrize("commit", [True, False])
def test_a_reading_changed_since_is_to_be_checked_again(
    root: Path, commit: bool
) -> None:
    edit(root, RECORD, READ, MISREAD, commit=commit)

    (found,) = entry_flags(root)

    assert found.startswith("edited-after-entry-check: entered.checked_by: found ")
    assert "changed since the entry check by T04: point 3, mold and wet soil;" in found

    build_of = root.parent / "site"
    if commit:
        build(root, build_of, Options(), 1)
        page = (build_of / "tests/ML-101/index.html").read_text()
        assert "edited-after-entry-check" in page


def test_a_check_made_again_settles_it(root: Path) -> None:
    edit(root, RECORD, READ, MISREAD)
    edit(root, RECORD, ENTERED, UNCHECKED)
    edit(root, RECORD, UNCHECKED, ENTERED)

    assert entry_flags(root) == []


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("layers: 3", "layers: 3  # counted"),
        ("layers: 3", "remarks: a dry day\nlayers: 3"),
        ("layers: 3", "accepted: [{flag: water-bled, by: E02, reason: x}]\nlayers: 3"),
        ("reviewed: {on: 2026-03-12", "reviewed: {on: 2026-03-13"),
    ],
)
def test_what_is_no_reading_needs_no_new_check(root: Path, was: str, now: str) -> None:
    edit(root, RECORD, was, now)

    assert entry_flags(root) == []


def test_who_entered_a_reading_does_not_check_the_entry(root: Path) -> None:
    edit(root, RECORD, ENTERED, UNCHECKED)
    edit_as(root, "T04", READ, MISREAD)
    edit_as(root, "T04", UNCHECKED, ENTERED)

    (found,) = entry_flags(root)

    assert found.startswith("entry-checked-by-typist: entered.checked_by: found T04, ")
    assert "T04, who entered point 3, mold and wet soil;" in found


def test_who_entered_no_reading_may_check_it(root: Path) -> None:
    edit(root, RECORD, ENTERED, UNCHECKED)
    edit_as(root, "T07", READ, MISREAD)
    edit_as(root, "T04", "layers: 3", "remarks: a dry day\nlayers: 3")
    edit_as(root, "T04", UNCHECKED, ENTERED)

    assert entry_flags(root) == []


def test_what_came_by_a_merge_is_not_of_the_checker(root: Path) -> None:
    edit(root, RECORD, ENTERED, UNCHECKED)
    git(root, "checkout", "--quiet", "-b", "aside")
    edit_as(root, "T07", READ, MISREAD)
    git(root, "checkout", "--quiet", "-")
    edit_as(root, "T04", UNCHECKED, ENTERED)
    git(root, "merge", "--quiet", "--no-edit", "aside")

    (found,) = entry_flags(root)
    assert found.startswith("edited-after-entry-check: ")
