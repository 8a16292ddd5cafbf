"""
Whether anything at all has changed since the last build of a site.

Asked before the program itself is loaded, so that a build of nothing takes no longer
than looking at the files. A build notes the state of all that it could see: records,
site, git's own files, the program, what is installed. If a file was changed within a
tick of the clock it notes nothing, and the next build looks closer.
"""

import json
import os
import sqlite3
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from hashlib import sha256
from pathlib import Path

from buildsite.cache import looks
from buildsite.cache.files import changed_ns, state_at
from buildsite.cache.looks import TICK_NS, state_of
from buildsite.cache.places import place_of

GIT = ("HEAD", "index", "packed-refs", "config", "shallow", "info/exclude")
"""Git's own files from which it tells what is checked out, and how."""

BESIDE = (".gitignore", ".gitattributes")
PACKAGE = Path(__file__).resolve().parents[1]
TEMPLATES, LOCK = PACKAGE.parent / "templates", PACKAGE.parent / "requirements.lock"


class Seen:
    """The state of all that a build could see, by path."""

    def __init__(self) -> None:
        self.states: dict[str, str] = {}
        self.records: dict[str, str] = {}
        self.program = ""

    def note_records(self, root: str) -> None:
        """Note the archive's own files, and keep the state of each by its name."""
        found = states_below(f"{root}/records")
        self.states |= found
        cut = len(root) + 1
        self.records = {path[cut:]: state for path, state in found.items()}

    def note_program(self) -> None:
        """Note the program's own files, and the digest of their states."""
        found = states_below(str(PACKAGE)) | states_below(str(TEMPLATES))
        found[str(LOCK)] = state_at(LOCK)
        self.states |= found
        self.program = digest_of(found)

    def note_file(self, path: str) -> None:
        """Note one file."""
        self.states[path] = state_at(Path(path))

    @property
    def digest(self) -> str:
        """One digest of all states."""
        return digest_of(self.states)


def states_below(folder: str) -> dict[str, str]:
    """Return the states of every file and link below a folder; blank if none is."""
    found: dict[str, str] = {}
    waiting = [folder]
    while waiting:
        here = waiting.pop()
        try:
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
    seen.states = dict.fromkeys((sys.version, str(root)), "")
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


def unchanged(words: Sequence[str], here: Path) -> tuple[list[str], str] | None:
    """
    Return the lines that the last build told, and its first page, if this is the same.

    None if that is not certain: other options, no such build, or a change.
    """
    named = folders_named(words)
    if named is None:
        return None
    above = looks.root_above(str(here / named[0]))
    own = looks.git_above(above) if above else ""
    if not own:
        return None
    root, git, out = Path(above), Path(own), named[1]
    site = Path(os.path.realpath(here / out if out else root / "site"))
    place = place_of(git, site)
    if not place.exists() or site.with_name(f".{site.name}.beside").exists():
        return None  # none, or one that was killed and is to be completed
    try:
        base = sqlite3.connect(f"{place.as_uri()}?mode=ro", uri=True)
        about = dict(base.execute("SELECT name, said FROM about"))
        base.close()
        if about.get("seen") != look(root, git).digest:
            return None  # without a look at the site, which has the most files
        if about.get("site seen") != digest_of(states_below(str(site))):
            return None
        return json.loads(about["told"]), (site / "index.html").as_uri()
    except (sqlite3.Error, OSError, ValueError, KeyError):
        return None


def folders_named(words: Sequence[str]) -> tuple[str, str] | None:
    """
    Return archive and site that a plain `build` names, blank for none; else None.

    >>> folders_named(["build"]), folders_named(["build", "--out", "x", "--jobs", "2"])
    (('', ''), ('', 'x'))
    >>> folders_named(["build", "--release"]), folders_named(["build", "--jobs", "x"])
    (None, None)
    """
    rest, found = list(words[1:]), {"--root": "", "--out": ""}
    if words[:1] != ["build"]:
        return None
    while rest:
        name, value = rest[0], rest[1] if len(rest) > 1 else ""
        if name in found and value.strip() and not value.startswith("-"):
            found[name] = value
        elif not (name == "--jobs" and value.isdecimal() and int(value)):
            return None
        del rest[:2]
    return found["--root"], found["--out"]


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


def settled(states: Iterable[str], clock: Path) -> bool:
    """Wait for the clock of the files to tick; whether all changes are behind it."""
    newest = max(map(changed_ns, states), default=0)
    for _ in range(100_000):
        clock.touch()
        if clock.stat().st_mtime_ns > newest + TICK_NS:
            return True
    return False
