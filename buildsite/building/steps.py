"""
The steps of a build: each taken from the last build where it holds, else made.

A step holds if nothing that it asked has another answer now, and its files on the site
are as it left them. Some that hold are made again all the same, others in each build: a
difference means that something was relied on and not asked, and then nothing that was
kept is believed.
"""

import os
from collections.abc import (
    Callable,
    Collection,
    Iterable,
    Iterator,
    Mapping,
    Sequence,
)
from dataclasses import field
from functools import cached_property
from pathlib import Path
from random import Random
from typing import Any, NoReturn, TypeVar

from buildsite.asked import Question, ask_again, is_noted, questions
from buildsite.building.answers import Answers, listed, short
from buildsite.building.moved import compare_all
from buildsite.cache.files import Output, as_left, left, state_at, without_racy
from buildsite.cache.seen import states_below
from buildsite.cache.shelf import Shelf
from buildsite.cache.store import Step, Store, loaded, written
from buildsite.cache.tables import Damaged
from buildsite.cache.value_forms import Form
from buildsite.errors import EnvironmentFault
from buildsite.exports.manifest import NAME as MANIFEST
from buildsite.files import Written
from buildsite.values import dataclass

V = TypeVar("V")

AGAIN = 2
"""Steps that are made again though they hold, and one page of a test."""

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
    made: dict[str, bool] = field(default_factory=dict)  # whether now, or as it was
    shelf: Shelf = field(default_factory=Shelf)  # of those made: value, what it asked
    outputs: dict[str, Mapping[str, Output]] = field(default_factory=dict)  # kept
    files: dict[str, dict[str, Written]] = field(default_factory=dict)  # of those made
    again: set[str] = field(default_factory=set)  # hold, and are made all the same
    _looked: set[str] = field(default_factory=set)  # hold, by the bytes of a file
    _told: set[str] = field(default_factory=set)  # sorts of questions
    _all_told: set[str] = field(default_factory=set)  # of which each was told
    _about: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Find the steps that an answer has shaken."""
        if self.keeps:
            compare_all(self.store, self.answers)

    @property
    def keeps(self) -> bool:
        """Whether anything is kept for the next build."""
        return self.store.is_open

    def stands(self, name: str) -> bool:
        """Whether a step need not be made; whoever takes it asks all that it asked."""
        if not self._holds(name):
            return False
        if name in self._drawn:
            self.again.add(name)
        return name not in self.again

    @cached_property
    def _drawn(self) -> Collection[str]:
        """Steps that are made again whether they hold or not."""
        known = sorted(self.store.steps)
        chance = Random(self.seed)  # noqa: S311 - others in each build, no secret
        return frozenset(chance.sample(known, min(AGAIN, len(known))))

    def _holds(self, name: str) -> bool:
        if not self.store.holds(name) or not self._is_told(name):
            return False
        outputs = self.store.left(name)
        states, lead = self.states, self._lead
        others = [
            path
            for path, one in outputs.items()
            if not one.state or states.get(lead + path) != one.state
        ]
        if others:
            outputs = dict(outputs)
            for path in others:
                found = as_left(self.site, path, outputs[path], states)
                if found is None:
                    return False
                outputs[path] = found
            self._looked.add(name)
        self.made[name] = False
        self.outputs[name] = outputs
        if is_noted():
            ask_again(self.store.questions(name))
        return True

    @cached_property
    def _lead(self) -> str:
        return f"{self.site}/"

    @cached_property
    def states(self) -> Mapping[str, str]:
        """States of the files on the site as the build began."""
        return states_below(str(self.site)) if self.store.outputs else {}

    def _is_told(self, name: str) -> bool:
        """Whether all has been told that a step asked of the build itself."""
        sorts = self.store.steps[name].sorts
        if sorts not in self._all_told:
            known = {*self.answers.sorts, *self._told}
            if not known.issuperset(sorts.split()):
                return False
            self._all_told.add(sorts)
        return True

    def to_be_made(self, names: Mapping[str, str]) -> list[str]:
        """Return those whose steps must be made, and one more at least."""
        todo = [key for key, name in names.items() if not self.stands(name)]
        if self.keeps and not any(names[key] in self.again for key in todo):
            held = [key for key in names if names[key] in self.made]
            if held:
                one = min(held, key=lambda key: short(f"{self.seed} {names[key]}"))
                self.again.add(names[one])
                todo.append(one)
        return todo

    def shake(self, name: str) -> None:
        """Make a step again: what the build itself found for it has changed."""
        held = self.store.steps.get(name)
        if held is not None:
            self.store.shaken.add(held.id)

    def gone(self, sort: str, names: Collection[str]) -> list[str]:
        """Return the steps of a sort that were kept and are none of these."""
        now, lead = set(names), f"{sort} "
        return [
            one for one in self.store.steps if one.startswith(lead) and one not in now
        ]

    def hold(self, names: Iterable[str]) -> None:
        """Keep steps that were asked only by one that stands."""
        for name in names:
            if name in self.store.steps:
                self.made.setdefault(name, False)

    def value(self, name: str, form: Form, make: Callable[[], V]) -> V:
        """Return the value of a step without files, made if it does not hold."""
        if self.stands(name):
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
        self.keep_text(name, written(form.write(value)), asked, files)

    def keep_text(
        self,
        name: str,
        text: str,
        asked: Collection[Question],
        files: Sequence[Written] = (),
    ) -> None:
        """Keep a step whose value is in JSON already."""
        if name in self.again:
            self._compare(name, text, files)
        self.shelf.put(name, text, written(sorted(asked)) if self.keeps else "")
        self.made[name] = True
        if self.keeps:
            self.outputs.pop(name, None)
            self.files[name] = {one.path: one for one in files}

    def _compare(self, name: str, text: str, files: Sequence[Written]) -> None:
        """Refuse a step that held and comes out otherwise when it is made again."""
        was = {path: one.digest for path, one in self.store.left(name).items()}
        now = {one.path: one.digest for one in files}
        moved = sorted(path for path in {*was, *now} if was.get(path) != now.get(path))
        if not moved and self.store.text(name) == text:
            return
        where = ", ".join(moved[:MOST_NAMED]) if moved else "what lists show"
        self.differs(f"Step {name!r}", where)

    def differs(self, what: str, where: str = "what it says") -> NoReturn:
        """Refuse to build: what was kept and holds comes out otherwise now."""
        self.store.forget()
        raise EnvironmentFault(
            f"{what}, kept by the last build, differs in {where} when it is made "
            "again, though nothing that it asked has changed. Nothing was built.",
            "All that was kept is deleted now: run this again. It is a fault of this "
            "program; please report it.",
        )

    def tell(self, question: Question, answer: str) -> None:
        """
        Give the answer to the only question of a sort, about this build itself.

        Told before any step that asks it is looked at.
        """
        self._tell(question[0], {question: answer})

    def tell_all(self, sort: str, answers: Mapping[str, str]) -> None:
        """Give the answers to all questions of a sort; to any other there is none."""
        self._tell(sort, {(sort, of): answer for of, answer in answers.items()})

    def _tell(self, sort: str, answers: Mapping[Question, str]) -> None:
        self.answers.told |= answers
        self._told.add(sort)
        whole = listed(
            f"{question} {answers[question]}" for question in sorted(answers)
        )
        self._about[f"told {sort}"] = whole
        if self.keeps and self.store.about.get(f"told {sort}") != whole:
            for id, question, answer in list(self.store.asked_of(sort)):
                now = answers.get(question, "")
                if now != answer:
                    self._refuse_late(self.store.move(id, now))

    def _refuse_late(self, names: Sequence[str]) -> None:
        late = [name for name in names if self.made.get(name) is False]
        if late:
            raise AssertionError(f"told after {late[0]} was taken")

    def note(self, name: str, text: str) -> None:
        """Keep a text that is made in every build, and that no step asks for."""
        if self.keeps:
            self.made[name] = text != self.noted(name)
            if self.made[name]:
                self.shelf.put(name, text, "[]")

    def note_again(self, name: str) -> bool:
        """Keep such a text as the last build kept it; return whether it kept one."""
        held = name in self.store.steps
        if held:
            self.made[name] = False
        return held

    def noted(self, name: str) -> str:
        """Return a text that the last build kept so; blank if it kept none."""
        return self.store.text(name) if name in self.store.steps else ""

    def learn(
        self,
        sort: str,
        answer: Callable[..., str],
        moved: Iterable[Question] | None = None,
    ) -> None:
        """
        Take the answers to a sort of questions about this build itself.

        `moved` are those that may have another answer now; None: each of them may.
        """
        self.answers.learn(sort, answer)
        self._told.add(sort)
        if not self.keeps:
            return
        if moved is None:
            moved = [question for _, question, _ in self.store.asked_of(sort)]
        for question in moved:
            self.compare(question, self.answers(question))

    def compare(self, question: Question, answer: str) -> bool:
        """
        Compare an answer with the kept one; return whether a step is shaken by it.

        It is compared before any step that asks it is looked at.
        """
        self._told.add(question[0])
        self.answers.told[question] = answer
        shaken = self.store.compare(question, answer) if self.keeps else []
        self._refuse_late(shaken)
        return bool(shaken)

    def text(self, name: str) -> str:
        """Return the value of a step as it is kept."""
        if self.made.get(name):
            return self.shelf.get(name)
        return self.store.text(name)

    def _step(self, name: str) -> Step:
        """Return a step that was made."""
        asked = loaded(self.shelf.get(name, 1))
        return Step(self.shelf.get(name), tuple(map(tuple, asked)))

    def read(self, name: str, form: Form) -> Any:
        """Return the value of a step."""
        return form.read(loaded(self.text(name)))

    def left(self, name: str) -> Iterator[Written]:
        """Return the files that a step of the last build left on the site."""
        for path, one in self.outputs[name].items():
            yield Written(path, one.digest, one.size, 0)

    def save(self, about: Mapping[str, str]) -> None:
        """Keep this build for the next one; if that fails, the next one is clean."""
        if not self.keeps:
            return
        try:
            left_now = self.left_now
            latest = os.stat(self.store.path).st_ctime_ns  # noqa: PTH116
            # The states of all others were kept by a build that looked at them so.
            new = [name for name in (*self.files, *self._looked) if name in left_now]
            for name in new:
                changed = (one.changed_ns for one in left_now[name].values())
                latest = max(latest, *changed, 0)
            settled = {name: without_racy(left_now[name], latest) for name in new}
            outputs = {**left_now, **settled}
            parts = {f"part {part}": said for part, said in self.answers.parts.items()}
            files = self.answers.files_told(latest)
            told = {**about, **parts, **self._about}
            self.store.save(
                told, self.made, self._step, outputs, files, self.answers.once
            )
        except (OSError, Damaged, UnicodeError):
            self.store.forget()

    @cached_property
    def left_now(self) -> Mapping[str, Mapping[str, Output]]:
        """The files of the site as this build left them, by step."""
        fresh = {
            name: {path: left(self.site, one) for path, one in some.items()}
            for name, some in self.files.items()
        }
        return {**self.outputs, **fresh}

    def states_now(self) -> dict[str, str]:
        """Return the states of all files of the site, once the build has ended."""
        lead = self._lead
        try:
            every = self.left_now.values()
        except OSError:
            return {}  # somebody took a file away: no later build will look the same
        known = {
            f"{lead}{path}": one.state for some in every for path, one in some.items()
        }
        others = {f"{lead}{MANIFEST}", *self.states} - known.keys()
        found = {path: state_at(path) for path in others}
        return known | {path: state for path, state in found.items() if state}
