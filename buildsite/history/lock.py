"""Locks of an archive: two commits at once would undo each other."""

import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import IO, Any

from buildsite.errors import EnvironmentFault
from buildsite.history.run import git

_HELD: set[Path] = set()
"""Locks of this process, which it may take again."""

PATIENCE = 10.0
"""Time to wait for others who commit, before giving up. [s]"""

PAUSE = 0.05
"""Time between two looks. [s]"""


@contextmanager
def locked(root: Path) -> Iterator[None]:
    """
    Hold the archive's lock; the system releases it if this process dies.

    Who commits is waited for, a few seconds; so is another git process.
    """
    ours, theirs = git_paths(root, "buildsite.lock", "index.lock")
    if ours in _HELD:
        yield
        return
    with held(ours, PATIENCE, BUSY):
        wait_until_gone(theirs)
        yield


BUSY = (
    "Somebody else is issuing or committing in this folder.",
    "Wait until they are done, then run this again.",
)


@contextmanager
def held(path: Path, patience: float, busy: tuple[str, str]) -> Iterator[None]:
    """Hold the lock of a file; raise the fault `busy` where somebody else keeps it."""
    with path.open("ab") as file:
        until = time.monotonic() + patience
        while not take_lock(file):
            if time.monotonic() >= until:
                raise EnvironmentFault(*busy)
            time.sleep(PAUSE)
        _HELD.add(path)
        try:
            yield
        finally:
            _HELD.discard(path)


def wait_until_gone(path: Path) -> None:
    """Wait for another git process that has the index; raise if it stays."""
    until = time.monotonic() + PATIENCE
    while path.exists():
        if time.monotonic() >= until:
            raise EnvironmentFault(
                "Another git process is at work in this folder, or was cut off.",
                f"Wait until it is done. If none is running, delete {path}.",
            )
        time.sleep(PAUSE)


def git_paths(root: Path, *names: str) -> list[Path]:
    """Return the paths of files in git's own folder."""
    words = [word for name in names for word in ("--git-path", name)]
    printed = git(root, "rev-parse", *words).decode().splitlines()
    return [(root / one).resolve() for one in printed]


def take_lock(file: IO[bytes]) -> bool:
    """Take the lock of a file, as this system does; return whether it was free."""
    module, words = next(
        (found, words) for name, words in LOCKS if (found := module_of(name))
    )
    lock, how = (getattr(module, word) for word in words[:2])
    modes = [getattr(module, word) for word in words[2:]]
    try:
        lock(file.fileno(), *([how | modes[0]] if modes else [how, 1]))
    except OSError:
        return False
    return True


LOCKS = (
    ("fcntl", ("flock", "LOCK_EX", "LOCK_NB")),
    ("msvcrt", ("locking", "LK_NBLCK")),
)
"""Module of the system, its function, and the names of its flags."""


def module_of(name: str) -> Any:
    """Import a module that not every system has."""
    try:
        return import_module(name)
    except ImportError:
        return None
