"""What `calibrate` enters of equipment that has several things to enter."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

import click

from buildsite.archive.new_calibration import dated
from buildsite.cli.common import option_of
from buildsite.cli.prompts import BACK, prompt
from buildsite.kinds.blank import Ask, Occasion
from buildsite.kinds.equipment.calibrations import Series, series_of
from buildsite.kinds.kind import Kind
from buildsite.kinds.outcome import Outcome
from buildsite.record.messages import join_choices

WHAT = "what"


def what_words(kinds: Iterable[Kind[Any, Any]]) -> str:
    """Return the help of the option that names what is entered."""
    names = join_choices([one.name for kind in kinds for one in kind.occasions])
    return f"What to enter, of equipment that has several things: {names}"


def parts_of(kind: Kind[Any, Any]) -> dict[str, Ask]:
    """Return the questions for a part of the equipment, by their names."""
    asks = (one.part for one in kind.occasions)
    return {ask.name: ask for ask in asks if ask is not None}


def take(given: dict[str, str], made: Outcome, *, defaults: bool) -> Any:
    """
    Return what to enter and of which part, and take both out of the answers.

    The first question, unless an option names it or fits only one of them.
    """
    kind = made.kind
    named = {name: given.pop(name, "") for name in (WHAT, *parts_of(kind))}
    if not kind.occasions:
        if named[WHAT]:
            title = kind.title.lower()
            raise click.UsageError(
                f"{option_of(WHAT)}: {made.id} is a {title}, which has none."
            )
        return None, ""
    asking = not defaults
    occasion = chosen(kind, named[WHAT], {**given, **named}, asking=asking)
    ask = occasion.part
    extra = [name for name, text in named.items() if text and name != WHAT]
    if ask is None:
        if extra:
            raise click.UsageError(f"{option_of(extra[0])}: not with {occasion.name}.")
        return occasion, ""
    return occasion, named[ask.name] or part_asked(made, occasion, ask, asking=asking)


def chosen(
    kind: Kind[Any, Any], what: str, given: Mapping[str, str], *, asking: bool
) -> Occasion:
    """Return what is to be entered: named, fitting the options, or asked for."""
    by_name = {one.name: one for one in kind.occasions}
    if what:
        if what not in by_name:
            names = join_choices(list(by_name))
            raise click.UsageError(f"{option_of(WHAT)}: one of {names}.")
        return by_name[what]
    said = {name for name, text in given.items() if text}
    fitting = [one for one in kind.occasions if said & names_of(one)]
    guess = fitting[0] if fitting else kind.occasions[0]
    if fitting or not asking:
        return guess
    words = "; ".join(f"{one.name}: {one.words}" for one in kind.occasions)
    click.echo(words, err=True)
    while True:
        answer = prompt(Ask(WHAT, "What to enter", choices=tuple(by_name)), guess.name)
        if answer != BACK:
            return by_name[answer]


def names_of(one: Occasion) -> set[str]:
    """Return the questions that tell an occasion from the others."""
    return {each.ask.name for each in one.measured} | (
        {one.part.name} if one.part is not None else set()
    )


def part_asked(made: Outcome, occasion: Occasion, ask: Ask, *, asking: bool) -> str:
    """Return the part: the one that falls due first, or as is typed."""
    guess = first_due(made.case.record, occasion)
    if not asking:
        if not guess:
            raise click.UsageError(f"{option_of(ask.name)} is missing.")
        return guess
    lines = getattr(made.case.record, occasion.parts)
    there = [getattr(one, ask.name) for one in lines]
    doubted = ""
    while True:
        answer = prompt(ask, guess)
        if answer and (answer in there or not there or answer == doubted):
            return answer
        if answer and answer != BACK:
            doubted = answer
            on_file = ", ".join(there)
            click.echo(
                f"  ? {answer} is new; on file: {on_file}. Give the same answer again "
                "to keep it.",
                err=True,
            )


def first_due(record: Any, occasion: Occasion) -> str:
    """Return the part in service that falls due first; blank if there is none."""
    found = [
        (last_due(one), one.part)
        for one in series_of(record)
        if one.part and one.at[0] == occasion.parts and one.out_of_use is None
    ]
    return min(found)[1] if found else ""


def last_due(series: Series) -> date:
    """Return the due date of the calibration made last; the first day for none."""
    last = max(series.calibrations, key=lambda one: one.on, default=None)
    return date.min if last is None else last.next_due or last.on


def series_marked(
    made: Outcome, given: dict[str, str], on: date, *, found: bool
) -> tuple[Series, int]:
    """Return the calibration of a day that is to be marked, named by what it is of."""
    what, id = given.pop(WHAT, ""), made.id
    parts = [text for name in parts_of(made.kind) if (text := given.pop(name, ""))]
    every = series_of(made.case.record)
    named = [one for one in made.kind.occasions if one.name == what]
    if what and not named:
        names = join_choices([one.name for one in made.kind.occasions])
        raise click.UsageError(f"{option_of(WHAT)}: one of {names or 'none'}.")
    lists = {(one.at, one.parts) for one in named}
    fitting = [
        (one, index)
        for one in every
        if (not what or (one.at[-1], one.at[0] if one.part else "") in lists)
        and (not parts or one.part in parts)
        and (index := dated(one, on, found=found)) is not None
    ]
    if not fitting:
        days = ", ".join(str(each.on) for one in every for each in one.calibrations)
        raise click.UsageError(
            f"{id} has no calibration of {on}. On file: {days or 'none'}."
        )
    if len(fitting) > 1:
        these = join_choices([one.again for one, _ in fitting])
        raise click.UsageError(f"{id} has several of {on}; give {these}.")
    return fitting[0]
