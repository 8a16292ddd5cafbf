"""A new calibration of a piece of equipment: its questions, and its text."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from buildsite.archive.blanks import flow_text
from buildsite.kinds.blank import (
    EVERY_QUESTION,
    Answers,
    Ask,
    Condition,
    Measured,
    Occasion,
    answered,
)
from buildsite.kinds.equipment.calibrations import Series, series_of
from buildsite.kinds.kind import Kind
from buildsite.record.flags import Field
from buildsite.record.reading import PLAIN
from buildsite.record.set_reading import add_item, set_reading
from buildsite.record.source import Source, read_source
from buildsite.record.units import unit
from buildsite.values import dataclass

LEFT = "left_"
"""Begins the names of the readings as left, after an adjustment."""

BY = Ask("by", "Calibrated by, staff code")
ON = Ask("on", "Calibrated on (YYYY-MM-DD)")
STATE = Ask("state", "State", "as found", ("as found", "as left"))
CERTIFICATE = Ask("certificate", "Certificate (Enter: none)")
SINCE = Ask(
    "wrong_since",
    "Wrong since (YYYY-MM-DD; Enter: found right, or the day is not known)",
    when=answered("state", "as found"),
)
ADJUSTED = Ask(
    "adjusted",
    "Was it adjusted or repaired, and measured again",
    "no",
    ("no", "yes"),
    when=answered("state", "as found"),
)
NEXT_DUE = Ask("next_due", "Next due on (YYYY-MM-DD)")
COMMON = (BY, ON, STATE, CERTIFICATE, SINCE, ADJUSTED, NEXT_DUE)
"""The questions of any equipment."""

DAYS = ("on", "wrong_since", "next_due")


@dataclass(frozen=True)
class Form:
    """
    The questions of one new calibration, in order, and the list that it joins.

    `named` are the field and the name of a part that is new to the record.
    """

    asked: tuple[Measured, ...]
    series: Series
    named: tuple[str, str] | None = None

    @property
    def index(self) -> int:
        """The place of the calibration in its list."""
        return len(self.series.calibrations)

    @property
    def is_whole(self) -> bool:
        """Whether it is of the equipment, and of no occasion besides."""
        return self.series.at == ("calibrations",)


def form_of(
    kind: Kind[Any, Any], record: Any, occasion: Occasion | None = None, part: str = ""
) -> Form:
    """Return the form for a calibration, in the units of the record."""
    series, named = series_for(record, occasion, part)
    measured = occasion.measured if occasion else kind.measured or ()
    asks = occasion.asks if occasion else EVERY_QUESTION
    before = [one for one in (BY, ON, STATE) if one.name in asks]
    after = [one for one in (CERTIFICATE, SINCE, ADJUSTED) if one.name in asks]
    found = [in_units(one, record) for one in measured]
    facts = facts_of(record)
    left = [as_left(one, facts) for one in found] if ADJUSTED in after else []
    due = (NEXT_DUE,) if occasion is None or occasion.due else ()
    asked = (
        *(Measured(ask, (ask.name,)) for ask in before),
        *found,
        *(Measured(ask, (ask.name,)) for ask in after),
        *left,
        *(Measured(ask, (ask.name,)) for ask in due),
    )
    return Form(asked, series, named)


def series_for(
    record: Any, occasion: Occasion | None, part: str
) -> tuple[Series, tuple[str, str] | None]:
    """Return the series that a calibration joins; the name of a part that is new."""
    if occasion is None:
        return series_of(record)[0], None
    at: Field = (occasion.at,)
    named = None
    if occasion.part is not None:
        field, lines = occasion.part.name, getattr(record, occasion.parts)
        names = [getattr(one, field) for one in lines]
        named = None if part in names else (field, part)
        at = (occasion.parts, names.index(part) if part in names else len(names), *at)
    found = next((one for one in series_of(record) if one.at == at), None)
    if found is not None:
        return found, named
    there = () if occasion.part is not None else getattr(record, occasion.at)
    return Series(at, there, part, interval=occasion.interval), named


def in_units(one: Measured, record: Any) -> Measured:
    """Return a question with the record's units in its words."""
    units = {name: unit(text).shown for name, text in record.units}
    return replace(one, ask=replace(one.ask, words=one.ask.words.format(**units)))


def as_left(one: Measured, facts: Answers) -> Measured:
    """Return a question about a reading as found as that about the reading as left."""
    ask = replace(
        one.ask,
        name=f"{LEFT}{one.ask.name}",
        words=f"As left: {one.ask.words[:1].lower()}{one.ask.words[1:]}",
        when=left_condition(one.ask.when, facts),
    )
    return replace(one, ask=ask)


def left_condition(when: Condition | None, facts: Answers) -> Condition:
    """Return the condition of a question about a reading as left."""

    def asked(answers: Answers) -> bool:
        left = {name.removeprefix(LEFT): text for name, text in answers.items()}
        adjusted = answers.get(ADJUSTED.name) == "yes"
        return adjusted and (when is None or when({**answers, **left, **facts}))

    return asked


def facts_of(record: Any) -> dict[str, str]:
    """Return what the record says of the equipment itself, for the questions."""
    names = ("face", "operation")
    return {name: getattr(record, name) for name in names if hasattr(record, name)}


def calibrations_of(
    asked: Sequence[Measured], answers: Answers
) -> list[dict[str, Any]]:
    """Return the new calibrations as data: as found, and as left if it was adjusted."""
    adjusted = answers.get(ADJUSTED.name) == "yes"
    items = [calibration(asked, answers, left=False)]
    if adjusted:
        items.append(calibration(asked, answers, left=True))
    return items


def calibration(
    asked: Sequence[Measured], answers: Answers, *, left: bool
) -> dict[str, Any]:
    """Return one calibration: what any has, and its own readings."""
    head = ("on", "by", "next_due", "state", *(() if left else ("wrong_since",)))
    state = {"state": "as left"} if left else {}
    item: dict[str, Any] = {
        name: text for name in head if (text := {**answers, **state}.get(name))
    }
    common = {ask.name for ask in COMMON}
    for one in asked:
        name = one.ask.name
        if name in common or name.startswith(LEFT) is not left or not answers.get(name):
            continue
        split = one.ask.split
        put(item, one.at, split(answers[name]) if split else answers[name])
    if answers.get("certificate"):
        item["certificate"] = answers["certificate"]
    return item


def put(item: dict[str, Any], at: Sequence[str], value: Any) -> None:
    """Put a value into a mapping, with the mappings on its way."""
    for name in at[:-1]:
        item = item.setdefault(name, {})
    item[at[-1]] = value


def with_calibrations(
    source: Source, items: Sequence[Mapping[str, Any]], form: Form
) -> bytes:
    """Return the text of a record with calibrations added; every other byte stays."""
    data = source.data
    *above, name = form.series.at
    for i, item in enumerate(items):
        value, now = one_line(item), read_source(source.file, data)
        if form.named is not None and not i:
            head = f"{form.named[0]}: {flow_text(form.named[1])}"
            lines = (head, f"{name}:", f"  - {value}")
            whole = f"{{{head}, {name}: [{value}]}}"
            data = add_item(now, tuple(above[:-1]), lines, whole)
        else:
            data = set_reading(now, (*form.series.at, form.index + i), value)
    return data


def one_line(item: Any) -> str:
    """
    Return a calibration on one line of YAML; a number stays a number.

    >>> one_line({"on": "2026-05-12", "largest_error": "-0.4"})
    '{on: 2026-05-12, largest_error: -0.4}'
    """
    if isinstance(item, Mapping):
        parts = [f"{name}: {one_line(value)}" for name, value in item.items()]
        return f"{{{', '.join(parts)}}}"
    if isinstance(item, list):
        return f"[{', '.join(map(one_line, item))}]"
    return item if PLAIN.fullmatch(item) else flow_text(item)


def dated(series: Series, on: date, *, found: bool) -> int | None:
    """
    Return the calibration of a day, the last written of several.

    `found`: one that found something, rather than one as left after it.
    """
    calibrations = series.calibrations
    of_day = [i for i, one in enumerate(calibrations) if one.on == on]
    before = [i for i in of_day if calibrations[i].state != "as left"]
    chosen = before if found and before else of_day
    return chosen[-1] if chosen else None
