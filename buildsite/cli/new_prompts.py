"""Questions of `new`: each answer is checked before the next question."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import click

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import is_taken, proposed_id
from buildsite.cli.common import option_of
from buildsite.cli.prompts import AWAY, BACK, ask_in_turn, prompt, show_check
from buildsite.kinds.blank import Ask
from buildsite.kinds.kind import Kind
from buildsite.record.letters import ID
from buildsite.starting.answer_checks import Need, check_answer, is_needed
from buildsite.starting.known_names import as_known
from buildsite.starting.surroundings import Surroundings
from buildsite.starting.typed_units import with_unit_taken, worded


def ask_all(
    around: Surroundings,
    kind: Kind[Any, Any],
    given: dict[str, str | None],
    *,
    defaults: bool,
    may_lack: bool = False,
) -> dict[str, str]:
    """
    Return what was given and what the archive knows, and ask for the rest.

    `may_lack`: no record will be read of the answers, only a table made.
    """
    answers = {name: value for name, value in given.items() if value is not None}
    refuse_unreadable(around, kind, answers)
    if defaults and not may_lack and kind.group == "equipment":
        refuse_without_needed(around, kind, answers)
    asks = [
        ask
        for ask in (kind.blank.asks if kind.blank is not None else ())
        if ask.name not in answers
    ]

    def ask_one(ask: Ask, earlier: str | None) -> Mapping[str, str] | None:
        known = around.known(kind, answers).get(ask.name, ask.default)
        guess = known if earlier is None else earlier
        answer = guess if defaults else ask_until_fit(around, kind, answers, ask, guess)
        if answer == BACK:
            return None
        return with_unit_taken(kind, {**answers, ask.name: answer}, ask.name)

    ask_in_turn(asks, answers, ask_one)
    return {**around.known(kind, answers), **answers}


BLANK = " "
"""In the place of a doubted answer: a required question was left blank."""
BLANK_LINES = {
    Need.SOME_DAY: "  ? Required. Press Enter again to leave it blank.",
    Need.TO_BE_READ: f"  ! Required: the record can't be read without it. {AWAY}",
}


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


def refuse_without_needed(
    around: Surroundings, kind: Kind[Any, Any], answers: Mapping[str, str]
) -> None:
    """Refuse equipment that can't be read, such as undated: nothing will be asked."""
    asks = kind.blank.asks if kind.blank is not None else ()
    left = [ask.name for ask in asks if not (answers.get(ask.name) or ask.default)]
    lacks = [
        option_of(name)
        for name in left
        if is_needed(around, kind, answers, name) is Need.TO_BE_READ
    ]
    if lacks:
        raise click.UsageError(
            f"Missing, and --defaults asks for nothing: {', '.join(lacks)}. The "
            "record can't be read without. Nothing was written."
        )


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
        need = Need.NONE if answer else is_needed(around, kind, answers, ask.name)
        if need is Need.TO_BE_READ or (need is Need.SOME_DAY and not doubted):
            click.echo(BLANK_LINES[need], err=True)
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
        if found.keeps(again=answer == doubted):
            return answer
        doubted = answer
        show_check(found)


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
