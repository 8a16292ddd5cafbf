"""A long past: that the measure measures what it says."""

from pathlib import Path

from buildsite.history.kept_log import KeptLog
from buildsite.history.walk import read_history
from tests.benchmarks.past import (
    EDITS,
    NEW,
    commit_all,
    long_past,
    past_lines,
    reading_takes,
    tip,
)
from tests.clones import git


def test_the_past_that_is_measured_has_so_many_edits_of_so_many_records(
    tmp_path: Path,
) -> None:
    commit_all(tmp_path / "past", long_past(records=60, edits=3))

    past = read_history(tmp_path / "past")

    assert len(past.commits) == 180 == len(past.main)
    assert int(git(tmp_path / "past", "rev-list", "--count", "main")) == 180
    assert len(past.names(past.commits[0].id)) == 60
    assert past.commits[0].trailers == {"entered-by": "T07", "reason": "read again"}
    assert reading_takes(tmp_path / "past") > 0


def test_a_known_past_and_ten_new_commits_are_measured(tmp_path: Path) -> None:
    lines = [*past_lines(tmp_path, records=20, rounds=1)]

    assert [line.name for line in lines][1:] == [
        *("log and parsing", "the same, all but the last 10 known"),
    ]
    root, known = tmp_path / "past", KeptLog()
    whole = known.read(root, tip(root))
    assert len(whole) == 20 * EDITS + NEW
    assert KeptLog(known.text).read(root, tip(root)) == whole
