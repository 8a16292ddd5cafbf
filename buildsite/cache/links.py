"""
What the tests of a site have in common, and what was said of it: kept by keys.

A build changes the links of the tests that have changed, and looks at those alone.
"""

import json
import sqlite3
from collections.abc import Iterable, Iterator
from functools import cached_property, lru_cache

from buildsite.cache.shelf import scratch

Key = tuple[str, ...]

TABLES = """
CREATE TABLE links (
    key TEXT NOT NULL, source TEXT NOT NULL, PRIMARY KEY (key, source)) WITHOUT ROWID;
CREATE TABLE said (
    key TEXT NOT NULL, file TEXT NOT NULL, what TEXT NOT NULL,
    PRIMARY KEY (key, file)) WITHOUT ROWID;
"""
CHANGES = """
CREATE TABLE changed (
    key TEXT NOT NULL, source TEXT NOT NULL, here INTEGER NOT NULL,
    PRIMARY KEY (key, source)) WITHOUT ROWID;
CREATE TABLE says (
    key TEXT NOT NULL, file TEXT NOT NULL, what TEXT NOT NULL,
    PRIMARY KEY (key, file)) WITHOUT ROWID;
"""
"""What is otherwise than it was kept, until it is kept: a site has many of each."""

KEYS = "WHERE key >= ? AND key < ?"


class Links:
    """Keys and the sources (steps) that share them; what was said of each key."""

    def __init__(self) -> None:
        self._base: sqlite3.Connection | None = None

    @cached_property
    def _new(self) -> sqlite3.Connection:
        base = scratch()
        base.executescript(CHANGES)
        return base

    def read(self, base: sqlite3.Connection) -> None:
        """Take what is kept, which is read as it is asked for."""
        self._base = base

    def add(self, key: Key, source: str) -> None:
        """Link a source to a key."""
        self._change(key, source, here=True)

    def drop(self, key: Key, source: str) -> None:
        """Undo a link."""
        self._change(key, source, here=False)

    def _change(self, key: Key, source: str, *, here: bool) -> None:
        row = (text_of(key), source, here)
        self._new.execute("REPLACE INTO changed VALUES (?, ?, ?)", row)

    def _kept(self, words: str, of: tuple[str, ...]) -> Iterable[tuple[str, ...]]:
        return self._base.execute(words, of) if self._base else ()

    def of(self, key: Key) -> list[str]:
        """Return the sources of a key, sorted."""
        of = (text_of(key),)
        words = "SELECT source FROM links WHERE key = ?"
        found = {source for (source,) in self._kept(words, of)}
        words = "SELECT source, here FROM changed WHERE key = ?"
        for source, here in self._new.execute(words, of):
            (found.add if here else found.discard)(source)
        return sorted(found)

    def groups(self, sort: str) -> Iterator[tuple[Key, list[str]]]:
        """Yield the keys of a sort, sorted, each with its sources."""
        words, ends = "SELECT DISTINCT key FROM {} " + KEYS, range_of(sort)  # noqa: S608
        kept = self._kept(words.format("links"), ends)
        new = self._new.execute(words.format("changed"), ends)
        for key in sorted({key_of(text) for (text,) in (*kept, *new)}):
            sources = self.of(key)
            if sources:
                yield key, sources

    def said(self, key: Key) -> dict[str, str]:
        """Return what is said of each file under a key."""
        words, of = "SELECT file, what FROM {} WHERE key = ?", (text_of(key),)
        kept = self._kept(words.format("said"), of)
        new = self._new.execute(words.format("says"), of)
        found: dict[str, str] = {}
        for file, what in (*kept, *new):
            found[file] = what
        return {file: what for file, what in found.items() if what}

    def said_of(self, key: Key, file: str) -> str:
        """Return what is said of one file under a key; blank for nothing."""
        words = "SELECT what FROM {} WHERE key = ? AND file = ?"
        of = text_of(key), file
        row = self._new.execute(words.format("says"), of).fetchone()
        if row is None:
            row = next(iter(self._kept(words.format("said"), of)), None)
        return str(row[0]) if row is not None else ""

    def all_said(self, sort: str) -> list[Key]:
        """Return the keys of a sort under which something is said."""
        words, ends = "SELECT DISTINCT key FROM {} " + KEYS, range_of(sort)  # noqa: S608
        kept = self._kept(words.format("said"), ends)
        new = self._new.execute(words.format("says"), ends)
        keys = {key_of(text) for (text,) in (*kept, *new)}
        return sorted(key for key in keys if self.said(key))

    def say(self, key: Key, file: str, what: str) -> None:
        """Say something of a file under a key; blank for nothing."""
        row = (text_of(key), file, what)
        self._new.execute("REPLACE INTO says VALUES (?, ?, ?)", row)

    def save(self, base: sqlite3.Connection) -> None:
        """Keep what has changed."""
        words = "SELECT key, source FROM changed WHERE here = ?"
        gone, here = (self._new.execute(words, (it,)) for it in (False, True))
        base.executemany("DELETE FROM links WHERE key = ? AND source = ?", gone)
        base.executemany("REPLACE INTO links VALUES (?, ?)", here)
        unsaid = self._new.execute("SELECT key, file FROM says WHERE what = ''")
        base.executemany("DELETE FROM said WHERE key = ? AND file = ?", unsaid)
        said = self._new.execute("SELECT key, file, what FROM says WHERE what != ''")
        base.executemany("REPLACE INTO said VALUES (?, ?, ?)", said)


def range_of(sort: str) -> tuple[str, str]:
    """Return between which texts those of the keys of a sort are."""
    return f'["{sort}",', f'["{sort}"-'


@lru_cache(10_000)
def text_of(key: Key) -> str:
    """
    Return a key as text.

    >>> text_of(("mold", "M-04"))
    '["mold","M-04"]'
    """
    return json.dumps(key, ensure_ascii=False, separators=(",", ":"))


def key_of(text: str) -> Key:
    """Return a key from its text."""
    return tuple(json.loads(text))
