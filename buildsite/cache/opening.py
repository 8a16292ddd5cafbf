"""Opening a store: read if it is this program's and whole, else begun anew."""

import sqlite3
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import Any

from buildsite.cache import links
from buildsite.cache.files import Output, Told
from buildsite.cache.store import Held, Store
from buildsite.cache.tables import FORMAT, TABLES, remove

MOST_BYTES = 2 << 30
"""Size of all stores of a clone, above which those used longest ago are deleted."""


@contextmanager
def opened(path: Path, program: Mapping[str, str]) -> Iterator[Store]:
    """
    Yield the store of a site: empty if there is none, or another program's.

    `program` is what must be the same, whatever the records: fingerprint, versions,
    options.
    """
    store = Store(path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        read(store, program)
    except (sqlite3.Error, OSError, ValueError, KeyError, TypeError):
        start_anew(store, program)
    try:
        yield store
    finally:
        store.close()
    prune(path.parent, path)


def read(store: Store, program: Mapping[str, str]) -> None:
    """Read a store; one that is not of this program is made anew."""
    base = store.base = sqlite3.connect(store.path, isolation_level=None)
    about = dict(base.execute("SELECT name, said FROM about"))
    if any(about.get(name) != said for name, said in wanted(program).items()):
        raise ValueError("another program's")
    store.about = about
    make: Callable[..., Any] = tuple.__new__  # many: what their own classes would call
    for id, name, sorts in base.execute("SELECT id, name, sorts FROM steps"):
        store.steps[name] = make(Held, (id, sorts))
    for path, step, *left in base.execute("SELECT * FROM outputs"):
        store.outputs.setdefault(step, {})[path] = make(Output, left)
    for path, *told in base.execute("SELECT * FROM files"):
        store.files[path] = Told(*told)
    store.links.read(base)


def about_of(path: Path) -> dict[str, str]:
    """Return what a store says of itself; nothing if it can't be read."""
    try:
        with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as base:
            return dict(base.execute("SELECT name, said FROM about"))
    except sqlite3.Error:
        return {}


def wanted(program: Mapping[str, str]) -> dict[str, str]:
    """Return what a store must say of itself to be believed."""
    return {"format": FORMAT, **program}


def start_anew(store: Store, program: Mapping[str, str]) -> None:
    """Put aside what was there, if anything was, and begin an empty store."""
    store.close()
    store.empty()
    try:
        remove(store.path)
        base = sqlite3.connect(store.path, isolation_level=None)
        with closing(base.cursor()) as cursor:
            cursor.executescript(TABLES + links.TABLES)
            cursor.executemany(
                "INSERT INTO about VALUES (?, ?)", wanted(program).items()
            )
        store.base = base
    except (sqlite3.Error, OSError):
        return  # a full disk, or a folder not to be written: the build is clean


def prune(folder: Path, keep: Path) -> None:
    """Delete the stores used longest ago while all of them are too large."""
    with suppress(OSError):
        found = [(one.stat(), one) for one in folder.glob("*.sqlite") if one != keep]
        total = keep.stat().st_size + sum(about.st_size for about, _ in found)
        for about, one in sorted(found, key=lambda pair: pair[0].st_mtime_ns):
            if total <= MOST_BYTES:
                break
            remove(one)
            total -= about.st_size
