"""In the middle of something else nothing is entered, committed, reviewed or issued."""

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.archives import sound
from tests.cli.running import Ran, run
from tests.clones import WHO, clone, git
from tests.entering.session import SEPARATE, begun

TEXT = begun(2)
ISSUE = ("--authorized-by", "E02", "--reason", "first issue", "--on", "2026-03-13")


@pytest.fixture
def lab(tmp_path: Path) -> Path:
    """A clone whose two branches each changed the same reading."""
    clone(tmp_path, {**sound(), SEPARATE: TEXT.encode()})
    git(tmp_path, "config", "user.name", "Bench")
    git(tmp_path, "config", "user.email", "bench@lab.example")
    git(tmp_path, "branch", "--move", "main")
    for branch, mass in (("theirs", "51.46"), ("main", "51.65")):
        git(tmp_path, "checkout", "--quiet", "-B", branch, "main")
        file = tmp_path / SEPARATE
        file.write_text(
            TEXT.replace("container_mass: 51.64", f"container_mass: {mass}")
        )
        git(tmp_path, "commit", "--quiet", "--all", f"--message={branch}")
        if branch == "theirs":
            git(tmp_path, "checkout", "--quiet", "main")
    return tmp_path


def stops(root: Path, *words: str) -> None:
    """Run a command of git that stops at a conflict."""
    done = subprocess.run(
        ["git", "-C", str(root), *words], env=WHO, capture_output=True, check=False
    )
    assert done.returncode, done


def picture(root: Path) -> dict[str, bytes]:
    """Everything in the folder, git's own with it, but what a look may refresh."""
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in sorted(root.rglob("*"))
        if path.is_file() and path.name != "index"
    } | {"status": git(root, "status", "--porcelain").encode()}


STATES: dict[str, tuple[Callable[[Path], object], str, str]] = {
    "merge": (
        lambda root: stops(root, "merge", "theirs"),
        "A merge is under way in this clone",
        "`git commit` or `git merge --abort`",
    ),
    "rebase": (
        lambda root: stops(root, "rebase", "theirs"),
        "A rebase is under way in this clone",
        "`git rebase --continue` or `git rebase --abort`",
    ),
    "cherry-pick": (
        lambda root: stops(root, "cherry-pick", "theirs"),
        "A cherry-pick is under way in this clone",
        "`git cherry-pick --continue` or `git cherry-pick --abort`",
    ),
    "revert": (
        lambda root: stops(root, "revert", "theirs"),
        "A revert is under way in this clone",
        "`git revert --continue` or `git revert --abort`",
    ),
    "bisect": (
        lambda root: git(root, "bisect", "start", "HEAD", "HEAD~1"),
        "A bisect is under way in this clone",
        "`git bisect reset`",
    ),
    "squash": (
        lambda root: stops(root, "merge", "--squash", "theirs"),
        "conflicts that nobody has settled",
        "`git add` each file",
    ),
    "detached": (
        lambda root: git(root, "checkout", "--quiet", "--detach"),
        "No branch is checked out here (detached HEAD)",
        "`git switch BRANCH`",
    ),
}
COMMANDS: dict[str, Callable[[Path], Ran]] = {
    "enter": lambda root: run(
        *("enter", "ML-102", "--on=2026-03-10", "--root", root), stdin=b"T07\n4002\n"
    ),
    "commit": lambda root: run("commit", "--why", "mended", "--root", root),
    "issue": lambda root: run("issue", "ML-101", *ISSUE, "--root", root),
    "review": lambda root: run("review", "ML-101", "--by", "E02", "--root", root),
}


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("state", STATES)
def test_a_command_refuses_and_leaves_the_state_as_it_was(
    lab: Path, state: str, command: str
) -> None:
    begin, what, remedy = STATES[state]
    begin(lab)
    before = picture(lab)

    ran = COMMANDS[command](lab)

    assert (ran.status, ran.out) == (3, "")
    assert what in ran.err
    assert remedy in ran.err
    assert picture(lab) == before


def test_on_a_branch_all_of_them_go_on(lab: Path) -> None:
    assert COMMANDS["enter"](lab).status == 0
    assert COMMANDS["issue"](lab).status == 0
