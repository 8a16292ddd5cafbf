"""
The state of files as they stand, in texts that are compared: nothing is loaded for it.

What is asked before the program is loaded imports this, so it has neither `pathlib` nor
data classes: each of them takes longer than a look at a thousand files.
"""

import os
import sys

TICK_NS = 20_000_000
"""Two changes of a file within a tick of its clock may leave it one time."""

PACKAGE = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
BESIDE = ("templates", "requirements.lock")
"""Parts of the program that stand beside the package, in a clone of it."""

GIT = ("HEAD", "packed-refs", "config", "shallow", "info/grafts")
"""Git's own files, beside its references, that decide what its history is."""

OTHERS = (".git", ".schema")
"""Hidden folders in which no record is looked for."""


def state_of(about: os.stat_result) -> str:
    """Return by what an edited file is told from an untouched one."""
    return f"{about.st_size} {about.st_mtime_ns} {about.st_ctime_ns} {about.st_ino}"


class Look:
    """
    States of files, in order, and when any of them last changed.

    A folder has no state of its own, since others write beside what is looked at; but
    when it last changed tells of files that came and went.
    """

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.newest_ns = 0

    def note(self, path: str, about: os.stat_result | None) -> None:
        """Note the state of a file, or that it is not there."""
        if about is None:
            self.lines.append(f"{path}\0")
            return
        self.lines.append(f"{path}\0{state_of(about)}")
        if about.st_ctime_ns > self.newest_ns:
            self.newest_ns = about.st_ctime_ns

    def at(self, path: str, *, follow: bool = True) -> None:
        """Look at one file."""
        try:
            about = os.stat(path, follow_symlinks=follow)
        except OSError:
            about = None
        self.note(path, about)

    def below(self, folder: str) -> None:
        """Look at every file below a folder; what Python made of them is left out."""
        try:
            self.newest_ns = max(self.newest_ns, os.stat(folder).st_ctime_ns)
            with os.scandir(folder) as entries:
                found = sorted(entries, key=lambda entry: entry.name)
        except OSError:
            self.note(folder, None)
            return
        for entry in found:
            if not entry.is_dir():
                try:
                    self.note(entry.path, entry.stat())
                except OSError:  # a link to nothing
                    self.note(entry.path, None)
            elif entry.name != "__pycache__":
                self.below(entry.path)

    @property
    def text(self) -> bytes:
        """All states, as one text."""
        return os.fsencode("\n".join(self.lines))


def program() -> Look:
    """Look at the program: its files, its Python, what is installed, who runs it."""
    look = Look()
    look.lines.append(f"{sys.version}\0{getattr(os, 'getuid', int)()}")
    look.below(PACKAGE)
    for name in BESIDE:
        beside = os.path.join(os.path.dirname(PACKAGE), name)
        if os.path.isdir(beside):
            look.below(beside)
        else:
            look.at(beside)
    for place in sys.path:
        if place.endswith("-packages"):
            look.at(place)
    return look


def history(git: str) -> Look:
    """Look at what says which commits a clone has checked out and on its branches."""
    look = Look()
    for name in GIT:
        look.at(os.path.join(git, name))
    for name in ("refs", "reftable"):
        look.below(os.path.join(git, name))
    return look


def files(root: str, names: list[str]) -> Look:
    """Look at some files of an archive."""
    look = Look()
    for name in names:
        look.at(os.path.join(root, name), follow=False)
    return look


def listing(root: str) -> Look:
    """Look at all names below the records, and what each is; hidden files have none."""
    look = Look()
    found, folders = look.lines, [os.path.join(root, "records")]
    if os.path.islink(folders[0]):
        found.append("a link")
    while folders:
        folder = folders.pop()
        look.newest_ns = max(look.newest_ns, os.stat(folder).st_ctime_ns)
        with os.scandir(folder) as entries:
            every = list(entries)
        found.append(f"{folder}/")
        for entry in sorted(every, key=lambda entry: entry.name):
            hidden = entry.name.startswith(".")
            if entry.is_symlink():
                found.append(f"@{entry.name}")
            elif entry.is_dir():
                if not (hidden and entry.name in OTHERS):
                    folders.append(entry.path)
                    found.append(f"/{entry.name}")
            elif not hidden:
                found.append(entry.name if entry.is_file() else f"|{entry.name}")
    return look


def root_above(folder: str) -> str:
    """Return the nearest folder upwards that holds an archive; blank if none does."""
    while not os.path.isfile(os.path.join(folder, "records", "lab.yaml")):
        above = os.path.dirname(folder)
        if above == folder:
            return ""
        folder = above
    return folder


def git_above(folder: str) -> str:
    """Return git's own folder, without asking git; blank if there is none."""
    while not os.path.isdir(os.path.join(folder, ".git")):
        above = os.path.dirname(folder)
        if above == folder:
            return ""
        folder = above
    return os.path.join(folder, ".git")
