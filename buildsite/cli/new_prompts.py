"""Questions of `new`: each answer is checked before the next question."""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import Any

import click

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import is_taken, proposed_id
from buildsite.kinds.blank import Ask
from buildsite.kinds.kind import Kind
from buildsite.record.letters import ID
from buildsite.record.typed_names import known_name
from buildsite.starting.answer_checks import check_answer, is_needed
from buildsite.starting.known_names import as_known
from buildsite.starting.surroundings import Surroundings
from buildsite.starting.typed_units import with_unit_taken, worded

KEYS = "Enter: accept the value in [ ], or leave blank   -: previous question"


def ask_all(
    around: Surroundings,
    kind: Kind[Any, Any],
    given: dict[str, str | None],
    *,
    defaults: bool,
) -> dict[str, str]:
    """Return what was given and what the archive knows, and ask for the rest."""
    answers = {name: value for name, value in given.items() if value is not None}
    refuse_unreadable(around, kind, answers)
    asks = [
        ask
        for ask in (kind.blank.asks if kind.blank is not None else ())
        if ask.name not in answers
    ]
    earlier: dict[str, str] = {}
    i = 0
    while i < len(asks):
        ask = asks[i]
        if ask.when is not None and not ask.when(answers):
            i += 1
            continue
        guess = around.known(kind, answers).get(ask.name, ask.default)
        guess = earlier.get(ask.name, guess)
        answer = guess if defaults else ask_until_fit(around, kind, answers, ask, guess)
        if answer == BACK:
            i = question_before(asks, i, answers)
            earlier |= {
                name: answers.pop(name) for name in (asks[i].name,) if name in answers
            }
            continue
        answers[ask.name] = answer
        answers = with_unit_taken(kind, answers, ask.name)
        i += 1
    return {**around.known(kind, answers), **answers}


BACK, BLANK = "-", " "


def question_before(asks: Sequence[Ask], i: int, answers: Mapping[str, str]) -> int:
    """Return the question answered before one; the same if there is none."""
    return next((j for j in reversed(range(i)) if asks[j].name in answers), i)


def refuse_unreadable(
    around: Surroundings, kind: Kind[Any, Any], answers: dict[str, str]
) -> None:
    """Refuse an invalid option; write names as they are known."""
    asks = kind.blank.asks if kind.blank is not None else ()
    for name in (ask.name for ask in asks if ask.name in answers):
        try:
            answers[name] = as_typed(around, kind, answers, name)
            answers |= with_unit_taken(kind, answers, name)
        except ValueError as unknown:
            raise click.UsageError(f"{option_of(name)}: {unknown}") from None
    for name in (one.name for one in asks if one.name in answers):
        if name == "project":
            continue
        for fault in check_answer(around, kind, answers, name).refused:
            raise click.UsageError(f"{option_of(name)}: {fault}.")


def as_typed(
    around: Surroundings, kind: Kind[Any, Any], answers: Mapping[str, str], name: str
) -> str:
    """Return an answer as its name is known: a method is that of the standard."""
    if name == "method":
        asks = kind.blank.asks if kind.blank is not None else ()
        usual = {ask.name: ask.default for ask in asks}
        answers = {**usual, **around.known(kind, answers), **answers}
    return as_known(around.archive, kind, answers, name)


def ask_until_fit(
    around: Surroundings,
    kind: Kind[Any, Any],
    answers: Mapping[str, str],
    ask: Ask,
    guess: str,
) -> str:
    """Ask until the answer is valid. A doubtful one is accepted if given twice."""
    doubted = ""
    while True:
        answer = prompt(replace(ask, words=worded(ask, answers)), guess)
        if not answer and not doubted and is_needed(around, kind, answers, ask.name):
            click.echo("  ? Required. Press Enter again to leave it blank.", err=True)
            doubted = BLANK
            continue
        if answer in (guess, BACK):
            return answer
        try:
            whole = {**answers, ask.name: answer}
            answer = as_typed(around, kind, whole, ask.name)
            whole = with_unit_taken(kind, {**answers, ask.name: answer}, ask.name)
        except ValueError as unknown:
            click.echo(f"  ! {unknown}", err=True)
            continue
        found = check_answer(around, kind, whole, ask.name)
        if not found.refused and (not found.doubts or answer == doubted):
            return answer
        doubted = answer
        for fault in found.refused:
            click.echo(f"  ! {fault}.", err=True)
        for fault in found.doubts if not found.refused else ():
            click.echo(f"  ? {fault}. Give the same answer again to keep it.", err=True)


def prompt(ask: Ask, guess: str) -> str:
    """Ask one question. Enter accepts the suggestion, or leaves the field blank."""
    answer = click.prompt(
        ask.words,
        default=guess,
        show_default=bool(guess),
        type=choice_of(ask),
        err=True,
    )
    return str(answer).strip()


class KnownChoice(click.Choice[str]):
    """A choice in the forms that people type: `Manual`, `3/8in`, `no 4`."""

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> str:
        """Return the choice that was meant, a blank or `-`; refuse with the list."""
        if value in ("", BACK):
            return str(value)
        with suppress(ValueError):
            value = known_name(str(value), tuple(map(str, self.choices)))
        return super().convert(value, param, ctx)


def choice_of(ask: Ask) -> click.Choice[str] | None:
    """Return the choices of a question, if any."""
    return KnownChoice(ask.choices) if ask.choices else None


def choose_id(
    archive: Archive,
    kind: Kind[Any, Any],
    answers: Mapping[str, str],
    id: str | None,
    *,
    defaults: bool,
) -> str:
    """Return the id given, else the one proposed, or another at the prompt."""
    guess = proposed_id(archive, kind, answers)
    if id is not None or defaults:
        id = guess if id is None else id
        fault = id_fault(archive, kind, id, guess)
        if fault:
            raise click.UsageError(fault)
        return id
    while True:
        id = str(click.prompt("Id", guess, err=True)).strip()
        fault = id_fault(archive, kind, id, guess)
        if not fault:
            return id
        click.echo(f"  ! {fault}", err=True)


def id_fault(archive: Archive, kind: Kind[Any, Any], id: str, guess: str) -> str:
    """Return why an id is invalid for a new record; blank if it is valid."""
    if not ID.fullmatch(id):
        return f"{id!r} can't be an id. Write one such as {guess}."
    if is_taken(archive, kind.group, id):
        return f"{id} is taken. Choose another --id."
    return ""
