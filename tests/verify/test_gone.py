"""What stood on the branch and is gone from the archive is told, wherever it was."""

import json
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from buildsite.kinds import kind_named
from tests.clones import git
from tests.issuing.clones import TESTS, edit
from tests.verify.tampering import (
    Fault,
    caught,
    commit,
    head,
    issue,
    published,
    sound,
    verify,
)

LOST = f"{TESTS}/ML-102.issued.yaml"


def move(root: Path, name: str, to: str) -> None:
    """Move a file or folder with git."""
    (root / to).parent.mkdir(parents=True, exist_ok=True)
    git(root, "mv", name, to)


def move_but(root: Path, *stay: str) -> str:
    """Move records/ into lab/, but leave some files at the old place."""
    move(root, "records", "lab/records")
    for name in stay:
        move(root, f"lab/{name}", name)
    return commit(root, "into lab")


def of_lost_test(root: Path) -> list[str]:
    """The files of the test that is to get lost."""
    names = (path for path in (root / TESTS).glob("ML-102*"))
    return sorted(path.relative_to(root).as_posix() for path in names)


@pytest.mark.parametrize("removed", [False, True])
def test_a_test_that_stays_when_the_archive_moves_is_lost(
    root: Path, tmp_path: Path, *, removed: bool
) -> None:
    git(root, "branch", "base")
    manifest = published(root, tmp_path)
    broke = move_but(root, *of_lost_test(root))
    if removed:
        git(root, "rm", "-r", "--quiet", "records")
        commit(root, "the old place is empty")

    fault = Fault("ML-102", 0, LOST, broke)
    caught(root / "lab", fault, "file was removed")
    caught(root / "lab", fault, "file was removed", "--onto", "base", alone=False)
    caught(root / "lab", fault, "file was removed", "--against", manifest, alone=False)


def test_a_kept_report_that_stays_is_missing(root: Path) -> None:
    kept = f"{TESTS}/ML-102.r0.html"
    broke = move_but(root, kept)
    git(root, "rm", "-r", "--quiet", "records")
    commit(root, "the old place is empty")

    caught(root / "lab", Fault("ML-102", 0, kept, broke), "report is missing")


def test_a_record_that_stays_is_missing(root: Path) -> None:
    record = f"{TESTS}/ML-102.yaml"
    broke = move_but(root, record)
    git(root, "rm", "-r", "--quiet", "records")
    commit(root, "the old place is empty")

    caught(root / "lab", Fault("ML-102", None, record, broke), "record is missing")


def test_what_is_lost_in_a_merge_that_moves_the_archive(root: Path) -> None:
    git(root, "checkout", "--quiet", "-b", "move")
    move_but(root)
    git(root, "checkout", "--quiet", "main")
    edit(root, "lab.yaml", "Sedge Hollow\n", "Sedge Hollow, north\n")
    git(root, "merge", "--quiet", "--no-commit", "--no-ff", "move")
    for name in of_lost_test(root / "lab"):
        git(root, "rm", "--quiet", "--force", f"lab/{name}")
    broke = commit(root, "merged")

    caught(root / "lab", Fault("ML-102", 0, LOST, broke), "file was removed")


def test_a_branch_from_before_the_move_is_merged_after_it(root: Path) -> None:
    git(root, "checkout", "--quiet", "-b", "before")
    edit(root, "lab.yaml", "Sedge Hollow\n", "Sedge Hollow, north\n")
    issue(root, "ML-102", reason="The name of the laboratory was corrected")
    git(root, "checkout", "--quiet", "main")
    move_but(root)
    git(root, "config", "merge.directoryRenames", "true")
    git(root, "merge", "--quiet", "--no-edit", "before")
    assert sound(root / "lab")

    git(root, "reset", "--quiet", "--hard", "HEAD^")
    git(root, "merge", "--quiet", "--no-edit", "--strategy=ours", "before")
    fault = Fault("ML-102", 1, LOST, head(root))
    caught(root / "lab", fault, "missing from the chain it was merged into")


def test_a_copy_beside_the_archive_takes_its_past_along(root: Path) -> None:
    shutil.copytree(root / "records", root / "lab/records")
    for name in of_lost_test(root / "lab"):
        (root / "lab" / name).unlink()
    broke = commit(root, "copied")
    fault = Fault("ML-102", 0, LOST, broke)
    caught(root / "lab", fault, "file was removed")
    assert sound(root)

    git(root, "rm", "-r", "--quiet", "records")
    commit(root, "the old place is empty")
    caught(root / "lab", fault, "file was removed")


def test_what_was_issued_at_the_old_place_after_a_copy_is_asked_for(root: Path) -> None:
    shutil.copytree(root / "records", root / "lab/records")
    commit(root, "copied")
    edit(root, "lab.yaml", "Sedge Hollow\n", "Sedge Hollow, north\n")
    issue(root, "ML-102", reason="The name of the laboratory was corrected")
    came = head(root)
    words = "issued at records/, where this archive stood before, and missing here"
    caught(root / "lab", Fault("ML-102", 1, LOST, came), words)

    git(root, "rm", "-r", "--quiet", "records")
    gone = commit(root, "the old place is empty")
    caught(root / "lab", Fault("ML-102", 1, LOST, gone), words)


def test_an_archive_filled_from_one_that_stood_before_has_all_of_it(root: Path) -> None:
    (root / "lab/records").mkdir(parents=True)
    shutil.copy(root / "records/lab.yaml", root / "lab/records")
    commit(root, "another laboratory")
    came = git(root, "log", "--format=%H", "--reverse", "--", LOST).split()[0]
    shutil.copytree(root / "records", root / "lab/records", dirs_exist_ok=True)
    for name in of_lost_test(root / "lab"):
        (root / "lab" / name).unlink()
    commit(root, "filled")

    fault = Fault("ML-102", 0, LOST, came)
    caught(root / "lab", fault, "from which items of this archive came", alone=False)


def another_archive(root: Path, name: str) -> None:
    """Commit another archive beside the first, with an issued test of its own."""
    (root / name / "records").mkdir(parents=True)
    shutil.copy(root / "records/lab.yaml", root / name / "records")
    commit(root, "another laboratory")
    shutil.copytree(root / "records", root / name / "records", dirs_exist_ok=True)
    for path in sorted((root / name / TESTS).glob("ML-10*")):
        path.unlink()
    text = (root / LOST).read_text("utf-8").replace("ML-102", "ML-909")
    other = root / name / TESTS / "ML-909.issued.yaml"
    other.write_text(text.replace("first issue", "another"), "utf-8")
    commit(root, "filled")


def test_another_past_in_the_place_of_the_published_one(root: Path) -> None:
    """A made-up past without the test, at another place, and the real one merged."""
    git(root, "branch", "base")
    states = git(root, "rev-list", "--reverse", "base").split()
    (root / "lab/records").mkdir(parents=True)
    (root / "lab/records/lab.yaml").write_text("kind: laboratory\n", "utf-8")
    planted = commit(root, "another laboratory")
    git(root, "checkout", "--quiet", "--orphan", "made-up")
    for state in states:
        git(root, "rm", "-r", "--quiet", "--force", ".")
        git(root, "checkout", state, "--", "records")
        move(root, "records", "lab/records")
        for name in of_lost_test(root / "lab"):
            git(root, "rm", "--quiet", "--force", f"lab/{name}")
        commit(root, "made up")
    tree = git(root, "rev-parse", "HEAD^{tree}")
    parents = ("-p", head(root), "-p", planted)
    merge = git(root, "commit-tree", tree, *parents, "-m", "merged")
    git(root, "branch", "--quiet", "--force", "main", merge)
    git(root, "checkout", "--quiet", "--force", "main")

    words = "issued at records/, an archive that was removed, and missing here"
    fault = Fault("ML-102", 0, LOST, merge)
    caught(root / "lab", fault, words, alone=False)
    assert json.loads(verify(root / "lab").out)["remarks"] == []
    caught(root / "lab", fault, "was removed", "--onto", "base", alone=False)


def test_an_archive_that_moves_is_no_matter_of_the_one_beside_it(root: Path) -> None:
    another_archive(root, "other")
    assert sound(root)
    move_but(root)

    assert sound(root / "lab")
    said = json.loads(verify(root / "other").out)
    assert {one["test"] for one in said["faults"]} == {"ML-909"}
    assert not [one for one in said["remarks"] if "gone" in one or "removed" in one]


def test_an_archive_that_was_removed_is_missed_in_one_that_came_later(
    root: Path,
) -> None:
    another_archive(root, "other")
    added(root)
    git(root, "rm", "-r", "--quiet", "records")
    gone = commit(root, "gone")

    fault = Fault("ML-102", 0, LOST, gone)
    words = "issued at records/, an archive that was removed, and missing here"
    caught(root / "other", fault, words, alone=False)
    said = json.loads(verify(root / "other").out)["remarks"]
    assert [one for one in said if "never issued and gone: 1 test, ML-103" in one]


def test_another_archive_that_was_removed_is_told(root: Path) -> None:
    another_archive(root, "trial")
    git(root, "rm", "-r", "--quiet", "trial")
    gone = commit(root, "the trial is over")

    ran = verify(root)

    assert ran.status == 0, ran.out
    said = (
        "another archive of this repository, trial/records/, was removed in commit "
        f"{gone[:12]}, with what was issued there: ML-909"
    )
    assert said in json.loads(ran.out)["remarks"]


def added(root: Path) -> str:
    """Commit a test that is not issued; return its file."""
    name = f"{TESTS}/ML-103.yaml"
    text = (root / TESTS / "ML-102.yaml").read_text("utf-8").replace("ML-102", "ML-103")
    (root / name).write_text(text, "utf-8")
    commit(root, "ML-103: new")
    return name


def removed(root: Path, name: str) -> Path:
    """The test is removed in a commit."""
    git(root, "rm", "--quiet", name)
    commit(root, "tidy up")
    return root


def left_behind(root: Path, name: str) -> Path:
    """The test stays at the old place when the archive moves, and goes there."""
    move_but(root, name)
    git(root, "rm", "-r", "--quiet", "records")
    git(root, "commit", "--quiet", "--amend", "--no-edit")
    return root / "lab"


def dropped_in_a_merge(root: Path, name: str) -> Path:
    """The branch with the test is merged without it, as the second parent."""
    git(root, "checkout", "--quiet", "-b", "swapped", "HEAD^")
    git(root, "commit", "--quiet", "--allow-empty", "--message=another line")
    git(root, "merge", "--quiet", "--no-edit", "--strategy=ours", "main")
    git(root, "branch", "--quiet", "--force", "main", "HEAD")
    git(root, "checkout", "--quiet", "main")
    return root


def as_another_group(root: Path, name: str) -> Path:
    """The test is moved to where it is read as something else."""
    move(root, name, name.replace("/tests/", "/samples/"))
    commit(root, "moved")
    return root


Way = Callable[[Path, str], Path]
WAYS: tuple[Way, ...] = (removed, left_behind, dropped_in_a_merge, as_another_group)


@pytest.mark.parametrize("way", WAYS)
def test_a_test_never_issued_that_is_gone_is_told(root: Path, way: Way) -> None:
    archive = way(root, added(root))

    ran = verify(archive)

    assert ran.status == 0, ran.out
    said = "once on main, never issued and gone: 1 test, ML-103 (commit {})"
    assert said.format(head(root)[:12]) in json.loads(ran.out)["remarks"]


def test_a_test_that_moved_or_came_back_is_not_gone(root: Path) -> None:
    name = added(root)
    move(root, name, f"{TESTS}/south/ML-103.yaml")
    commit(root, "moved")
    git(root, "rm", "--quiet", f"{TESTS}/south/ML-103.yaml")
    commit(root, "gone")
    git(root, "checkout", "HEAD^^", "--", name)
    commit(root, "back")
    move(root, "records", "lab/records")
    commit(root, "into lab")

    assert not [
        one for one in json.loads(verify(root / "lab").out)["remarks"] if "gone" in one
    ]


def lasting(name: str) -> Any:
    """The kind of that name, as if its tests may not be removed."""
    found = kind_named(name)
    assert found is not None
    return replace(found, lasts=True)


@pytest.mark.parametrize("way", WAYS)
def test_a_test_of_a_kind_that_lasts_may_not_go(
    root: Path, way: Way, monkeypatch: pytest.MonkeyPatch
) -> None:
    archive = way(root, added(root))
    monkeypatch.setattr("buildsite.archive.identity.kind_named", lasting)

    fault = Fault("ML-103", None, f"{TESTS}/ML-103.yaml", head(root))
    caught(archive, fault, "once stood on main and is gone")


def test_a_test_of_a_kind_that_lasts_may_not_become_another(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of the two kinds, a compaction test is the one that stays."""

    def one_lasts(name: str) -> Any:
        found = kind_named(name)
        return lasting(name) if name == "moisture-density" else found

    name = added(root)
    text = (root / name).read_text("utf-8")
    other = text.replace("kind: moisture-density", "kind: water-content")
    (root / name).write_text(other, "utf-8")
    broke = commit(root, "another kind")
    commit(root, "and more")
    assert sound(root)
    for where in ("archive.identity", "verifying.other_kind"):
        monkeypatch.setattr(f"buildsite.{where}.kind_named", one_lasts)

    fault = Fault("ML-103", None, name, broke)
    caught(root, fault, "is of another kind now")
