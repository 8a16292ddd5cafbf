"""
The steps of the last build of one site: what each gave, what it asked, what it wrote.

An SQLite file with JSON in it, in git's own folder. It is never needed: a file that
can't be read, or that another program wrote, is put aside, and the build is clean. It
says nothing of the bytes of pages: those are on the site itself, and each is believed
only while its file is as it was left.
"""

import json
import sqlite3
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from dataclasses import field
from itertools import count
from pathlib import Path
from typing import Any

from buildsite.asked import Question
from buildsite.cache.files import Output
from buildsite.values import dataclass

FORMAT = "1"
"""Of the tables below; another one is not read."""

TABLES = """
CREATE TABLE about (name TEXT PRIMARY KEY, said TEXT NOT NULL);
CREATE TABLE questions (
    id INTEGER PRIMARY KEY, question TEXT NOT NULL, answer TEXT NOT NULL);
CREATE TABLE steps (
    name TEXT PRIMARY KEY, value TEXT NOT NULL, asked TEXT NOT NULL,
    files TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE files (
    path TEXT PRIMARY KEY, digest TEXT NOT NULL, size INTEGER NOT NULL,
    state TEXT NOT NULL) WITHOUT ROWID;
"""

MOST_BYTES = 2 << 30
"""Size of all stores of a clone, above which those used longest ago are deleted."""


@dataclass(frozen=True)
class Step:
    """A step: its value (JSON), what it asked, the paths that it wrote."""

    text: str
    asked: tuple[Question, ...]
    files: tuple[str, ...] = ()


@dataclass
class Store:
    """What the last build kept, read as it is asked for."""

    path: Path
    about: dict[str, str] = field(default_factory=dict)
    answers: dict[int, tuple[Question, str]] = field(default_factory=dict)
    asked: dict[str, list[int]] = field(default_factory=dict)  # by step
    outputs: dict[str, Output] = field(default_factory=dict)
    _base: sqlite3.Connection | None = None

    @property
    def is_open(self) -> bool:
        """Whether anything can be kept."""
        return self._base is not None

    def text(self, name: str) -> str:
        """Return the value of a step that is kept, in JSON."""
        return self._column("value", name)

    def paths(self, name: str) -> list[str]:
        """Return the paths that a step wrote."""
        found: list[str] = loaded(self._column("files", name))
        return found

    def questions(self, name: str) -> list[Question]:
        """Return what a step asked."""
        return [self.answers[id][0] for id in self.asked[name]]

    def _column(self, column: str, name: str) -> str:
        if self._base is None:
            raise KeyError(name)
        found = self._base.execute(
            f"SELECT {column} FROM steps WHERE name = ?",  # noqa: S608 - our own word
            (name,),
        ).fetchone()
        return str(found[0])

    def holds(self, name: str, now: Callable[[Question], str]) -> bool:
        """Whether a step is kept, and all that it asked has the same answer now."""
        ids = self.asked.get(name)
        if ids is None:
            return False
        return all(now(self.answers[id][0]) == self.answers[id][1] for id in ids)

    def save(
        self,
        about: Mapping[str, str],
        steps: Mapping[str, Step | None],
        outputs: Mapping[str, Output],
        now: Callable[[Question], str],
    ) -> None:
        """
        Keep a build, whole or not at all: every step that it consists of.

        A step without value is kept as it was. `outputs` are all files of the site.
        """
        base = self._base
        if base is None:
            return
        ids = {question: id for id, (question, _) in self.answers.items()}
        free = count(max(self.answers, default=0) + 1)
        asked = {
            name: self.asked[name]
            if step is None
            else [ids.get(one) or ids.setdefault(one, next(free)) for one in step.asked]
            for name, step in steps.items()
        }
        used = {id for some in asked.values() for id in some}
        with base:
            base.execute("BEGIN IMMEDIATE")
            base.executemany(
                "INSERT OR REPLACE INTO about VALUES (?, ?)", about.items()
            )
            self._save_answers(base, ids, used, now)
            base.executemany(
                "DELETE FROM steps WHERE name = ?",
                [(name,) for name in self.asked if name not in steps],
            )
            base.executemany(
                "INSERT OR REPLACE INTO steps VALUES (?, ?, ?, ?)",
                [
                    (name, step.text, written(asked[name]), written(step.files))
                    for name, step in steps.items()
                    if step is not None
                ],
            )
            base.executemany(
                "DELETE FROM files WHERE path = ?",
                [(path,) for path in self.outputs if path not in outputs],
            )
            base.executemany(
                "INSERT OR REPLACE INTO files VALUES (?, ?, ?, ?)",
                [
                    (path, one.digest, one.size, one.state)
                    for path, one in outputs.items()
                    if self.outputs.get(path) != one
                ],
            )

    def _save_answers(
        self,
        base: sqlite3.Connection,
        ids: Mapping[Question, int],
        used: set[int],
        now: Callable[[Question], str],
    ) -> None:
        base.executemany(
            "DELETE FROM questions WHERE id = ?",
            [(id,) for id in self.answers if id not in used],
        )
        changed = []
        for question, id in ids.items():
            if id in used:
                answer = now(question)
                if self.answers.get(id) != (question, answer):
                    changed.append((id, written(question), answer))
        base.executemany("INSERT OR REPLACE INTO questions VALUES (?, ?, ?)", changed)

    def note(self, name: str, said: str) -> None:
        """Keep one thing more about a build."""
        if self._base is not None:
            with suppress(sqlite3.Error):
                self._base.execute(
                    "INSERT OR REPLACE INTO about VALUES (?, ?)", (name, said)
                )

    def close(self) -> None:
        """Close the file: nothing can be kept from now on."""
        base, self._base = self._base, None
        if base is not None:
            base.close()

    def forget(self) -> None:
        """Throw everything away."""
        self.close()
        with suppress(OSError):
            remove(self.path)


def written(value: Any) -> str:
    """Return JSON in its shortest form."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def loaded(text: str) -> Any:
    """Return a value that was written."""
    return json.loads(text)


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
    base = store._base = sqlite3.connect(store.path, isolation_level=None)
    about = dict(base.execute("SELECT name, said FROM about"))
    if any(about.get(name) != said for name, said in wanted(program).items()):
        raise ValueError("another program's")
    store.about = about
    for id, question, answer in base.execute(
        "SELECT id, question, answer FROM questions"
    ):
        store.answers[id] = (tuple(json.loads(question)), answer)
    for name, asked in base.execute("SELECT name, asked FROM steps"):
        store.asked[name] = json.loads(asked)
    for path, digest, size, state in base.execute("SELECT * FROM files"):
        store.outputs[path] = Output(digest, size, state)


def wanted(program: Mapping[str, str]) -> dict[str, str]:
    """Return what a store must say of itself to be believed."""
    return {"format": FORMAT, **program}


def start_anew(store: Store, program: Mapping[str, str]) -> None:
    """Put aside what was there, if anything was, and begin an empty store."""
    store.close()
    store.about, store.answers, store.asked, store.outputs = {}, {}, {}, {}
    try:
        remove(store.path)
        base = sqlite3.connect(store.path, isolation_level=None)
        with closing(base.cursor()) as cursor:
            cursor.executescript(TABLES)
            cursor.executemany(
                "INSERT INTO about VALUES (?, ?)", wanted(program).items()
            )
        store._base = base
    except (sqlite3.Error, OSError):
        return  # a full disk, or a folder not to be written: the build is clean


def remove(path: Path) -> None:
    """Delete a store, with what SQLite keeps beside it."""
    for suffix in ("", "-journal", "-wal", "-shm"):
        path.with_name(path.name + suffix).unlink(missing_ok=True)


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
