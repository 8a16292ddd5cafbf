"""
Commits and the paths they touched, read from `git log` while it prints.

With `-z` every field ends with a NUL, which no id, date, address, path or message can
contain: nobody can write a commit that reads as two.
"""

import os
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from buildsite.history.run import LINK, READING, GitRefused, clean_environment
from buildsite.record.commits import Commit, Touch
from buildsite.values import Same

LOG = (
    "log",
    "--topo-order",
    "--full-history",
    "--diff-merges=first-parent",
    "--root",
    "--raw",
    "-z",
    "--no-renames",
    "--no-relative",
    "--no-abbrev",
    "--no-ext-diff",
    "--no-color",
    "--no-show-signature",
    "--encoding=UTF-8",
    "--format=%H%x00%P%x00%cI%x00%ce%x00%ae%x00%B",
)
"""These options override the user's settings of `log` and `diff`."""

ABSENT = "000000"
"""Mode of a file that is not there."""

NOT_FILES = (LINK, "160000")
"""Modes of symbolic links and submodules: no record is read through one."""

TRAILER = (
    "entered-by",
    "reason",
    "issued",
    "authorized-by",
    "reviewed-by",
    "acknowledges",
)
"""Trailers that are read; others stay in the message."""

BELOW = b"records/"
"""Part of the path of every file of an archive, wherever it stands."""

PIECE = 1 << 16  # bytes read at once: what a pipe holds, so that git never waits


def read_log(root: Path, tip: str, since: str = "") -> Iterator[Commit]:
    """
    Yield a commit and its ancestors, newest first, children before parents.

    `since`: without that commit and its ancestors.

    Touches are those below any folder records/, by their paths in the repository.
    """
    without = [f"^{since}"] if since else []
    command = ["git", "-C", str(root), *READING, *LOG, tip, *without, "--"]
    with subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        bufsize=0,
        env=clean_environment(os.environ),
    ) as running:
        if running.stdout is None:
            raise AssertionError("git was opened with a pipe")
        yield from parsed(fields(running.stdout))
    if running.returncode:
        raise GitRefused("log", "a commit or a tree can't be read; `git fsck` names it")


def fields(stream: IO[bytes]) -> Iterator[bytes]:
    """Yield the fields between NULs."""
    rest = b""
    while piece := stream.read(PIECE):
        *whole, rest = (rest + piece).split(b"\0")
        yield from whole
    if rest:
        yield rest


def parsed(found: Iterator[bytes]) -> Iterator[Commit]:
    """Yield commits: six fields each, then two for each path touched."""
    one = Same()
    id = next(found, b"")
    while id:
        parents, when, email = next(found, b""), next(found, b""), next(found, b"")
        author, body = next(found, b""), next(found, b"")
        touches: list[Touch] = []
        after = next(found, b"")
        while after.startswith((b":", b"\n")):
            path = next(found, b"")
            if BELOW in path:
                touches.append(touch(after, os.fsdecode(path), one))
            after = next(found, b"")
        message, trailers = split_trailers(body.decode(errors="replace").strip("\n"))
        yield Commit(
            id=one(id.decode()),
            parents=tuple(map(one, parents.decode().split())),
            when=when.decode(),
            email=one(email.decode(errors="replace")),
            author_email=one(author.decode(errors="replace")),
            message=message,
            trailers=one(trailers),
            touches=tuple(touches),
        )
        id = after


def touch(about: bytes, path: str, one: Same) -> Touch:
    """Return the touch of a path from its raw line: modes, blobs and a letter."""
    was, mode, old, new, _ = about.decode().lstrip("\n:").split(" ", 4)
    return Touch(
        one(path),
        "" if was in NOT_FILES or was == ABSENT else one(old),
        "" if mode in NOT_FILES or mode == ABSENT else one(new),
    )


def split_trailers(body: str) -> tuple[str, dict[str, str]]:
    r"""
    Split a message from the trailers that are read.

    >>> split_trailers("Read point 3 again\n\nEntered-by: T07\nReason: misread")
    ('Read point 3 again', {'entered-by': 'T07', 'reason': 'misread'})
    """
    lines = body.split("\n")
    trailers: dict[str, str] = {}
    while lines:
        last = lines[-1]
        name, colon, value = last.partition(": ")
        name = name.lower()
        if colon and len(lines) > 1 and name in TRAILER:
            trailers.setdefault(name, value.strip())
        elif last.strip():
            break
        lines.pop()
    return "\n".join(lines), dict(reversed(trailers.items()))
