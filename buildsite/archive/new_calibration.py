"""A new calibration of a piece of equipment: its questions, and its text."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from buildsite.archive.blanks import flow_text
from buildsite.kinds.blank import Answers, Ask, Condition, Measured, answered
from buildsite.kinds.kind import Kind
from buildsite.record.reading import PLAIN
from buildsite.record.set_reading import set_reading
from buildsite.record.source import Source, read_source
from buildsite.record.units import unit

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


def questions(kind: Kind[Any, Any], record: Any) -> tuple[Measured, ...]:
    """Return the questions for a calibration, in order, in the units of the record."""
    before, after = (BY, ON, STATE), (CERTIFICATE, SINCE, ADJUSTED)
    found = [in_units(one, record) for one in kind.measured or ()]
    left = [as_left(one, facts_of(record)) for one in found]
    return (
        *(Measured(ask, (ask.name,)) for ask in before),
        *found,
        *(Measured(ask, (ask.name,)) for ask in after),
        *left,
        Measured(NEXT_DUE, (NEXT_DUE.name,)),
    )


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


def with_calibrations(source: Source, items: Sequence[Mapping[str, Any]]) -> bytes:
    """Return the text of a record with calibrations added; every other byte stays."""
    there = source.tree.get("calibrations")
    count = len(there) if isinstance(there, list) else 0
    data = source.data
    for i, item in enumerate(items):
        field = ("calibrations", count + i)
        data = set_reading(read_source(source.file, data), field, one_line(item))
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


def dated(record: Any, on: date, *, found: bool) -> int | None:
    """
    Return the calibration of a day, the last written of several.

    `found`: one that found something, rather than one as left after it.
    """
    of_day = [i for i, one in enumerate(record.calibrations) if one.on == on]
    before = [i for i in of_day if record.calibrations[i].state != "as left"]
    chosen = before if found and before else of_day
    return chosen[-1] if chosen else None
