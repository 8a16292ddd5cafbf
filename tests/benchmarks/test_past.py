"""A long past: that the measure measures what it says."""

from pathlib import Path

from buildsite.history.walk import read_history
from tests.benchmarks.past import commit_all, long_past, reading_takes
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
