"""A past written by `git fast-import`: many commits in a second, always the same."""

import subprocess
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

from buildsite.history.kept_log import KeptLog
from buildsite.history.walk import read_history
from tests.benchmarks.measure import Line, at_most, in_turn, spent, within

EDITS = 3  # of each record of the long past
EDIT_AT_MOST = 25e-6  # s, with git's own log, which is a part of it
RECORDS_A_FOLDER = 50
NEW = 10  # commits that are new where the past before them is known
FIRST_SECOND = 1_735_800_000  # 2 January 2025


@dataclass(frozen=True, slots=True)
class Change:
    """A commit to be: its message, and what it writes by path."""

    message: str
    files: Mapping[str, bytes]


def stream(changes: Iterable[Change], before: int) -> Iterator[bytes]:
    """Yield commands for fast-import; `before` commits stand on the branch already."""
    yield b"feature done\n"
    for number, change in enumerate(changes, before):
        when = f"bench <bench@invalid> {FIRST_SECOND + 60 * number} +0000"
        message = change.message.encode()
        yield (
            f"commit refs/heads/main\nauthor {when}\ncommitter {when}\n"
            f"data {len(message)}\n"
        ).encode() + message
        if before and number == before:
            yield b"\nfrom refs/heads/main^0"
        for path, data in change.files.items():
            yield f"\nM 100644 inline {path}\ndata {len(data)}\n".encode() + data
        yield b"\n"
    yield b"done\n"


def commit_all(root: Path, changes: Iterable[Change], before: int = 0) -> int:
    """
    Add commits to the branch `main` of a repository, which is made if need be.

    They are taken one by one; returned is how many there were.
    """
    taken = 0

    def counted() -> Iterator[Change]:
        nonlocal taken
        for change in changes:
            taken += 1
            yield change

    if not before:
        subprocess.run(["git", "init", "--quiet", "-b", "main", root], check=True)
    importing = subprocess.Popen(
        ["git", "-C", root, "fast-import", "--quiet"], stdin=subprocess.PIPE
    )
    if importing.stdin is None:
        raise AssertionError("git was opened with a pipe")
    with importing.stdin as pipe:
        for piece in stream(counted(), before):
            pipe.write(piece)
    if importing.wait():
        raise AssertionError(f"git fast-import ended with {importing.returncode}")
    return taken


def long_past(records: int, edits: int) -> Iterator[Change]:
    """Yield edits of so many records in turn, one a commit."""
    for number in range(records * edits):
        record, edit = number % records, number // records
        folder = f"p{record // RECORDS_A_FOLDER:04d}"
        text = f"format: 1\nkind: moisture-density\nid: R-{record}\nedit: {edit}\n"
        text += "remarks: readings as they were taken, long enough to be a record\n" * 8
        yield Change(
            f"R-{record}: edit {edit}\n\nEntered-by: T07\nReason: read again\n",
            {f"records/{folder}/tests/R-{record}.yaml": text.encode()},
        )


def past_lines(folder: Path, records: int, rounds: int) -> Iterator[Line]:
    """Yield what log and parsing of a long past cost, an edit; beside git's own log."""
    root = folder / "past"
    commit_all(root, long_past(records, EDITS))
    log = ("git", "log", "--topo-order", "--full-history", "-c", "--raw", "-z")
    known = KeptLog()
    known.read(root, tip(root))
    commit_all(root, long_past(NEW, 1), before=records * EDITS)
    found = in_turn(
        {
            "git": lambda _: spent(log, root).wall,
            "ours": lambda _: reading_takes(root),
            "known": lambda _: reading_takes(root, KeptLog(known.text)),
        },
        rounds,
    )
    theirs = Line("git log", found["git"], records * EDITS, "edit")
    yield theirs
    ours = Line("log and parsing", found["ours"], records * EDITS, "edit")
    yield within(at_most(ours, theirs), EDIT_AT_MOST)
    name = f"the same, all but the last {NEW} known"
    yield at_most(Line(name, found["known"], records * EDITS, "edit"), ours)


def tip(root: Path) -> str:
    """Return the last commit."""
    words = ("git", "-C", root, "rev-parse", "HEAD")
    return subprocess.run(words, capture_output=True, text=True, check=True).stdout[:-1]


def reading_takes(root: Path, log: KeptLog | None = None) -> float:
    """Return the seconds that log and parsing take, in one walk; of a kept `log`."""
    start = perf_counter()
    read_history(root, log=log)
    return perf_counter() - start
