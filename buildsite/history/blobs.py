"""Blobs of a repository, through one `git cat-file --batch` that stays open."""

import os
import subprocess
from collections.abc import Iterable
from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.history.run import clean_environment


class Blobs:
    """Bytes of blobs by name, each asked of git once."""

    def __init__(self, root: Path) -> None:
        self._root = root
        self._known: dict[str, bytes] = {}
        self._git: subprocess.Popen[bytes] | None = None

    def __getitem__(self, name: str) -> bytes:
        """
        Give the bytes of one blob.

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
        process = self._process()
        if process.stdin is None or process.stdout is None:
            raise AssertionError("git was opened with pipes")
        for name in names:
            if name in self._known:
                continue
            process.stdin.write(name.encode() + b"\n")
            process.stdin.flush()
            head = process.stdout.readline().split()
            if len(head) != 3:
                raise EnvironmentFault(
                    f"The repository does not hold blob {name}.",
                    "Clone it again, whole; `git fsck` says what is missing.",
                )
            self._known[name] = process.stdout.read(int(head[2]))
            process.stdout.read(1)

    def _process(self) -> subprocess.Popen[bytes]:
        """Open git once."""
        if self._git is None:
            self._git = subprocess.Popen(
                [
                    "git",
                    "-C",
                    str(self._root),
                    "--no-replace-objects",
                    "cat-file",
                    "--batch",
                ],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                env=clean_environment(os.environ),
            )
        return self._git

    def close(self) -> None:
        """Let git go."""
        if self._git is not None:
            self._git.communicate()
            self._git = None

    def __del__(self) -> None:
        """Let git go when nobody asks any more."""
        if self._git is not None and self._git.poll() is None:
            self._git.kill()
            self._git.wait()
