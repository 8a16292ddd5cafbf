"""The questions of `calibrate`, one at a time, each answer checked at once."""

import re
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

import click

from buildsite.archive.archive import Archive
from buildsite.archive.calibration_checks import NO_DAY, judge
from buildsite.archive.new_calibration import (
    ADJUSTED,
    LEFT,
    SINCE,
    Form,
    calibrations_of,
    facts_of,
    with_calibrations,
)
from buildsite.cli.common import at_terminal, option_of
from buildsite.cli.prompts import BACK, KEYS, ask_in_turn, prompt, show_check
from buildsite.kinds.blank import Ask
from buildsite.kinds.equipment.calibrations import in_force
from buildsite.kinds.equipment.due import usual_due
from buildsite.kinds.outcome import Outcome
from buildsite.record.reading import day
from buildsite.record.set_reading import value_at

KEPT = ("weighed_with", "set_temperature_c", "hand_rammer")
"""Answers that are likely those of the last calibration."""

OF_ANY_PART = ("container_volume",)
"""Answers that are likely those of the last calibration of any part."""

NEEDED = ("by", "on")


def ask_questions(
    of: tuple[Archive, Outcome],
    form: Form,
    given: Mapping[str, str],
    who_when: tuple[str, date],
    *,
    defaults: bool,
) -> dict[str, str]:
    """Return an answer to every question that applies: given, usual, or asked for."""
    _, made = of
    facts = facts_of(made.case.record)
    answers = {**facts, **{name: text.strip() for name, text in given.items()}}
    if any(name.startswith(LEFT) for name in given):
        answers[ADJUSTED.name] = "yes"
    refuse_misplaced(made, form, given)
    refuse_unfit(of, form, answers, given)
    if when_ahead(answers.get("on", ""), who_when[1]):
        raise click.UsageError(f"--on: {AHEAD}.")
    if not defaults and at_terminal():
        click.echo(KEYS, err=True)
    ask_rest(of, form, answers, who_when, defaults=defaults)
    missing = [name for name in NEEDED if not answers.get(name)]
    if missing:
        raise click.UsageError(f"--{missing[0]} is missing.")
    return {name: text for name, text in answers.items() if name not in facts}


def ask_rest(
    of: tuple[Archive, Outcome],
    form: Form,
    answers: dict[str, str],
    who_when: tuple[str, date],
    *,
    defaults: bool,
) -> None:
    """Ask what is not answered yet, in order; a dash goes one question back."""
    archive, made = of
    asks = [one.ask for one in form.asked if one.ask.name not in answers]

    def ask_one(ask: Ask, earlier: str | None) -> Mapping[str, str] | None:
        guess = earlier or usual(made, form, (ask, answers), who_when)
        if ask.name == SINCE.name and not defaults:
            show_found_wrong(archive, made, form, answers)
        while True:
            if defaults:
                return {ask.name: guess}
            answer = ask_until_fit(of, form, answers, (ask, guess))
            if answer == BACK:
                return None
            if ask.name != "on" or not when_ahead(answer, who_when[1]):
                return {ask.name: answer}
            click.echo(f"  ! {AHEAD}.", err=True)

    ask_in_turn(asks, answers, ask_one)


def refuse_misplaced(made: Outcome, form: Form, given: Mapping[str, str]) -> None:
    """Refuse an option that this kind of equipment has no question for."""
    known = {one.ask.name for one in form.asked}
    for name in given:
        if name not in known:
            title = made.kind.title.lower()
            raise click.UsageError(
                f"{option_of(name)}: {made.id} is a {title}, which has none."
            )


def refuse_unfit(
    of: tuple[Archive, Outcome],
    form: Form,
    answers: Mapping[str, str],
    given: Mapping[str, str],
) -> None:
    """Refuse an option that can't be kept; a doubtful one is told and kept."""
    archive, made = of
    choices = {one.ask.name: one.ask.choices for one in form.asked if one.ask.choices}
    for name in given:
        option = option_of(name)
        if name in choices and answers[name] not in choices[name]:
            raise click.UsageError(f"{option}: one of {', '.join(choices[name])}.")
        found = judge(archive, made.file, form, with_day(answers), name)
        for fault in found.refused:
            raise click.UsageError(f"{option}: {fault}.")
        for doubt in found.doubts:
            click.echo(f"  ? {option}: {doubt}", err=True)


AHEAD = "the day of a calibration is today or earlier"


def when_ahead(text: str, today: date) -> bool:
    """Whether a day is after today."""
    return bool(DAY.fullmatch(text)) and day(text) > today


DAY = re.compile(r"[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])")


def with_day(answers: Mapping[str, str]) -> dict[str, str]:
    """Return answers with a day, without which no record can be read."""
    return {"on": NO_DAY, **answers}


def usual(
    made: Outcome,
    form: Form,
    question: tuple[Ask, Mapping[str, str]],
    who_when: tuple[str, date],
) -> str:
    """Return the answer that is offered to a question."""
    tree, (ask, answers) = made.source.tree, question
    me, today = who_when
    if ask.name in ("by", "on"):
        return me if ask.name == "by" else today.isoformat()
    if ask.name == "next_due":
        return usual_due(form.series, day(answers["on"])).isoformat()
    name = ask.name.removeprefix(LEFT)
    if ask.name != name and name in KEPT:
        return answers.get(name, ask.default)  # as found
    if name in OF_ANY_PART:
        return next(reversed([*said_anywhere(tree, name)]), ask.default)
    last = in_force(form.series.calibrations, None)
    if name in KEPT and last is not None:
        item = value_at(tree, (*form.series.at, last)) or {}
        inside = value_at(item, ("comparison", name))
        return str(item.get(name) or inside or ask.default)
    return ask.default


def said_anywhere(tree: Any, name: str) -> Iterator[str]:
    """Yield what a record says of a field, wherever it stands in it."""
    if isinstance(tree, list):
        for one in tree:
            yield from said_anywhere(one, name)
    elif isinstance(tree, dict):
        for key, value in tree.items():
            if key == name and isinstance(value, str):
                yield value
            else:
                yield from said_anywhere(value, name)


def ask_until_fit(
    of: tuple[Archive, Outcome],
    form: Form,
    answers: Mapping[str, str],
    question: tuple[Ask, str],
) -> str:
    """Ask until the answer can be kept. A doubtful one is kept if given twice."""
    archive, made = of
    ask, guess = question
    doubted = ""
    while True:
        answer = prompt(ask, guess)
        if answer == BACK:
            return answer
        if not answer and ask.name in NEEDED:
            click.echo("  ! Required.", err=True)
            continue
        changed = with_day({**answers, ask.name: answer})
        found = judge(archive, made.file, form, changed, ask.name)
        if found.keeps(again=answer == doubted):
            return answer
        doubted = answer
        show_check(found)


def show_found_wrong(
    archive: Archive,
    made: Outcome,
    form: Form,
    answers: Mapping[str, str],
) -> None:
    """Say what the readings found wrong, before it is asked since when."""
    for line in found_wrong_lines(archive, made, form, answers):
        click.echo(line, err=True)


def found_wrong_lines(
    archive: Archive,
    made: Outcome,
    form: Form,
    answers: Mapping[str, str],
) -> Iterator[str]:
    """Return what the readings found wrong, and which tests it concerns."""
    from buildsite.archive.across import traces_of
    from buildsite.archive.dependents import dependents
    from buildsite.kinds.equipment.uses import by_equipment, found_wrong

    own: Any = {name: text for name, text in answers.items() if name != ADJUSTED.name}
    data = with_calibrations(made.source, calibrations_of(form.asked, own), form)
    after = archive.with_files({made.file: data})
    piece = after.piece(made.id)
    if piece is None:
        return
    uses = by_equipment(traces_of(after, dependents(after, [made.file])))
    for one in found_wrong(piece, uses.get(made.id, [])):
        if (one.look.series.at, one.look.index) == (form.series.at, form.index):
            what = "; ".join(fault.words for fault in one.faults)
            asks = "; ".join(fault.required for fault in one.faults)
            since = f" since {one.since}" if one.since else ""
            yield f"  ! Found wrong: {what}; expected: {asks}."
            if one.tests:
                yield f"    Tests that used it{since}: {', '.join(one.tests)}."
