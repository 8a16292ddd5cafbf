"""Whole or not at all: what a clone may do against an issue, and nothing swept in."""

import fcntl
import shutil
import subprocess
import threading
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from buildsite.archive.issue_item import Order
from buildsite.errors import EnvironmentFault
from buildsite.files import write_files, write_whole
from buildsite.history.commit import commit
from buildsite.issuing.keep import keep
from buildsite.issuing.planning import plan_issue
from tests.cli.running import Ran, run
from tests.clones import git
from tests.issuing.clones import TESTS, edit, in_commit, issued, lab, state

FIRST = ("--authorized-by", "E02", "--reason", "first issue", "--on", "2026-03-13")


ORDER = Order("report", date(2026, 3, 13), "E02", "first issue")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return lab(tmp_path)


def issue(root: Path, *words: str) -> Ran:
    return run("issue", "ML-101", *FIRST, *words, "--root", root)


def hook(root: Path, name: str, *lines: str) -> None:
    """Set a hook of the clone."""
    path = root / ".git" / "hooks" / name
    path.parent.mkdir(exist_ok=True)
    path.write_text("\n".join(("#!/bin/sh", *lines, "")))
    path.chmod(0o755)


@pytest.mark.parametrize("name", ["pre-commit", "commit-msg"])
def test_a_hook_that_says_no_leaves_nothing(root: Path, name: str) -> None:
    hook(root, name, "echo not today >&2", "exit 1")
    before = state(root)

    ran = issue(root)

    assert (ran.status, ran.out) == (3, "")
    assert "not today" in ran.err
    assert state(root) == before


def test_a_hook_that_says_no_leaves_an_amendment_s_files_as_they_were(
    root: Path,
) -> None:
    issue(root)
    edit(root, "marsh-lane/tests/ML-101.yaml", "8.64", "8.60")
    hook(root, "pre-commit", "exit 1")
    before = state(root)

    assert issue(root).status == 3
    assert issue(root, "--withdraw").status == 3
    assert run("review", "ML-101", "--by", "E02", "--root", root).status == 3
    assert state(root) == before


@pytest.mark.parametrize(
    "line",
    [
        f"echo more >> {TESTS}/ML-101.r0.html; git add {TESTS}/ML-101.r0.html",
        "echo x > sneaked; git add sneaked",
    ],
)
def test_a_hook_that_changes_the_commit_is_found_out(root: Path, line: str) -> None:
    hook(root, "pre-commit", line)
    tip = git(root, "rev-parse", "HEAD")

    ran = issue(root)

    assert ran.status == 3
    assert "A hook of this clone changed" in ran.err
    assert git(root, "rev-parse", "HEAD") == tip
    assert not (root / TESTS / "ML-101.issued.yaml").exists()


def test_what_others_have_staged_stays_staged_and_out_of_the_commit(
    root: Path,
) -> None:
    (root / "notes.txt").write_text("staged")
    git(root, "add", "notes.txt")
    other = root / "records/marsh-lane/tests/ML-102.yaml"
    other.write_text(other.read_text("utf-8") + "# staged\n", "utf-8")
    git(root, "add", "--all")
    other.write_text(other.read_text("utf-8") + "# not staged\n", "utf-8")

    assert issue(root).status == 0

    assert len(in_commit(root)) == 3
    assert git(root, "status", "--porcelain").splitlines() == [
        "A  notes.txt",
        "MM records/marsh-lane/tests/ML-102.yaml",
    ]


def test_kept_files_that_gitignore_names_are_kept_all_the_same(root: Path) -> None:
    (root / ".gitignore").write_text("*.html\n*.json\n")

    assert issue(root).status == 0
    assert len(in_commit(root)) == 3


def test_a_clone_that_would_store_other_bytes_is_refused(root: Path) -> None:
    (root / ".gitattributes").write_text("*.html filter=shout\n")
    git(root, "config", "filter.shout.clean", "tr a-z A-Z")
    before = state(root)

    ran = issue(root)

    assert ran.status == 3
    assert "Git would change" in ran.err
    assert state(root) == before


def test_without_a_name_to_commit_by_nothing_is_written(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    git(root, "config", "--unset", "user.name")
    git(root, "config", "--unset", "user.email")
    monkeypatch.setenv("HOME", str(root / "nobody"))
    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    before = state(root)

    ran = issue(root)

    assert ran.status == 3
    assert "Git doesn't know who commits here." in ran.err
    assert "git config user.name" in ran.err
    assert state(root) == before


def test_the_user_says_who_commits_and_when(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GIT_COMMITTER_DATE", "2026-03-13T12:00:00Z")
    monkeypatch.setenv("GIT_AUTHOR_NAME", "Somebody")
    monkeypatch.setenv("GIT_DIR", "/nowhere")  # of a hook's repository, not of this

    assert issue(root).status == 0
    said = git(root, "log", "-1", "--format=%an %cI")
    assert said == "Somebody 2026-03-13T12:00:00+00:00"


def test_a_folder_that_is_no_clone_can_issue_nothing(root: Path) -> None:
    shutil.rmtree(root / ".git")

    ran = issue(root)

    assert ran.status == 3
    assert "is not a clone with a commit" in ran.err


def test_a_merge_under_way_is_finished_first(root: Path) -> None:
    git(root, "checkout", "--quiet", "-b", "other")
    edit(root, "marsh-lane/tests/ML-102.yaml", "3854", "3855")
    git(root, "checkout", "--quiet", "main")
    edit(root, "equipment/B-11.yaml", "floor balance", "a floor balance")
    git(root, "merge", "--quiet", "--no-commit", "other")
    before = state(root)

    ran = issue(root)

    assert ran.status == 3
    assert "merge" in ran.err
    assert state(root) == before


def test_an_archive_in_a_folder_of_its_repository(tmp_path: Path) -> None:
    whole = lab(tmp_path)
    (whole / "lab").mkdir()
    git(whole, "mv", "records", "lab/records")
    git(whole, "commit", "--quiet", "--message=into a folder")

    ran = run("issue", "ML-101", *FIRST, "--root", whole / "lab")

    assert ran.status == 0, ran.err
    assert in_commit(whole)[0] == f"A\tlab/{TESTS}/ML-101.issued.yaml"
    (item,) = issued(whole / "lab", "ML-101").items
    assert {name.partition("/")[0] for name in item.inputs} == {"records"}


@pytest.mark.skipif(shutil.which("ssh-keygen") is None, reason="no ssh-keygen here")
def test_where_the_laboratory_demands_it_an_issue_is_signed(
    root: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    edit(root, "lab.yaml", "{curve: auto,", "{curve: auto, signed_edits: yes,")
    before = state(root)
    git(root, "config", "gpg.format", "ssh")
    git(root, "config", "user.signingkey", "/nowhere/key")
    unsigned = issue(root)
    assert unsigned.status == 3
    assert state(root) == before

    key = tmp_path_factory.mktemp("keys") / "key"
    words = ["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", str(key)]
    subprocess.run(words, check=True)
    git(root, "config", "user.signingkey", f"{key}.pub")
    signed = issue(root)

    assert signed.status == 0, signed.err
    assert "\ngpgsig -----BEGIN SSH" in git(root, "cat-file", "commit", "HEAD")


def test_two_do_not_issue_at_once(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("buildsite.history.lock.PATIENCE", 0.1)
    before = state(root)
    with (root / ".git" / "buildsite.lock").open("ab") as other:
        fcntl.flock(other.fileno(), fcntl.LOCK_EX)

        refused = issue(root)

    assert (refused.status, refused.out) == (3, "")
    assert "Somebody else is issuing or committing" in refused.err
    assert state(root) == before
    assert issue(root).status == 0


@pytest.mark.parametrize("name", ["buildsite.lock", "index.lock"])
def test_who_commits_is_waited_for(root: Path, name: str) -> None:
    path = root / ".git" / name
    with path.open("ab") as other:
        fcntl.flock(other.fileno(), fcntl.LOCK_EX)

        def ends() -> None:
            other.close()
            path.unlink()

        done = threading.Timer(0.5, ends)
        done.start()
        ran = issue(root)
        done.join()

    assert ran.status == 0, ran.err


def test_another_git_that_does_not_end_is_named(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("buildsite.history.lock.PATIENCE", 0.1)
    (root / ".git/index.lock").touch()
    before = state(root)

    ran = issue(root)

    assert (ran.status, ran.out) == (3, "")
    assert "Another git process is at work in this folder, or was cut off." in ran.err
    assert f"delete {root / '.git/index.lock'}." in ran.err
    assert state(root) == before


def test_an_issue_made_ready_before_another_commit_is_made_anew(root: Path) -> None:
    plan = plan_issue(root, ["ML-101"], ORDER)
    edit(root, "lab.yaml", "Sedge Hollow\n", "Sedge Hollow, north\n")
    before = state(root)

    with pytest.raises(EnvironmentFault, match="Somebody else made a commit"):
        keep(plan)

    assert state(root) == before


def interfering(root: Path) -> Callable[[Path, bytes], None]:
    """Write as ever, while somebody commits with plain git."""

    def write(path: Path, data: bytes) -> None:
        git(root, "commit", "--quiet", "--allow-empty", "--message=theirs")
        write_whole(path, data)

    return write


FILE = "records/marsh-lane/remark.txt"


def test_what_others_commit_meanwhile_stays(root: Path) -> None:
    commit(root, {FILE: b"x"}, "ours\n", write=interfering(root))

    assert git(root, "log", "-2", "--format=%s").splitlines() == ["ours", "theirs"]


def test_and_stays_where_ours_is_taken_back(root: Path) -> None:
    hook(root, "pre-commit", "exit 1")
    git(root, "config", "core.hooksPath", ".git/none")
    before = git(root, "rev-parse", "HEAD")

    def write(path: Path, data: bytes) -> None:
        interfering(root)(path, data)
        git(root, "config", "--unset", "core.hooksPath")

    with pytest.raises(EnvironmentFault):
        commit(root, {FILE: b"x"}, "ours\n", write=write)

    assert git(root, "log", "-1", "--format=%s") == "theirs"
    assert git(root, "rev-parse", "HEAD^") == before
    assert not (root / FILE).exists()


def test_a_chain_is_written_after_what_it_names(root: Path) -> None:
    order: list[str] = []

    def write(path: Path, data: bytes) -> None:
        order.append(path.name)
        write_whole(path, data)

    plan = plan_issue(root, ["ML-101", "ML-102"], ORDER)
    write_files(root, plan.files, write=write)

    assert len(order) == 6
    assert all(name.endswith(".issued.yaml") for name in order[-2:])
    assert not any(name.endswith(".issued.yaml") for name in order[:-2])


def test_an_item_in_no_commit_is_not_taken_for_issued(root: Path) -> None:
    assert issue(root, "--no-commit").status == 0

    again = issue(root)

    assert again.status == 1
    assert "ML-101 r0 is in" in again.err
    assert "but not committed" in again.err
    assert "nothing changed" not in again.err
    chain = root / TESTS / "ML-101.issued.yaml"
    chain.unlink()
    assert "an issue was interrupted" in issue(root).err
    for path in (root / TESTS).glob("ML-101.r0.*"):
        path.unlink()
    assert issue(root).status == 0
