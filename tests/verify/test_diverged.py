"""A clone whose published branch is not what its remote has says so."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.clones import git
from tests.issuing.clones import edit
from tests.verify.tampering import CHAIN, RECORD, Fault, caught, head, issue, verify

SAMPLE = "mold_and_wet_soil: 8.60"


@pytest.fixture
def clone(root: Path, tmp_path: Path) -> Path:
    """A clone of `root`, which is its remote."""
    git(tmp_path, "clone", "--quiet", str(root), "clone")
    git(tmp_path / "clone", "config", "user.name", "A")
    git(tmp_path / "clone", "config", "user.email", "a@lab.example")
    return tmp_path / "clone"


def told(clone: Path) -> Any:
    ran = verify(clone)
    return ran.status, json.loads(ran.out)["remarks"]


def test_a_clone_like_its_remote_says_nothing(clone: Path) -> None:
    assert told(clone) == (0, [])


def test_a_clone_ahead_of_its_remote_says_nothing(clone: Path) -> None:
    edit(clone, RECORD, SAMPLE, "mold_and_wet_soil: 8.61")

    assert told(clone) == (0, [])


def test_a_clone_behind_its_remote_says_so(root: Path, clone: Path) -> None:
    edit(root, RECORD, SAMPLE, "mold_and_wet_soil: 8.61")
    git(clone, "fetch", "--quiet")

    status, (remark,) = told(clone)

    assert status == 0
    assert "main here is 1 commit behind origin/main" in remark
    assert "git pull --ff-only" in remark


def test_a_clone_that_diverged_says_so(root: Path, clone: Path) -> None:
    edit(root, RECORD, SAMPLE, "mold_and_wet_soil: 8.61")
    edit(clone, "lab.yaml", "Sedge Hollow\n", "Sedge Hollow, north\n")
    git(clone, "fetch", "--quiet")

    status, (remark,) = told(clone)

    assert status == 0
    assert "main here and origin/main have diverged: 1 commit only here" in remark


def test_what_was_issued_on_both_sides_is_a_fault(root: Path, clone: Path) -> None:
    for place, mass in ((root, "8.61"), (clone, "8.62")):
        edit(place, RECORD, SAMPLE, f"mold_and_wet_soil: {mass}")
        issue(place, "ML-101", reason="read once more", on="2026-03-14")
    git(clone, "fetch", "--quiet")

    fault = Fault("ML-101", 2, CHAIN, head(clone))
    caught(clone, fault, "issued both here and on origin/main")


def test_a_remote_that_was_rewritten_is_a_fault(root: Path, clone: Path) -> None:
    was = head(root)
    git(root, "reset", "--quiet", "--hard", "HEAD~2")
    edit(root, RECORD, "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.57")
    issue(root, "ML-101", reason="Mass of point 3 was misread")
    git(clone, "fetch", "--quiet")

    words = "origin/main was rewritten"
    caught(clone, Fault("", None, "records", was), words, alone=False)
    # Who resets the own branch to it, as git proposes, is told too.
    git(clone, "reset", "--quiet", "--hard", "origin/main")
    caught(clone, Fault("", None, "records", was), words)


def test_another_remote_counts_as_well(root: Path, clone: Path) -> None:
    git(clone, "remote", "rename", "origin", "office")
    edit(root, RECORD, SAMPLE, "mold_and_wet_soil: 8.61")
    git(clone, "fetch", "--quiet", "office")

    _, (remark,) = told(clone)

    assert "1 commit behind office/main" in remark


def test_what_git_forgot_since_is_passed_over(root: Path, clone: Path) -> None:
    git(clone, "fetch", "--quiet")
    log = clone / ".git/logs/refs/remotes/origin/main"
    log.parent.mkdir(parents=True, exist_ok=True)
    log.write_text(f"{'1' * 40} {head(root)} A <a@lab.example> 0 +0000\tfetch\n")

    assert told(clone) == (0, [])
