"""Blobs of a repository, through one `git cat-file --batch` that stays open."""

import os
import subprocess
from collections.abc import Iterable
from pathlib import Path
from typing import IO

from buildsite.errors import EnvironmentFault
from buildsite.history.run import clean_environment

AT_ONCE = 100
"""
Blobs asked for before their bytes are read.

Their names, at most 65 bytes each, fit into the smallest pipe (16 KiB, macOS), so that
git has taken them all in while we still write: two full pipes can't wait on each other.
"""


class Blobs:
    """Bytes of blobs by name, each asked of git once."""

    def __init__(self, root: Path) -> None:
        self._root = root
        self._known: dict[str, bytes] = {}
        self._git: subprocess.Popen[bytes] | None = None
        self._owner = os.getpid()

    def __getitem__(self, name: str) -> bytes:
        """
        Return the bytes of one blob.

        Raises
        ------
        EnvironmentFault
            If the repository does not hold it.
        """
        if name not in self._known:
            self.load([name])
        return self._known[name]

    def load(self, names: Iterable[str]) -> None:
        """Read several blobs in one go."""
        wanted = [name for name in dict.fromkeys(names) if name not in self._known]
        to, of = self._pipes()
        for first in range(0, len(wanted), AT_ONCE):
            some = wanted[first : first + AT_ONCE]
            try:
                to.write("".join(f"{name}\n" for name in some).encode())
                to.flush()
            except BrokenPipeError:
                raise missing(some[0]) from None
            for name in some:
                self._known[name] = answer(name, of)

    def _pipes(self) -> tuple[IO[bytes], IO[bytes]]:
        """Open git once."""
        if self._git is None:
            command = ["git", "-C", str(self._root), "--no-replace-objects"]
            self._git = subprocess.Popen(
                [*command, "cat-file", "--batch"],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                env=clean_environment(os.environ),
            )
        to, of = self._git.stdin, self._git.stdout
        if to is None or of is None:
            raise AssertionError("git was opened with pipes")
        return to, of

    def close(self) -> None:
        """
        Let git go, without waiting for it to see the end of what it was asked.

        A process that was forked holds the same pipes: git would never see their end,
        and its owner would wait for ever. Only its owner lets it go.
        """
        if self._git is None or self._owner != os.getpid():
            return
        for pipe in self._pipes():
            pipe.close()
        self._git.kill()
        self._git.wait()
        self._git = None

    def __del__(self) -> None:
        """Let git go when nobody asks any more."""
        self.close()


def answer(name: str, of: IO[bytes]) -> bytes:
    """Read what git says of one blob: a line with its length, then its bytes."""
    head = of.readline().split()
    if len(head) != 3 or head[1] != b"blob":
        raise missing(name)
    length = int(head[2])
    data = of.read(length + 1)
    if len(data) != length + 1:
        raise missing(name)
    return data[:-1]


def missing(name: str) -> EnvironmentFault:
    """Say that the repository lacks a file's contents."""
    return EnvironmentFault(
        f"The repository does not hold blob {name}.",
        "Clone it again, whole; `git fsck` says what is missing.",
    )
