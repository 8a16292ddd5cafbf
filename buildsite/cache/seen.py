"""
What a build can see: records, git's own files, the program, what is installed.

A build looks before and after. If nothing changed while it went on, it keeps the state
of all of it and of the site, for `cache.unchanged`; if a file was changed within a tick
of the clock it keeps nothing, and the next build looks closer.
"""

import os
import sys
from array import array
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from buildsite.cache import unchanged
from buildsite.cache.files import state_at
from buildsite.cache.looks import TICK_NS, state_of

GIT = ("HEAD", "index", "packed-refs", "config", "shallow", "info/exclude")
"""Git's own files from which it tells what is checked out, and how."""

BESIDE = (".gitignore", ".gitattributes")
PACKAGE = Path(__file__).resolve().parents[1]
TEMPLATES, LOCK = PACKAGE.parent / "templates", PACKAGE.parent / "requirements.lock"


NUMBERS, CHANGED = 4, 2
"""How many numbers a state has, and the place of the time of the last change."""


class Seen:
    """The state of all that a build could see, by path."""

    def __init__(self) -> None:
        self.states: dict[str, str] = {}
        self.folders: dict[str, str] = {}
        self.records: dict[str, str] = {}
        self.program = ""

    def note_records(self, root: str) -> None:
        """Note the archive's own files, and keep the state of each by its name."""
        found = states_below(f"{root}/records", self.folders)
        self.states |= found
        cut = len(root) + 1
        self.records = {path[cut:]: state for path, state in found.items()}

    def note_program(self) -> None:
        """Note the program's own files, and the digest of their states."""
        found = states_below(str(PACKAGE), self.folders)
        found |= states_below(str(TEMPLATES), self.folders)
        found[str(LOCK)] = state_at(LOCK)
        self.states |= found
        self.program = digest_of(found)

    def note_file(self, path: str) -> None:
        """Note one file."""
        self.states[path] = state_at(path)


def states_below(folder: str, folders: dict[str, str] | None = None) -> dict[str, str]:
    """
    Return the states of every file and link below a folder; blank if none is.

    Those of the folders themselves, as they were before, are added to `folders`.
    """
    found: dict[str, str] = {}
    waiting = [folder]
    while waiting:
        here = waiting.pop()
        try:
            if folders is not None:
                folders[here] = state_of(os.lstat(here))
            with os.scandir(here) as entries:
                for entry in entries:
                    if not entry.is_dir(follow_symlinks=False):
                        about = entry.stat(follow_symlinks=False)
                        found[entry.path] = state_of(about)
                    elif entry.name != "__pycache__":
                        waiting.append(entry.path)
        except OSError:
            found[here] = ""
    return found


def digest_of(states: Mapping[str, str]) -> str:
    """Return the digest of files by their paths and states."""
    lines = (f"{path}\0{states[path]}\0" for path in sorted(states))
    return sha256(os.fsencode("".join(lines))).hexdigest()


def look(root: Path, git: Path) -> Seen:
    """Look at all that a build is made of: records, git, the program."""
    seen = Seen()
    seen.note_records(str(root))
    for name in BESIDE:
        seen.note_file(str(root / name))
    for name in (*GIT, *reference(git)):
        seen.note_file(str(git / name))
    seen.note_program()
    for place in sys.path:
        if place.endswith("-packages"):
            seen.note_file(place)
    return seen


def reference(git: Path) -> Iterator[str]:
    """Yield the name of the branch that is checked out."""
    try:
        text = (git / "HEAD").read_text()
    except (OSError, ValueError):
        return
    if text.startswith("ref: "):
        yield text.removeprefix("ref: ").strip()


def lines(*, tests: int, pages: int, errors: int, differs: bool) -> list[str]:
    """Return what a build tells of a site."""
    found = [f"{tests} tests, {pages} pages"]
    if differs:
        found.append(
            "Records differ from the last commit; the pages made of them say so."
        )
    if errors:
        found.append(f"Tests with an error: {errors}. Run `buildsite check`.")
    return found


def keep(
    last: Seen,
    root: Path,
    store: Path,
    site: Path,
    left: Mapping[str, str],
    told: Sequence[str],
) -> bool:
    """
    Keep what a build saw last, and `left` on its site, for `unchanged`.

    It lies beside the store of the site. Returns whether all changes are certainly
    past: if not, or if it can't be kept, the next build looks closer.
    """
    folders, before = {str(site)}, ""
    for path in left:
        folder = path.rpartition("/")[0]
        if folder == before:  # as the file before it: there are many
            continue
        before = folder
        while folder not in folders:
            folders.add(folder)
            folder = folder.rpartition("/")[0]
    own = {folder: state_at(folder) for folder in folders}
    states = {**last.states, **last.folders, **left, **own}
    present = {path: state for path, state in states.items() if state}
    with suppress(OSError, OverflowError):
        numbers = array("q", map(int, " ".join(present.values()).split()))
        if not settled(max(numbers[CHANGED::NUMBERS], default=0), store):
            return False
        data = unchanged.written(
            unchanged.about(str(root), str(site)),
            [*told, (site / "index.html").as_uri()],
            [path for path, state in states.items() if not state],
            list(present),
            numbers.tobytes(),
        )
        store.with_suffix(unchanged.SUFFIX).write_bytes(data)
        return True
    return False


def settled(newest: int, clock: Path) -> bool:
    """Wait for the clock of the files to tick; whether the newest is behind it."""
    for _ in range(100_000):
        clock.touch()
        if clock.stat().st_mtime_ns > newest + TICK_NS:
            return True
    return False
