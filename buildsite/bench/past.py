"""A long past, made by `git fast-import`: so many records, each edited in turn."""

import subprocess
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from time import perf_counter

from buildsite.bench.measure import Line, in_turn
from buildsite.history import read_history

EDITS = 3  # of each record
EDIT_AT_MOST = 25e-6  # s
RECORDS_A_FOLDER = 50
FIRST_SECOND = 1_735_800_000  # 2 January 2025


def stream(records: int, edits: int) -> Iterator[bytes]:
    """Commands for fast-import: each record is edited in turn, once a commit."""
    yield b"feature done\n"
    for number in range(records * edits):
        record, edit = number % records, number // records
        folder = f"p{record // RECORDS_A_FOLDER:04d}"
        text = f"format: 1\nkind: moisture-density\nid: R-{record}\nedit: {edit}\n"
        text += "remarks: readings as they were taken, long enough to be a record\n" * 8
        message = f"R-{record}: edit {edit}\n\nEntered-by: T07\nReason: read again\n"
        when = f"bench <bench@invalid> {FIRST_SECOND + 60 * number} +0000"
        yield (
            f"commit refs/heads/main\nauthor {when}\ncommitter {when}\n"
            f"data {len(message)}\n{message}"
            f"M 100644 inline records/{folder}/tests/R-{record}.yaml\n"
            f"data {len(text)}\n{text}\n"
        ).encode()
    yield b"done\n"


def make_past(root: Path, records: int, edits: int) -> None:
    """Make a repository with a past below `root`, packed as after a clone."""
    subprocess.run(["git", "init", "--quiet", "-b", "main", root], check=True)
    importing = subprocess.Popen(
        ["git", "-C", root, "fast-import", "--quiet"], stdin=subprocess.PIPE
    )
    if importing.stdin is None:
        raise AssertionError("git was opened with a pipe")
    with importing.stdin as pipe:
        for piece in stream(records, edits):
            pipe.write(piece)
    if importing.wait():
        raise AssertionError(f"git fast-import ended with {importing.returncode}")


def remembering(folder: Path, records: int, rounds: int) -> Iterator[Line]:
    """Log and parsing of a long past, an edit; against a bound in seconds."""
    root = folder / "past"
    make_past(root, records, EDITS)
    found = in_turn({"past": lambda _: reading_takes(root)}, rounds)
    line = Line("log and parsing", found["past"], records * EDITS, "edit")
    yield replace(
        line,
        bound=f"at most {1e6 * EDIT_AT_MOST:g} µs an edit",
        kept=line.each <= EDIT_AT_MOST,
    )


def reading_takes(root: Path) -> float:
    """Seconds that log and parsing take, in one walk."""
    start = perf_counter()
    read_history(root)
    return perf_counter() - start
