"""
Texts by name, held on disk while a build goes on.

An archive may have hundreds of thousands of tests, and what is made of each is asked
once or twice more: memory holds none of it until the end.
"""

import os
import sqlite3
import sys
from collections.abc import Sequence
from typing import IO

HELD_KB = 2048
"""What SQLite itself may hold of a scratch base in memory."""


def scratch() -> sqlite3.Connection:
    """Return an empty base in a file of SQLite's own, deleted when it is closed."""
    base = sqlite3.connect("", isolation_level=None)
    base.execute("PRAGMA journal_mode = OFF")
    base.execute(f"PRAGMA cache_size = -{HELD_KB}")
    return base


class Shelf:
    """
    Texts by name, one or more of each, in a file without a name.

    A process forked later reads the same texts; what it puts is its own.

    >>> shelf = Shelf()
    >>> shelf.put("P-1", "[1]", "[]")
    >>> shelf.get("P-1"), shelf.get("P-1", 1)
    ('[1]', '[]')
    """

    def __init__(self) -> None:
        self._files: list[IO[bytes]] = []
        self._owner = 0
        self._end = 0
        self._places: dict[str, Sequence[int]] = {}

    def put(self, name: str, *texts: str) -> None:
        """Put the texts of a name, in the place of those it had."""
        if self._owner != os.getpid():
            from tempfile import TemporaryFile  # late: a check imports this room too

            self._files = [*self._files, TemporaryFile(buffering=0)]  # noqa: SIM115
            self._owner, self._end = os.getpid(), 0
        # The name of a file may hold half a character.
        data = [text.encode("utf-8", "surrogatepass") for text in texts]
        whole = memoryview(b"".join(data))
        while whole:
            whole = whole[self._files[-1].write(whole) :]
        place = [len(self._files) - 1, self._end]
        for one in data:
            self._end += len(one)
            place.append(self._end)
        self._places[name] = tuple(place)

    def get(self, name: str, which: int = 0) -> str:
        """Return a text of a name."""
        file, *ends = self._places[name]
        start, end = ends[which : which + 2]
        return read_at(self._files[file], start, end).decode("utf-8", "surrogatepass")

    def all(self, name: str) -> list[str]:
        """Return all texts of a name."""
        return [self.get(name, n) for n in range(len(self._places[name]) - 2)]

    def __contains__(self, name: str) -> bool:
        """Whether there are texts of a name."""
        return name in self._places

    def __del__(self) -> None:
        """Close the files, which ends them."""
        for file in self._files:
            file.close()


def read_at(file: IO[bytes], start: int, end: int) -> bytes:
    """Return a part of a file, whoever else reads it."""
    if sys.platform == "win32":  # which forks no process
        file.seek(start)
        data = file.read(end - start)
        file.seek(0, os.SEEK_END)
        return data
    return os.pread(file.fileno(), end - start, start)
