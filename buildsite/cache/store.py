"""
The steps of the last build of one site: what each gave, what it asked, what it wrote.

An SQLite file with JSON in it, in git's own folder. It is never needed: a file that
can't be read, or that another program wrote, is put aside, and the build is clean. It
says nothing of the bytes of pages: those are on the site itself, and each is believed
only while its file is as it was left.

A build looks at the questions whose answers may have moved, and from them at the steps
that asked: all others hold.
"""

import json
import sqlite3
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import field
from itertools import count
from pathlib import Path
from typing import Any, NamedTuple

from buildsite.asked import Question
from buildsite.cache.files import Output, Told
from buildsite.cache.links import Links
from buildsite.cache.tables import ASKED_BY, NOT_ASKED, ONE, remove
from buildsite.values import dataclass

MOST_KNOWN = 10_000
"""Questions whose numbers are held while steps are saved; others are looked up."""


@dataclass(frozen=True)
class Step:
    """A step: its value (JSON), and what it asked."""

    text: str
    asked: tuple[Question, ...]


class Held(NamedTuple):
    """A step that is kept: its number, the sorts of what it asked."""

    id: int
    sorts: str


@dataclass
class Store:
    """
    What the last build kept, read as it is asked for.

    `outputs` are the files on the site by step, `files` the archive's own. `moved` are
    the questions with another answer now, `shaken` the steps that asked one.
    """

    path: Path
    about: dict[str, str] = field(default_factory=dict)
    steps: dict[str, Held] = field(default_factory=dict)
    outputs: dict[int, dict[str, Output]] = field(default_factory=dict)
    files: dict[str, Told] = field(default_factory=dict)
    moved: dict[int, str] = field(default_factory=dict)
    shaken: set[int] = field(default_factory=set)
    links: Links = field(default_factory=Links)
    base: sqlite3.Connection | None = None

    @property
    def is_open(self) -> bool:
        """Whether anything can be kept."""
        return self.base is not None

    def text(self, name: str) -> str:
        """Return the value of a step that is kept, in JSON."""
        return self._column("value", name)

    def left(self, name: str) -> Mapping[str, Output]:
        """Return the files that a step left on the site."""
        return self.outputs.get(self.steps[name].id, {})

    def questions(self, name: str) -> list[Question]:
        """Return what a step asked."""
        ids = loaded(self._column("asked", name))
        found = (self._row(f"{ONE} WHERE id = ?", (id,)) for id in ids)
        return [question_of(row[1], row[2]) for row in found]

    def _column(self, column: str, name: str) -> str:
        held = self.steps[name]
        row = self._row(f"SELECT {column} FROM made WHERE step = ?", (held.id,))  # noqa: S608
        return str(row[0])

    def _row(self, words: str, of: tuple[Any, ...]) -> Any:
        if self.base is None:
            raise KeyError(of)
        return self.base.execute(words, of).fetchone()

    def holds(self, name: str) -> bool:
        """Whether a step is kept, and nothing that it asked has moved."""
        held = self.steps.get(name)
        return held is not None and held.id not in self.shaken

    def asked_of(self, sort: str) -> Iterator[tuple[int, Question, str]]:
        """Yield the questions of a sort that were asked, with their answers."""
        rows = self.base.execute(f"{ONE} WHERE sort = ?", (sort,)) if self.base else ()
        for id, sort_of, of, answer in rows:
            yield id, question_of(sort_of, of), answer

    def compare(self, question: Question, answer: str) -> list[str]:
        """Compare an answer with the kept one; the steps that it shakes if it moved."""
        row = self._row(f"{ONE} WHERE sort = ? AND of = ?", key_of(question))
        return self.move(row[0], answer) if row and row[3] != answer else []

    def move(self, id: int, answer: str) -> list[str]:
        """Note that an answer has moved; return the steps that it shakes."""
        self.moved[id] = answer
        found = list(self.base.execute(ASKED_BY, (id,))) if self.base else []
        self.shaken.update(step for step, _ in found)
        return [name for _, name in found]

    def save(
        self,
        about: Mapping[str, str],
        steps: Mapping[str, bool],
        step_of: Callable[[str], Step],
        outputs: Mapping[str, Mapping[str, Output]],
        files: Mapping[str, Told],
        now: Callable[[Question], str],
    ) -> None:
        """
        Keep a build, whole or not at all: every step that it consists of.

        `step_of` gives those that were made; of `steps`, others are kept as they were.
        `outputs` are all files of the site, by
        step; `files` those of the archive.
        """
        base = self.base
        if base is None:
            return
        with base:
            base.execute("BEGIN IMMEDIATE")
            base.executemany("REPLACE INTO about VALUES (?, ?)", about.items())
            again = {name for name, made in steps.items() if made}
            gone = [held.id for name, held in self.steps.items() if name not in steps]
            known = [self.steps[name].id for name in again if name in self.steps]
            left = drop(base, (*gone, *known))
            free = count(max((one.id for one in self.steps.values()), default=0) + 1)
            made = {
                name: self.steps[name].id if name in self.steps else next(free)
                for name in sorted(again)
            }
            self._save_steps(base, made, step_of, now)
            self._save_outputs(base, made, outputs)
            self._save_files(base, files)
            self.links.save(base)
            base.executemany(
                "UPDATE questions SET answer = ? WHERE id = ?",
                [(answer, id) for id, answer in self.moved.items()],
            )
            base.executemany(NOT_ASKED, [(id,) for id in left])

    def _save_steps(
        self,
        base: sqlite3.Connection,
        made: Mapping[str, int],
        step_of: Callable[[str], Step],
        now: Callable[[Question], str],
    ) -> None:
        ids: dict[Question, int] = {}
        (last,) = base.execute("SELECT coalesce(max(id), 0) FROM questions").fetchone()
        free = count(last + 1)
        for name, step_id in made.items():
            step, asked = step_of(name), []
            if len(ids) > MOST_KNOWN:
                ids.clear()
            for question in step.asked:
                if question not in ids:
                    ids[question] = self._question(base, question, free, now)
                asked.append(ids[question])
            sorts = " ".join(sorted({question[0] for question in step.asked}))
            row = (step_id, name, sorts)
            base.execute("INSERT INTO steps VALUES (?, ?, ?)", row)
            held = (step_id, step.text, written(asked))
            base.execute("INSERT INTO made VALUES (?, ?, ?)", held)
            base.executemany(
                "INSERT INTO asked VALUES (?, ?)", [(id, step_id) for id in asked]
            )

    def _question(
        self,
        base: sqlite3.Connection,
        question: Question,
        free: Iterator[int],
        now: Callable[[Question], str],
    ) -> int:
        """Return the number of a question, which is kept from now on if it is new."""
        row = self._row(f"{ONE} WHERE sort = ? AND of = ?", key_of(question))
        if row is not None:
            return int(row[0])
        id = next(free)
        new = (id, *key_of(question), now(question))
        base.execute("INSERT INTO questions VALUES (?, ?, ?, ?)", new)
        return id

    def _save_outputs(
        self,
        base: sqlite3.Connection,
        made: Mapping[str, int],
        outputs: Mapping[str, Mapping[str, Output]],
    ) -> None:
        def rows() -> Iterator[tuple[str, int, str, int, str]]:
            for name, some in outputs.items():
                id = made[name] if name in made else self.steps[name].id
                before = self.outputs.get(id, {}) if name not in made else {}
                for path, one in some.items():
                    if before.get(path) is not one:
                        yield path, id, one.digest, one.size, one.state

        base.executemany("REPLACE INTO outputs VALUES (?, ?, ?, ?, ?)", rows())

    def _save_files(self, base: sqlite3.Connection, files: Mapping[str, Told]) -> None:
        gone = [(path,) for path in self.files if path not in files]
        base.executemany("DELETE FROM files WHERE path = ?", gone)
        rows = [
            (path, *told)
            for path, told in files.items()
            if self.files.get(path) != told
        ]
        base.executemany("REPLACE INTO files VALUES (?, ?, ?, ?)", rows)

    def note(self, name: str, said: str) -> None:
        """Keep one thing more about a build."""
        if self.base is not None:
            with suppress(sqlite3.Error):
                self.base.execute("REPLACE INTO about VALUES (?, ?)", (name, said))

    def close(self) -> None:
        """Close the file: nothing can be kept from now on."""
        base, self.base = self.base, None
        if base is not None:
            base.close()

    def forget(self) -> None:
        """Throw everything away."""
        self.close()
        self.empty()
        with suppress(OSError):
            remove(self.path)

    def empty(self) -> None:
        """Hold nothing."""
        self.about, self.steps, self.outputs, self.files = {}, {}, {}, {}
        self.moved, self.shaken, self.links = {}, set(), Links()


def drop(base: sqlite3.Connection, ids: Sequence[int]) -> set[int]:
    """Delete steps; return the questions that they asked."""
    asked: set[int] = set()
    for id in ids:
        row = base.execute("SELECT asked FROM made WHERE step = ?", (id,)).fetchone()
        some = loaded(row[0])
        asked.update(some)
        base.executemany(
            "DELETE FROM asked WHERE question = ? AND step = ?",
            [(one, id) for one in some],
        )
    for table, column in (("steps", "id"), ("made", "step"), ("outputs", "step")):
        base.executemany(
            f"DELETE FROM {table} WHERE {column} = ?",  # noqa: S608 - our own words
            [(id,) for id in ids],
        )
    return asked


def key_of(question: Question) -> tuple[str, str]:
    r"""
    Return the sort of a question, and of what it is asked.

    >>> key_of(("named", "test", "hf-0117")), key_of(("names",))
    (('named', '\x00test\x00hf-0117'), ('names', ''))
    """
    return question[0], "".join(f"\0{word}" for word in question[1:])


def question_of(sort: str, of: str) -> Question:
    r"""
    Return a question by its sort and of what it is asked.

    >>> question_of("named", "\x00test\x00hf-0117"), question_of("names", "")
    (('named', 'test', 'hf-0117'), ('names',))
    """
    return (sort, *of.split("\0")[1:])


def written(value: Any) -> str:
    """Return JSON in its shortest form."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def loaded(text: str) -> Any:
    """Return a value that was written."""
    return json.loads(text)
