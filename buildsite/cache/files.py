"""Whether a file is as it was left: by its state, as git does, or by its bytes."""

import os
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from stat import S_ISREG
from typing import NamedTuple, Protocol

from buildsite.cache.looks import TICK_NS, state_of


class Left(Protocol):
    """A file that a build wrote, and when."""

    @property
    def path(self) -> str:
        """Its path on the site."""

    @property
    def digest(self) -> str:
        """Its SHA-256, as a manifest states it."""

    @property
    def size(self) -> int:
        """Its length in bytes."""

    @property
    def mtime_ns(self) -> int:
        """When it was written."""


class Output(NamedTuple):
    """A file of the site as a build left it; `state` is blank if that can't be told."""

    digest: str
    size: int
    state: str

    @property
    def changed_ns(self) -> int:
        """When it was last changed, or moved; 0 if that is not known."""
        return changed_ns(self.state)


def changed_ns(state: str) -> int:
    """Return when a file of a state was last changed, or moved; 0 if not known."""
    return int(state.split()[2]) if state else 0


class Told(NamedTuple):
    """A file of the archive as a build read it: its state, a digest, git's name."""

    state: str
    digest: str  # blank if its bytes were not read
    blob: str  # blank if it is not that of the commit


def state_at(file: Path | str) -> str:
    """Return the state of a file; blank if there is none."""
    try:
        return state_of(os.lstat(file))
    except OSError:
        return ""


def left(site: Path, file: Left) -> Output:
    """
    Return a file of a site as a build left it.

    If it was changed since, which the build did not do, it gets no state.
    """
    about = os.lstat(site / file.path)
    same = (about.st_size, about.st_mtime_ns) == (file.size, file.mtime_ns)
    return Output(file.digest, file.size, state_of(about) if same else "")


def without_racy(outputs: Mapping[str, Output], now_ns: int) -> Mapping[str, Output]:
    """
    Return files without the states that another change could leave as they are.

    A file changed within a tick of its clock before now could change again and look
    the same: the next build reads it.
    """
    late = now_ns - TICK_NS
    if all(one.changed_ns < late for one in outputs.values()):
        return outputs
    return {
        path: one if one.changed_ns < late else Output(one.digest, one.size, "")
        for path, one in outputs.items()
    }


def as_left(
    site: Path, path: str, output: Output, states: Mapping[str, str]
) -> Output | None:
    """
    Return a file of the site if it has the bytes that a build left there.

    `states` has those of all files of the site as they were when the build began.
    """
    file = f"{site}/{path}"
    state = states.get(file)
    if state is None or (output.state and state == output.state):
        return None if state is None else output
    try:
        about = os.lstat(file)
        if about.st_size != output.size or not S_ISREG(about.st_mode):
            return None
        data = Path(file).read_bytes()
    except OSError:
        return None
    same = f"sha256:{sha256(data).hexdigest()}" == output.digest
    return Output(output.digest, output.size, state_of(about)) if same else None
