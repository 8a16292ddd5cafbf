"""
Replacing a site by another.

The new files are first written into a folder beside the site. If there is no site yet,
one rename makes that folder the site. Else only differing files are written, then a
journal of what to move and delete, and only then is the site changed. A build that is
killed leaves the old site, the new one, or a journal, which the next build completes.
"""

import json
import os
import stat
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import field
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

from buildsite.errors import EnvironmentFault
from buildsite.files.writing import unwritable, write_whole
from buildsite.values import dataclass

MANIFEST = "manifest.json"
OURS = "buildsite"


class Written(NamedTuple):
    """
    A file of the new site: its path, digest and size, and when it was last changed.

    `staged`: it is to be moved to the site, which does not have it yet.
    """

    path: str
    digest: str  # sha256:…, as a manifest states it
    size: int
    mtime_ns: int
    staged: bool = False


class Stage:
    """
    Where the files of a new site are put until all are there.

    Any process of a build puts files: only what differs from the site is written, into
    the folder beside it.
    """

    def __init__(self, site: Path, pages: Path) -> None:
        self.site = str(site)
        self.pages = str(pages)
        self._folders: set[str] = set()

    def put(self, path: str, data: bytes) -> Written:
        """Write a file, unless the site has it already."""
        # By texts: a site has thousands, and a Path takes as long as the system does.
        there = f"{self.site}/{safe(path)}"
        known = _is_already(there, data)
        if not known:
            there = f"{self.pages}/{path}"
            folder = there.rpartition("/")[0]
            if folder not in self._folders:
                os.makedirs(folder, exist_ok=True)  # noqa: PTH103 (a text)
                self._folders.add(folder)
            with open(there, "wb") as file:  # noqa: PTH123 (a text)
                file.write(data)
        digest = f"sha256:{sha256(data).hexdigest()}"
        mtime_ns = os.lstat(there).st_mtime_ns
        return Written(path, digest, len(data), mtime_ns, staged=not known)


@dataclass
class _Work:
    """A site, the folder beside it, and what to do."""

    site: Path
    beside: Path
    move: list[str] = field(default_factory=list)
    paths: set[str] = field(default_factory=set)
    folders: set[Path] = field(default_factory=set)

    @property
    def pages(self) -> Path:
        """Folder of the pages to move."""
        return self.beside / "pages"

    @property
    def journal(self) -> Path:
        """File that lists what to move and delete."""
        return self.beside / "journal"


def replace_site(out: Path, make: Callable[[Stage], Iterable[Written]]) -> None:
    """
    Replace a site by another, whole.

    `out` is absent, empty, or a site built by this program. `make` puts every file of
    the new one, `manifest.json` among them, and tells what it put.
    """
    site = Path(os.path.abspath(out))  # noqa: PTH100 - resolve() would follow a link
    try:
        _refuse_stranger(site)
        work = _Work(site, site.with_name(f".{site.name}.beside"))
        with _alone(work):
            _complete(work)
            _empty(work.beside)
            _gather(work, make(Stage(site, work.pages)))
            _swap(work)
    except OSError as error:
        raise unwritable(Path(error.filename or site), error) from error


def _refuse_stranger(site: Path) -> None:
    """Refuse a folder that this program did not build."""
    if site.is_symlink():
        raise EnvironmentFault(
            f"{site} is a symbolic link.", "Name the folder itself with `--out DIR`."
        )
    if not site.exists() or (site.is_dir() and (_manifest(site) or _is_empty(site))):
        return
    raise EnvironmentFault(
        f"{site} contains files that this program did not build.",
        "Name an empty folder with `--out DIR`, or an earlier site.",
    )


def _is_empty(folder: Path) -> bool:
    with os.scandir(folder) as entries:
        return next(entries, None) is None


def _manifest(site: Path) -> dict[str, Any] | None:
    """Return the manifest of a site, if this program built it."""
    try:
        path = site / MANIFEST
        if not path.is_file():  # a pipe would be waited for
            return None
        manifest = json.loads(path.read_bytes())
        ours = manifest["software"]["name"] == OURS
        return manifest if ours and isinstance(manifest["files"], dict) else None
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None


@contextmanager
def _alone(work: _Work) -> Iterator[None]:
    """Lock the folder beside the site; two builds at once would mix their pages."""
    work.site.parent.mkdir(parents=True, exist_ok=True)
    work.beside.mkdir(exist_ok=True)
    held = _hold(work.beside)
    try:
        yield
    finally:
        if not work.journal.exists():
            from shutil import rmtree  # late: a check imports this room too

            rmtree(work.beside, ignore_errors=True)
        if held is not None:
            os.close(held)


def _hold(folder: Path) -> int | None:
    """Lock a folder while the process lives, if the system can."""
    try:
        import fcntl
    except ImportError:
        return None
    held = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        os.close(held)
        raise EnvironmentFault(
            f"Another build is writing to {folder}.",
            "Wait until it is done, or build into another folder with `--out DIR`.",
        ) from error
    return held


def _empty(folder: Path) -> None:
    """Delete what a killed build left, but not the folder, which is locked."""
    from shutil import rmtree

    with os.scandir(folder) as entries:
        for entry in list(entries):
            if entry.is_dir(follow_symlinks=False):
                rmtree(entry)
            else:
                Path(entry.path).unlink()


def safe(path: str) -> str:
    """
    Refuse a path that would leave the site.

    >>> safe("tests/HF-0117/index.html")
    'tests/HF-0117/index.html'

    Raises
    ------
    ValueError
        If it is not a plain relative path with slashes.
    """
    if not _is_safe(path):
        raise ValueError(f"not a path inside a site: {path!r}")
    return path


def _is_safe(path: str) -> bool:
    parts = path.split("/")
    strange = {".", ".."} & set(parts) or set(path) & set("\\:\0")
    return all(parts) and not strange


def _gather(work: _Work, made: Iterable[Written]) -> None:
    """Note every file of the new site, and which of them are to be moved."""
    for file in made:
        if file.path in work.paths:
            raise ValueError(f"two files of a site have one path: {file.path}")
        work.paths.add(file.path)
        if file.staged:
            work.move.append(file.path)
    if MANIFEST not in work.paths:
        raise ValueError("a site without a manifest could never be replaced again")


def _is_already(there: str, data: bytes) -> bool:
    """Whether the site has these bytes, in a file and not through a link."""
    try:
        state = os.lstat(there)
    except (FileNotFoundError, NotADirectoryError):
        return False
    if not stat.S_ISREG(state.st_mode) or state.st_size != len(data):
        return False
    return Path(there).read_bytes() == data


def _swap(work: _Work) -> None:
    """Make what was staged the site."""
    if not work.site.exists() or _is_empty(work.site):
        if work.site.exists():
            work.site.rmdir()
        work.pages.rename(work.site)
        return
    before = _manifest(work.site) or {"files": {}}
    gone = set(before["files"]) - work.paths
    delete = sorted(path for path in gone if _is_safe(path))
    if not work.move and not delete:
        return
    move = sorted(work.move, key=lambda path: (path == MANIFEST, path))
    journal = {"format": 1, "move": move, "delete": delete}
    with _undisturbed():
        write_whole(work.journal, json.dumps(journal).encode())
        _complete(work)


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Let Ctrl-C wait: it finds the old site or the new one, never some of each."""
    import signal  # late: a check imports this room too
    import threading

    if threading.current_thread() is not threading.main_thread():
        yield  # signals reach the main thread alone
        return
    waiting: list[int] = []
    handler = signal.signal(signal.SIGINT, lambda number, _: waiting.append(number))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, handler)
    if waiting:
        signal.raise_signal(signal.SIGINT)


def _complete(work: _Work) -> None:
    """Do the steps of a journal that are not done yet."""
    journal = work.journal
    if not journal.exists():
        return
    try:
        steps = json.loads(journal.read_bytes())
        delete = [safe(path) for path in steps["delete"]]
        move = [safe(path) for path in steps["move"]]
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise EnvironmentFault(
            f"Can't read the journal of a build: {journal}.",
            f"Delete the folder {journal.parent} and build again.",
        ) from error
    if not work.site.exists():  # it was deleted since: what is left would be a part
        move = delete = []
    work.folders.clear()
    for path in delete:
        _delete(work.site, path)
    for path in move:
        _move(work, path)
    journal.unlink()


def _delete(site: Path, path: str) -> None:
    """Delete a file of the old site, and its folders if empty."""
    if not _is_within(site, path):
        return  # behind a link: not ours
    with suppress(FileNotFoundError, NotADirectoryError):
        (site / path).unlink()
    for folder in (site / path).parents:
        if folder == site:
            break
        try:
            folder.rmdir()
        except OSError:
            break  # it holds something else


def _move(work: _Work, path: str) -> None:
    """Move one staged file into the site."""
    staged, there = work.pages / path, work.site / path
    if not staged.exists():
        return  # moved before the build was killed
    if not _is_within(work.site, path):
        raise EnvironmentFault(
            f"A folder on the path {there} is a symbolic link.",
            "Delete the link and build again.",
        )
    if there.parent not in work.folders:
        there.parent.mkdir(parents=True, exist_ok=True)
        work.folders.add(there.parent)
    staged.replace(there)


def _is_within(site: Path, path: str) -> bool:
    """Whether no folder on the path of a file is a link."""
    way = site
    for part in path.split("/")[:-1]:
        way = way / part
        if way.is_symlink():
            return False
    return True
