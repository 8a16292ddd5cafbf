"""Half a clone is refused, with the command that mends it; and that command does."""

from hashlib import sha1
from pathlib import Path

import pytest

from buildsite.errors import EnvironmentFault
from buildsite.history.run import GitRefused
from buildsite.history.walk import read_history
from tests.clones import git
from tests.pasts import begun, edit

A = "records/p/tests/A.yaml"


def two_edits(root: Path) -> tuple[str, str]:
    begun(root)
    return edit(root, "one", {A: "1"}), edit(root, "two", {A: "2"})


def refused(root: Path, ref: str = "HEAD") -> EnvironmentFault:
    with pytest.raises(EnvironmentFault) as raised:
        read_history(root, ref)
    return raised.value


def test_a_shallow_clone(tmp_path: Path) -> None:
    two_edits(tmp_path / "whole")
    url = f"file://{tmp_path / 'whole'}"
    git(tmp_path, "clone", "--quiet", "--depth=1", url, "half")

    fault = refused(tmp_path / "half")

    assert "git fetch --unshallow" in fault.remedy
    assert "fetch-depth: 0" in fault.remedy
    git(tmp_path / "half", "fetch", "--quiet", "--unshallow")
    assert len(read_history(tmp_path / "half").commits) == 2


def test_a_partial_clone(tmp_path: Path) -> None:
    two_edits(tmp_path / "whole")
    git(tmp_path / "whole", "config", "uploadpack.allowFilter", "true")
    url = f"file://{tmp_path / 'whole'}"
    git(tmp_path, "clone", "--quiet", "--filter=blob:none", url, "half")

    assert "without --filter" in refused(tmp_path / "half").remedy


def test_replaced_commits(tmp_path: Path) -> None:
    one, two = two_edits(tmp_path)
    git(tmp_path, "replace", two, one)

    assert "git replace -d" in refused(tmp_path).remedy
    git(tmp_path, "replace", "-d", two)
    assert len(read_history(tmp_path).commits) == 2


def test_grafted_commits(tmp_path: Path) -> None:
    _, two = two_edits(tmp_path)
    grafts = tmp_path / ".git/info/grafts"
    grafts.parent.mkdir(exist_ok=True)
    grafts.write_text(f"{two}\n")

    assert str(grafts) in refused(tmp_path).remedy
    grafts.unlink()
    assert len(read_history(tmp_path).commits) == 2


def test_a_folder_that_is_no_clone(tmp_path: Path) -> None:
    fault = refused(tmp_path)

    assert "not a git clone" in fault.cause
    assert "build --without-history" in fault.remedy


def test_a_revision_that_is_not_there(tmp_path: Path) -> None:
    two_edits(tmp_path)

    assert "'no-such-branch'" in refused(tmp_path, "no-such-branch").cause


def chunks_of(data: bytes) -> dict[bytes, int]:
    """Where the chunks of a commit-graph begin: gitformat-commit-graph(5)."""
    rows = [data[8 + 12 * i : 20 + 12 * i] for i in range(data[6] + 1)]
    return {row[:4]: int.from_bytes(row[4:], "big") for row in rows}


def test_a_forged_commit_graph_hides_no_commit(tmp_path: Path) -> None:
    root = begun(tmp_path)
    commits = [edit(root, str(i), {"records/a.txt": str(i)}) for i in range(4)]
    git(root, "commit-graph", "write", "--reachable")
    path = root / ".git/objects/info/commit-graph"
    data = bytearray(path.read_bytes())
    at, ids = chunks_of(bytes(data)), sorted(commits)
    rows = at[b"CDAT"]
    newest, oldest = ids.index(commits[-1]), ids.index(commits[0])
    parent = rows + 36 * newest + 20  # behind the tree's name of 20 bytes
    data[parent : parent + 4] = oldest.to_bytes(4, "big")
    path.chmod(0o644)
    path.write_bytes(bytes(data[:-20]) + sha1(data[:-20]).digest())  # noqa: S324
    assert git(root, "log", "--format=%s").splitlines() == ["3", "0"]  # git is fooled

    past = read_history(root)

    assert [commit.subject for commit in past.commits] == ["3", "2", "1", "0"]


def test_the_reason_is_told_and_not_what_git_says_after_it() -> None:
    # As git prints it below the top folder of a disk.
    printed = (
        "fatal: not a git repository (or any parent up to mount point /mnt)\n"
        "Stopping at filesystem boundary (GIT_DISCOVERY_ACROSS_FILESYSTEM not set).\n"
    )

    fault = GitRefused("log -1", printed)

    assert "`git log -1` failed: fatal: not a git repository" in fault.cause
    assert "boundary" not in fault.cause
