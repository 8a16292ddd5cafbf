"""Verifying nothing is told: it is a pass only where nothing was issued yet."""

import json
from pathlib import Path

import pytest

from tests.cli.running import Ran, run
from tests.clones import git
from tests.issuing.clones import lab
from tests.verify.tampering import Fault, caught, commit, head, verify


def refused(ran: Ran, *words: str) -> None:
    """Assert that nothing was judged, and why."""
    assert (ran.status, ran.out) == (3, ""), ran
    for word in words:
        assert word in ran.err


def test_an_archive_that_issued_nothing_yet_passes_and_says_so(tmp_path: Path) -> None:
    ran = run("verify", "--root", lab(tmp_path))

    assert ran.status == 0
    assert f"Nothing has been issued yet at commit {head(tmp_path)}, on main" in ran.err


def test_an_archive_in_the_repository_of_a_folder_above_is_not_verified(
    root: Path,
) -> None:
    (root / ".git").rename(root.parent / "gone")
    git(root.parent, "init", "--quiet", "--initial-branch=main")
    git(root.parent, "commit", "--quiet", "--allow-empty", "--message=other work")

    above = str(root.parent.resolve())
    refused(verify(root), "Nothing was verified", f"the repository {above}", "lab.yaml")


def test_a_repository_without_a_commit_is_not_verified(root: Path) -> None:
    (root / ".git").rename(root.parent / "gone")
    git(root, "init", "--quiet", "--initial-branch=main")

    refused(verify(root), "has no commit yet", "Nothing was verified")


def test_records_that_git_ignores_are_not_verified(root: Path) -> None:
    git(root, "rm", "-r", "--cached", "--quiet", "records")
    (root / ".gitignore").write_text("*.log\nrecords/\n")
    commit(root, "tidy")

    words = "git ignores it: 'records/' in line 2 of .gitignore"
    refused(verify(root), "Nothing was verified", words)


def test_issued_files_that_git_ignores_are_not_verified(tmp_path: Path) -> None:
    lab(tmp_path)
    (tmp_path / ".gitignore").write_text("*.issued.yaml\n*.r?.*\n")
    commit(tmp_path, "tidy")
    by = ("--authorized-by", "E02", "--reason", "first", "--on", "2026-03-13")
    ran = run("issue", "ML-101", *by, "--no-commit", "--root", tmp_path)
    assert ran.status == 0, ran.err

    words = ("no issued item is committed", "ML-101.issued.yaml", "*.issued.yaml")
    refused(verify(tmp_path), "1 issued file in this folder not committed", *words)


def test_one_issued_file_that_is_not_committed_is_told(root: Path) -> None:
    name = "records/marsh-lane/tests/ML-102.issued.yaml"
    data = (root / name).read_bytes().replace(b"ML-102", b"ML-103")
    (root / name.replace("102", "103")).write_bytes(data)

    ran = verify(root)

    assert ran.status == 0
    (remark,) = json.loads(ran.out)["remarks"]
    assert "1 issued file in this folder not committed and not verified" in remark
    assert f"Note: {remark}." in ran.err


def test_an_item_that_is_not_committed_is_told(root: Path) -> None:
    # An issue that was killed: `check` counts it as issued, the history has none of it.
    name = "records/marsh-lane/tests/ML-102.issued.yaml"
    by = ("--authorized-by", "E02", "--reason", "r", "--on", "2026-03-14")
    ran = run("issue", "ML-102", "--withdraw", *by, "--no-commit", "--root", root)
    assert ran.status == 0, ran.err

    ran = verify(root)

    assert ran.status == 0
    (remark,) = json.loads(ran.out)["remarks"]
    assert f"1 issued file in this folder not committed and not verified: {name}" in (
        remark
    )


def test_the_archive_above_another_repository_is_not_meant(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    inner = root / "other"
    inner.mkdir()
    git(inner, "init", "--quiet", "--initial-branch=main")
    git(inner, "commit", "--quiet", "--allow-empty", "--message=other work")
    monkeypatch.chdir(inner)

    refused(run("verify"), "Nothing was verified", "another repository")
    assert run("verify", "--root", root).status == 0


def test_a_folder_of_the_archive_is_a_place_to_verify_it_from(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(root / "records/marsh-lane/tests")

    ran = run("verify")

    assert ran.status == 0
    assert "3 issued items of 2 tests" in ran.err


@pytest.mark.parametrize("name", ["GIT_DIR", "GIT_WORK_TREE", "GIT_OBJECT_DIRECTORY"])
def test_no_variable_of_git_leads_to_another_repository(
    root: Path, tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = tmp_path / "other"
    other.mkdir()
    git(other, "init", "--quiet", "--initial-branch=main")
    git(other, "commit", "--quiet", "--allow-empty", "--message=empty")
    monkeypatch.setenv(name, str(other / ".git"))

    assert "3 issued items of 2 tests" in run("verify", "--root", root).err


def test_a_setting_that_moves_the_working_tree_is_told(root: Path) -> None:
    git(root, "config", "core.worktree", str(root.parent.resolve()))

    refused(verify(root), "Nothing was verified")


def test_a_commit_from_before_the_first_issue_says_that_it_is_one(
    root: Path,
) -> None:
    git(root, "checkout", "--quiet", "--detach", "HEAD~3")

    ran = run("verify", "--root", root)

    assert ran.status == 0
    assert "0 issued items of 0 tests" in ran.err
    assert "Nothing has been issued yet" not in ran.err
    assert "the commit checked out is 3 commits behind main" in ran.err


def test_a_branch_from_before_the_first_issue_says_what_it_lacks(root: Path) -> None:
    git(root, "checkout", "--quiet", "-b", "old", "HEAD~3")
    git(root, "commit", "--quiet", "--allow-empty", "--message=late work")

    ran = run("verify", "--root", root)

    assert ran.status == 0
    assert "0 issued items of 0 tests" in ran.err
    assert "main has 3 issued items, the commit checked out has none" in ran.err


def test_a_laboratory_that_can_not_be_read_is_a_fault(root: Path) -> None:
    path = root / "records/lab.yaml"
    path.write_text("a: [\n" + path.read_text("utf-8"), "utf-8")
    broke = commit(root, "tidy")

    words = "the published branch, authorities and keys are unknown"
    caught(root, Fault("", None, "records/lab.yaml", broke), words)


def test_a_published_branch_that_is_nowhere_is_told(root: Path) -> None:
    path = root / "records/lab.yaml"
    text = path.read_text("utf-8")
    assert "published_branch" not in text
    assert text.count("procedures: {") == 1
    now = "procedures: {published_branch: other, "
    path.write_text(text.replace("procedures: {", now), "utf-8")
    commit(root, "lab: another branch")

    ran = verify(root)

    (remark,) = json.loads(ran.out)["remarks"]
    assert "no branch 'other' is in this clone" in remark
