"""
The steps of a build: each taken from the last build where it holds, else made.

A step holds if all that it asked has the same answer now, and its files on the site are
as it left them. Some that hold are made again all the same, others in each build: a
difference means that something was relied on and not asked, and then nothing that was
kept is believed.
"""

import os
import sqlite3
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import field
from pathlib import Path
from typing import Any, TypeVar

from buildsite.asked import Question, ask_again, questions
from buildsite.building.answers import Answers, short
from buildsite.cache.files import Output, as_left, left, without_racy
from buildsite.cache.store import Step, Store, loaded, written
from buildsite.cache.value_forms import Form
from buildsite.errors import EnvironmentFault
from buildsite.files import Written
from buildsite.values import dataclass

V = TypeVar("V")

ONE_IN = 50
"""Of the steps that hold, one in so many is made again."""

MOST_NAMED = 3
"""Most files named that differ."""


@dataclass
class Steps:
    """
    What the last build of this site kept, and what this one keeps.

    `seed` chooses the steps that are made again: others in each build.
    """

    store: Store
    answers: Answers
    site: Path
    seed: str = ""
    made: dict[str, Step | None] = field(default_factory=dict)  # None: as it was
    outputs: dict[str, Output] = field(default_factory=dict)  # of those kept
    files: dict[str, Written] = field(default_factory=dict)  # of those made
    again: set[str] = field(default_factory=set)  # hold, and are made all the same

    @property
    def keeps(self) -> bool:
        """Whether anything is kept for the next build."""
        return self.store.is_open

    def stands(self, name: str) -> bool:
        """Whether a step need not be made; whoever takes it asks all that it asked."""
        if not self._holds(name):
            return False
        if int(self._lot(name), 16) % ONE_IN == 0:
            self.again.add(name)
        return name not in self.again

    def _holds(self, name: str) -> bool:
        if not self.store.holds(name, self.answers):
            return False
        outputs: dict[str, Output] = {}
        for path in self.store.paths(name):
            found = as_left(self.site, path, self.store.outputs[path])
            if found is None:
                return False
            outputs[path] = found
        self.made[name] = None
        self.outputs |= outputs
        ask_again(self.store.questions(name))
        return True

    def to_be_made(self, names: Mapping[str, str]) -> list[str]:
        """Return those whose steps must be made, and one more at least."""
        todo = [key for key, name in names.items() if not self.stands(name)]
        if self.keeps and not any(names[key] in self.again for key in todo):
            held = [key for key in names if names[key] in self.made]
            if held:
                one = min(held, key=lambda key: self._lot(names[key]))
                self.again.add(names[one])
                todo.append(one)
        return todo

    def _lot(self, name: str) -> str:
        return short(f"{self.seed} {name}")

    def value(
        self,
        name: str,
        form: Form,
        make: Callable[[], V],
        parts: tuple[str, ...] = (),
    ) -> V:
        """
        Return the value of a step without files, made if it does not hold.

        `parts` are how the names of steps begin that are taken only while it is made.
        """
        if self.stands(name):
            inner = [one for one in self.store.asked if parts and one.startswith(parts)]
            self.made |= dict.fromkeys(inner)
            value: V = self.read(name, form)
            return value
        with questions() as asked:
            value = make()
        self.keep(name, form, value, asked)
        return value

    def keep(
        self,
        name: str,
        form: Form,
        value: Any,
        asked: Collection[Question],
        files: Sequence[Written] = (),
    ) -> None:
        """Keep a step that was made, and compare it with the one that held."""
        if not self.keeps:
            return
        step = Step(
            written(form.write(value)),
            tuple(sorted(asked)),
            tuple(one.path for one in files),
        )
        if name in self.again:
            self._compare(name, step, files)
        self.made[name] = step
        for one in files:
            self.outputs.pop(one.path, None)
            self.files[one.path] = one

    def _compare(self, name: str, step: Step, files: Sequence[Written]) -> None:
        """Refuse a step that held and comes out otherwise when it is made again."""
        was = {one: self.store.outputs[one].digest for one in self.store.paths(name)}
        now = {one.path: one.digest for one in files}
        moved = sorted(path for path in {*was, *now} if was.get(path) != now.get(path))
        if not moved and self.store.text(name) == step.text:
            return
        self.store.forget()
        what = f"in {', '.join(moved[:MOST_NAMED])}" if moved else "in what lists show"
        raise EnvironmentFault(
            f"Step {name!r}, kept by the last build, differs {what} when it is made "
            "again, though nothing that it asked has changed. Nothing was built.",
            "All that was kept is deleted now: run this again. It is a fault of this "
            "program; please report it.",
        )

    def tell(self, question: Question, answer: str) -> None:
        """Give the answer to a question about this build itself."""
        self.answers.told[question] = answer

    def text(self, name: str) -> str:
        """Return the value of a step as it is kept."""
        step = self.made.get(name)
        return step.text if step is not None else self.store.text(name)

    def read(self, name: str, form: Form) -> Any:
        """Return the value of a step."""
        return form.read(loaded(self.text(name)))

    def left(self, name: str) -> Iterator[Written]:
        """Return the files that a step of the last build left on the site."""
        for path in self.store.paths(name):
            one = self.outputs[path]
            yield Written(path, one.digest, one.size, 0)

    def save(self, about: Mapping[str, str]) -> None:
        """Keep this build for the next one; if that fails, the next one is clean."""
        if not self.keeps:
            return
        try:
            fresh = {path: left(self.site, one) for path, one in self.files.items()}
            outputs = {**self.outputs, **fresh}
            newest = os.stat(self.store.path).st_ctime_ns  # noqa: PTH116
            latest = max([newest, *(one.changed_ns for one in outputs.values())])
            outputs = without_racy(outputs, latest)
            self.store.save(about, self.made, outputs, self.answers)
        except (OSError, sqlite3.Error):
            self.store.forget()
