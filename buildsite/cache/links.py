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
        self.said: dict[Key, str] = {}
        self._base: sqlite3.Connection | None = None
        self._added: dict[Key, set[str]] = {}
        self._dropped: dict[Key, set[str]] = {}
        self._unsaid: dict[Key, str] = {}  # that was said otherwise when it was read

    def read(self, base: sqlite3.Connection) -> None:
        """Read what was said; the links are read as they are asked for."""
        self._base = base
        for key, what in base.execute("SELECT key, what FROM said"):
            self.said[key_of(key)] = what

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
        ends = (f'["{sort}",', f'["{sort}"-')
        for key, source in self._base.execute(words, ends) if self._base else ():
            found.setdefault(key_of(key), set()).add(source)
        for key, sources in self._added.items():
            if key[0] == sort:
                found.setdefault(key, set()).update(sources)
        for key in sorted(found):
            sources = found[key] - self._dropped.get(key, set())
            if sources:
                yield key, sorted(sources)

    def say(self, key: Key, what: str) -> None:
        """Say something of a key, or nothing."""
        before = self.said.get(key, "")
        if what != before:
            self._unsaid.setdefault(key, before)
            self.said[key] = what
            if not what:
                del self.said[key]

    def save(self, base: sqlite3.Connection) -> None:
        """Keep what has changed."""
        dropped = [
            (text_of(k), one) for k, some in self._dropped.items() for one in some
        ]
        base.executemany("DELETE FROM links WHERE key = ? AND source = ?", dropped)
        added = [(text_of(k), one) for k, some in self._added.items() for one in some]
        base.executemany("REPLACE INTO links VALUES (?, ?)", sorted(added))
        unsaid = [(text_of(key),) for key in self._unsaid]
        base.executemany("DELETE FROM said WHERE key = ?", unsaid)
        said = [(text_of(k), self.said[k]) for k in self._unsaid if k in self.said]
        base.executemany("INSERT INTO said VALUES (?, ?)", said)


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
