"""Blobs of a repository, through one `git cat-file --batch` that stays open."""

import os
import subprocess
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import IO

from buildsite.errors import EnvironmentFault
from buildsite.history.object_ids import proven_blob
from buildsite.history.run import READING, clean_environment

AT_ONCE = 100
"""
Number of blobs requested before their bytes are read.

Their names, at most 65 bytes each, fit into the smallest pipe (16 KiB, macOS): two full
pipes would wait for each other.
"""


HELD = 1 << 22
"""Bytes of blobs that are held; beyond them the oldest are read again if needed."""


NONE: Mapping[str, bytes] = {}


class Blobs:
    """Bytes of blobs by name, those read last held; `present` ones are not read."""

    def __init__(self, root: Path, present: Mapping[str, bytes] = NONE) -> None:
        self._root = root
        self._present = present
        self._known: dict[str, bytes] = {}
        self._size = 0
        self._git: subprocess.Popen[bytes] | None = None
        self._owner = os.getpid()

    def __contains__(self, name: str) -> bool:
        """Whether the bytes of a blob are here already."""
        return name in self._known or name in self._present

    def __getitem__(self, name: str) -> bytes:
        """Return the bytes of one blob."""
        if name in self._present:
            return self._present[name]
        if name not in self._known:
            self.load([name])
        return self._known[name]

    def load(self, names: Iterable[str]) -> None:
        """Read several blobs at once."""
        wanted = [name for name in dict.fromkeys(names) if name not in self]
        to, of = self._pipes()
        for first in range(0, len(wanted), AT_ONCE):
            some = wanted[first : first + AT_ONCE]
            try:
                to.write("".join(f"{name}\n" for name in some).encode())
                to.flush()
            except BrokenPipeError:
                raise missing(some[0]) from None
            for name in some:
                self._known[name] = proven_blob(name, answer(name, of))
                self._size += len(self._known[name])
        self._release(len(wanted))

    def _release(self, kept: int) -> None:
        """Release the oldest blobs beyond what is held, but so many of the last."""
        if self._size > HELD:
            for name in [*self._known][: max(len(self._known) - kept, 0)]:
                self._size -= len(self._known.pop(name))

    def _pipes(self) -> tuple[IO[bytes], IO[bytes]]:
        """Return git's pipes, opened once."""
        if self._git is None:
            command = ["git", "-C", str(self._root), *READING]
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
        Close git, by killing it, and only in the process that opened it.

        A forked process has the same pipes, so git would never see their end.
        """
        if self._git is None or self._owner != os.getpid():
            return
        for pipe in self._pipes():
            pipe.close()
        self._git.kill()
        self._git.wait()
        self._git = None

    def __del__(self) -> None:
        """Close git."""
        self.close()


def answer(name: str, of: IO[bytes]) -> bytes:
    """Read git's answer for one blob: a line with its length, then its bytes."""
    head = of.readline().split()
    if len(head) != 3 or head[1] != b"blob":
        raise missing(name)
    length = int(head[2])
    data = of.read(length + 1)
    if len(data) != length + 1:
        raise missing(name)
    return data[:-1]


def missing(name: str) -> EnvironmentFault:
    """Return the fault of a missing blob."""
    return EnvironmentFault(
        f"Blob {name} is missing from the repository.",
        "Clone the whole repository again; `git fsck` lists what is missing.",
    )
