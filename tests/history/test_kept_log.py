"""The log as it was kept, with what came since, is the log read whole."""

from pathlib import Path

import pytest

from buildsite.history import kept_log
from buildsite.history.kept_log import KeptLog
from buildsite.history.log import read_log
from buildsite.record.commits import Commit
from tests.clones import git
from tests.pasts import begun, edit

RECORD = "records/p/tests/T-1.yaml"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    made = begun(tmp_path / "archive")
    for number in range(3):
        edit(made, f"edit {number}\n\nReason: read again", {RECORD: f"a: {number}\n"})
    return made


def same(root: Path, log: KeptLog) -> tuple[Commit, ...]:
    """Read a log as it is kept; it is that which git has."""
    tip = git(root, "rev-parse", "HEAD").strip()
    found = log.read(root, tip)
    assert found == tuple(read_log(root, tip))
    assert KeptLog(log.text).read(root, tip) == found
    return found


def test_only_what_came_since_is_read(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = KeptLog()
    old = same(root, log)[0].id
    asked: list[str] = []

    def noted(root: Path, tip: str, since: str = "") -> object:
        asked.append(since)
        return read_log(root, tip, since)

    monkeypatch.setattr(kept_log, "read_log", noted)
    edit(root, "one more", {RECORD: "a: 3\n"})
    edit(root, "and one", {"records/p/tests/T-2.yaml": "b: 1\n"})

    assert len(same(root, log)) == 5
    assert asked == [old]  # and nothing to read it again as it is


def test_after_a_merge_the_whole_is_read(root: Path) -> None:
    log = KeptLog()
    same(root, log)
    git(root, "checkout", "--quiet", "-b", "side", "HEAD~1")
    edit(root, "on a branch", {"records/p/tests/T-2.yaml": "b: 1\n"})
    git(root, "checkout", "--quiet", "main")
    edit(root, "on main", {RECORD: "a: 4\n"})
    same(root, log)
    git(root, "merge", "--quiet", "--no-ff", "--message=merge", "side")

    assert len(same(root, log)[0].parents) == 2
    edit(root, "after it", {RECORD: "a: 5\n"})
    same(root, log)


def test_a_history_written_anew_is_read_whole(root: Path) -> None:
    log = KeptLog()
    same(root, log)
    git(root, "reset", "--quiet", "--hard", "HEAD~2")
    assert len(same(root, log)) == 1
    edit(root, "another way", {RECORD: "a: 9\n"})
    same(root, log)


def test_a_past_that_this_clone_never_had_is_read_whole(root: Path) -> None:
    log = KeptLog()
    same(root, log)
    strange = KeptLog(
        log.text.replace(git(root, "rev-parse", "HEAD").strip(), "c" * 40)
    )

    same(root, strange)
