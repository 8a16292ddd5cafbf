"""Objects of the clone that are not what their names state, and the files they are."""

import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from buildsite.archive.identity import group_of, name_of
from buildsite.errors import EnvironmentFault
from buildsite.history.integrity import Damage
from buildsite.history.walk import read_history
from buildsite.record.proof import Fault

KEPT = re.compile(r"\.r[0-9]+$")

MEND = (
    "clone the archive again from a copy that nobody altered, and verify that; this "
    "clone proves nothing"
)


def damage_faults(root: Path, found: Sequence[Damage], head: str) -> Iterator[Fault]:
    """Yield the fault of each damaged object, by the file it holds where known."""
    files = files_by_blob(root)
    for one in found:
        file, commit = files.get(one.object, (".git", head))
        what = f"git object {one.object} {one.what}" if one.object else one.what
        yield Fault(test_of(file), None, file, commit, what, MEND)


def files_by_blob(root: Path) -> Mapping[str, tuple[str, str]]:
    """
    Return path and commit of each blob of the archive, as first committed.

    Empty if the damage keeps the history from being read.
    """
    try:
        history = read_history(root)
    except EnvironmentFault:
        return {}
    return {
        touch.new: (touch.path, commit.id)
        for commit in history.commits
        for touch in commit.touches
        if touch.new
    }


def test_of(file: str) -> str:
    """Return the test of a file; empty if it is none's."""
    if group_of(file) != "test":
        return ""
    return KEPT.sub("", name_of(file)).removesuffix(".issued")
