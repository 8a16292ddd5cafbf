"""
What the tests of a site have in common, and what was said of it: kept by keys.

A build changes the links of the tests that have changed, and looks at those alone.
"""

import json
import sqlite3
from collections.abc import Iterator

Key = tuple[str, ...]

TABLES = """
CREATE TABLE links (
    key TEXT NOT NULL, source TEXT NOT NULL, PRIMARY KEY (key, source)) WITHOUT ROWID;
CREATE TABLE said (key TEXT PRIMARY KEY, what TEXT NOT NULL) WITHOUT ROWID;
"""


class Links:
    """Keys and the sources (steps) that share them; what was said of each key."""

    def __init__(self) -> None:
        self._says: dict[Key, str] = {}  # that is said otherwise than before
        self._base: sqlite3.Connection | None = None
        self._added: dict[Key, set[str]] = {}
        self._dropped: dict[Key, set[str]] = {}

    def read(self, base: sqlite3.Connection) -> None:
        """Take what is kept, which is read as it is asked for."""
        self._base = base

    def add(self, key: Key, source: str) -> None:
        """Link a source to a key."""
        self._dropped.get(key, set()).discard(source)
        self._added.setdefault(key, set()).add(source)

    def drop(self, key: Key, source: str) -> None:
        """Undo a link."""
        self._added.get(key, set()).discard(source)
        self._dropped.setdefault(key, set()).add(source)

    def of(self, key: Key) -> list[str]:
        """Return the sources of a key, sorted."""
        words = "SELECT source FROM links WHERE key = ?"
        rows = self._base.execute(words, (text_of(key),)) if self._base else ()
        found = {source for (source,) in rows} - self._dropped.get(key, set())
        return sorted(found | self._added.get(key, set()))

    def groups(self, sort: str) -> Iterator[tuple[Key, list[str]]]:
        """Yield the keys of a sort, sorted, each with its sources."""
        found: dict[Key, set[str]] = {}
        words = "SELECT key, source FROM links WHERE key >= ? AND key < ?"
        for key, source in (
            self._base.execute(words, range_of(sort)) if self._base else ()
        ):
            found.setdefault(key_of(key), set()).add(source)
        for key, sources in self._added.items():
            if key[0] == sort:
                found.setdefault(key, set()).update(sources)
        for key in sorted(found):
            sources = found[key] - self._dropped.get(key, set())
            if sources:
                yield key, sorted(sources)

    def said(self, key: Key) -> str:
        """Return what is said of a key; blank for nothing."""
        if key not in self._says and self._base is not None:
            words = "SELECT what FROM said WHERE key = ?"
            row = self._base.execute(words, (text_of(key),)).fetchone()
            return str(row[0]) if row is not None else ""
        return self._says.get(key, "")

    def all_said(self, sort: str) -> list[Key]:
        """Return the keys of a sort of which something is said."""
        words = "SELECT key FROM said WHERE key >= ? AND key < ?"
        rows = self._base.execute(words, range_of(sort)) if self._base else ()
        keys = {key_of(text) for (text,) in rows} | self._says.keys()
        return sorted(key for key in keys if key[0] == sort and self.said(key))

    def say(self, key: Key, what: str) -> None:
        """Say something of a key; blank for nothing."""
        self._says[key] = what

    def save(self, base: sqlite3.Connection) -> None:
        """Keep what has changed."""
        dropped = [
            (text_of(k), one) for k, some in self._dropped.items() for one in some
        ]
        base.executemany("DELETE FROM links WHERE key = ? AND source = ?", dropped)
        added = [(text_of(k), one) for k, some in self._added.items() for one in some]
        base.executemany("REPLACE INTO links VALUES (?, ?)", sorted(added))
        texts = [(text_of(key), what) for key, what in self._says.items()]
        unsaid = [(key,) for key, what in texts if not what]
        base.executemany("DELETE FROM said WHERE key = ?", unsaid)
        said = [(key, what) for key, what in texts if what]
        base.executemany("REPLACE INTO said VALUES (?, ?)", said)


def range_of(sort: str) -> tuple[str, str]:
    """Return between which texts those of the keys of a sort are."""
    return f'["{sort}",', f'["{sort}"-'


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
