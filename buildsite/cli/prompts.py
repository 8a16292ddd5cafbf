"""Questions at a prompt, one after another; a dash goes one back."""

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from typing import Any

import click

from buildsite.kinds.blank import AnswerCheck, Ask
from buildsite.record.reasons import A_REASON, is_reason
from buildsite.record.typed_names import known_name

KEYS = "Enter: accept the value in [ ], or leave blank   -: previous question"
BACK, HELP = "-", "?"
AWAY = "Ctrl-C: leave, and write nothing."

AskOne = Callable[[Ask, str | None], Mapping[str, str] | None]
"""
Returns what an answer adds to the answers; None: back to the question before.

Given are the question, and what was answered to it before somebody went back.
"""


def ask_in_turn(asks: Sequence[Ask], answers: dict[str, str], ask_one: AskOne) -> None:
    """Ask the questions that apply, in order, and add to the answers."""
    earlier: dict[str, str] = {}
    i = 0
    while i < len(asks):
        ask = asks[i]
        if ask.when is not None and not ask.when(answers):
            i += 1
            continue
        added = ask_one(ask, earlier.get(ask.name))
        if added is None:
            i = question_before(asks, i, answers)
            earlier[asks[i].name] = answers.pop(asks[i].name, "")
        else:
            answers |= added
            i += 1


def question_before(asks: Sequence[Ask], i: int, answers: Mapping[str, str]) -> int:
    """Return the question answered before one; the same if there is none."""
    return next((j for j in reversed(range(i)) if asks[j].name in answers), i)


def prompt(ask: Ask, guess: str) -> str:
    """Ask one question. Enter accepts the suggestion, or leaves the field blank."""
    while True:
        answer = click.prompt(
            ask.words,
            default=guess,
            show_default=bool(guess),
            type=choice_of(ask),
            err=True,
        )
        if str(answer).strip() != HELP:
            return str(answer).strip()
        click.echo(f"  {KEYS}\n  {AWAY}", err=True)


def ask_reason(usual: str | None = None) -> str:
    """Ask for the reason of a change until it is one."""
    words = "Reason (recorded with the change)"
    while True:
        answer = str(click.prompt(words, usual, err=True)).strip()
        if is_reason(answer):
            return answer
        click.echo(f"  ! {answer!r} is no reason. {A_REASON}", err=True)


def show_check(check: AnswerCheck) -> None:
    """Write why an answer is refused, else what is doubted of it."""
    for fault in check.refused:
        click.echo(f"  ! {fault}.", err=True)
    for doubt in check.doubts if not check.refused else ():
        click.echo(f"  ? {doubt}. Give the same answer again to keep it.", err=True)


class KnownChoice(click.Choice[str]):
    """A choice in the forms that people type: `Manual`, `3/8in`, `no 4`."""

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> str:
        """Return the choice that was meant, a blank or `-`; refuse with the list."""
        if value in ("", BACK, HELP):
            return str(value)
        with suppress(ValueError):
            value = known_name(str(value), tuple(map(str, self.choices)))
        return super().convert(value, param, ctx)


def choice_of(ask: Ask) -> click.Choice[str] | None:
    """Return the choices of a question, if any."""
    return KnownChoice(ask.choices) if ask.choices else None
