"""A new calibration of a piece of equipment: its questions, its text, its checks."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import flow_text
from buildsite.kinds.blank import Answers, Ask, Condition, Measured, answered
from buildsite.kinds.kind import Kind
from buildsite.record.flags import Field, Flag, Severity
from buildsite.record.reading import PLAIN, day
from buildsite.record.set_reading import set_reading, value_at
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
class Judged:
    """What is said of an answer: why it is refused, and what may be doubted."""

    refused: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()


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


def judge(
    archive: Archive,
    file: str,
    asked: Sequence[Measured],
    answers: Answers,
    name: str,
) -> Judged:
    """Judge one answer by the record as it would be with it, and as it is without."""
    one = next(each for each in asked if each.ask.name == name)
    text, place = answers.get(name, ""), place_of(archive, file, one)
    if not text:
        flags = flags_with(archive, file, asked, answers) if one.ask.when else ()
        missing = any(flag.field == place and is_missing(flag) for flag in flags)
        return Judged(refused=("Required",) if missing else ())
    said = own_fault(archive, answers, name)
    if said:
        return Judged(refused=(said,))
    before = flags_with(archive, file, asked, {**answers, name: ""})
    known = {(flag.flag, flag.field) for flag in before}
    fresh = [
        flag
        for flag in flags_with(archive, file, asked, answers)
        if (flag.flag, flag.field) not in known
        and (flag.field[: len(place)] == place or is_above(flag, place))
    ]
    return Judged(
        tuple(
            f"{flag.found}; expected: {flag.expected}"
            for flag in fresh
            if flag.severity is Severity.ERROR
        ),
        (
            *unlike_before(archive, file, one, text),
            *(
                f"{flag.found}; expected: {flag.expected}; {flag.mend.split(';')[0]}"
                for flag in fresh
                if flag.severity is Severity.WARNING
            ),
        ),
    )


def place_of(archive: Archive, file: str, one: Measured) -> Field:
    """Return the field of an answer in the record as it will be."""
    there = archive.entry(file).source.tree.get("calibrations")
    count = len(there) if isinstance(there, list) else 0
    left = one.ask.name.startswith(LEFT)
    return ("calibrations", count + (1 if left else 0), *one.at)


def is_missing(flag: Flag) -> bool:
    """Whether a flag tells that a field is missing."""
    return flag.flag == "missing-field"


def is_above(flag: Flag, place: Field) -> bool:
    """Whether a flag is of the whole that an answer belongs to."""
    return place[: len(flag.field)] == flag.field and not is_missing(flag)


def flags_with(
    archive: Archive, file: str, asked: Sequence[Measured], answers: Answers
) -> tuple[Flag, ...]:
    """Return the flags of a record as it would be."""
    items = calibrations_of(asked, answers)
    data = with_calibrations(archive.entry(file).source, items)
    after = archive.with_files({file: data})
    made = after.outcome(file)
    return made.flags if made is not None else after.entry(file).flags


def own_fault(archive: Archive, answers: Answers, name: str) -> str:
    """Return why an answer is refused that no check of a record refuses."""
    text = answers[name]
    if name in DAYS:
        try:
            when = day(text)
        except ValueError:
            return f"{text!r} is not a date: write YYYY-MM-DD"
        on = answers.get("on", "")
        if name == "wrong_since" and on and when > day(on):
            return f"{text} is after the calibration on {on}"
        if name == "next_due" and on and when <= day(on):
            return f"{text} is not after the calibration on {on}"
    if name in ("by", "on"):
        return not_on_staff(archive, answers.get("by", ""), answers.get("on", ""))
    if name == "hand_rammer" and archive.find("equipment", text) is None:
        return f"no equipment {text} on file"
    return ""


def not_on_staff(archive: Archive, by: str, on: str) -> str:
    """Return why nobody of that code can have calibrated that day; else blank."""
    lab = archive.laboratory
    who = lab.staff.get(by) if lab is not None else None
    if lab is not None and by and who is None:
        return f"{by} is not a staff code: {', '.join(lab.staff)}"
    if who is None or on in ("", NO_DAY):
        return ""
    if (who.from_ and day(on) < who.from_) or (who.until and day(on) > who.until):
        days = f" from {who.from_}" if who.from_ else ""
        days += f" until {who.until}" if who.until else ""
        return f"{by} was not on the staff on {on}, but{days}"
    return ""


NO_DAY = "1900-01-01"
"""Stands in for the day of a calibration until it is known: a record needs one."""

MOST_UNLIKE = 1.25
"""A steady reading that is so many times the one before, or less, was mistyped: common
practice."""


def unlike_before(
    archive: Archive, file: str, one: Measured, text: str
) -> Iterator[str]:
    """Doubt a reading that is far from that of the last calibration with one."""
    tree = archive.entry(file).source.tree
    earlier = tree.get("calibrations")
    for item in reversed(earlier if isinstance(earlier, list) else []):
        was = value_at(item, one.at) if isinstance(item, dict) else None
        if one.steady and isinstance(was, str):
            try:
                times = Decimal(text) / Decimal(was)
            except (InvalidOperation, ZeroDivisionError):
                return
            if not 1 / MOST_UNLIKE <= times <= MOST_UNLIKE:
                yield f"{text}; {was} on {item.get('on')}; check the digits and unit"
            return


def dated(record: Any, on: date, *, found: bool) -> int | None:
    """
    Return the calibration of a day, the last written of several.

    `found`: one that found something, rather than one as left after it.
    """
    of_day = [i for i, one in enumerate(record.calibrations) if one.on == on]
    before = [i for i in of_day if record.calibrations[i].state != "as left"]
    chosen = before if found and before else of_day
    return chosen[-1] if chosen else None
