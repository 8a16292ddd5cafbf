"""One writer at a time: two that commit at once would take each other's work back."""

from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import IO, Any

from buildsite.errors import EnvironmentFault
from buildsite.history.run import git

_HELD: set[Path] = set()
"""Locks that this process holds: who has one may ask for it again."""


@contextmanager
def locked(root: Path) -> Iterator[None]:
    """
    Hold the archive's lock, which the system takes back if this process dies.

    Raises
    ------
    EnvironmentFault
        If another process holds it.
    """
    printed = git(root, "rev-parse", "--git-path", "buildsite.lock").decode().strip()
    path = (root / printed).resolve()
    if path in _HELD:
        yield
        return
    with path.open("ab") as file:
        if not take_lock(file):
            raise EnvironmentFault(
                "Somebody else is issuing or committing in this folder just now.",
                "Wait until that is done, then run this again.",
            )
        _HELD.add(path)
        try:
            yield
        finally:
            _HELD.discard(path)


def take_lock(file: IO[bytes]) -> bool:
    """Take the lock of a file, as the system at hand does; whether it was free."""
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
"""Module of the system, its function, and the words that ask without waiting."""


def module_of(name: str) -> Any:
    """Import a module that one system has and another has not."""
    try:
        return import_module(name)
    except ImportError:
        return None
