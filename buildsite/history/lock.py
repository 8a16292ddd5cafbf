"""Lock of an archive: two commits at once would undo each other."""

from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import IO, Any

from buildsite.errors import EnvironmentFault
from buildsite.history.run import git

_HELD: set[Path] = set()
"""Locks of this process, which it may take again."""


@contextmanager
def locked(root: Path) -> Iterator[None]:
    """Hold the archive's lock; the system releases it if this process dies."""
    printed = git(root, "rev-parse", "--git-path", "buildsite.lock").decode().strip()
    path = (root / printed).resolve()
    if path in _HELD:
        yield
        return
    with path.open("ab") as file:
        if not take_lock(file):
            raise EnvironmentFault(
                "Somebody else is issuing or committing in this folder.",
                "Wait until they are done, then run this again.",
            )
        _HELD.add(path)
        try:
            yield
        finally:
            _HELD.discard(path)


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
