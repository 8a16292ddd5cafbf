"""
An answer judged at once: the record computed as if it stood.

What no record may hold is refused. What a record may hold and a person should look at
again is a doubt: read again, or kept with a reason.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import quoted
from buildsite.archive.identity import name_of
from buildsite.entering.questions import Question
from buildsite.kinds.bench_spec import Bench, Reading
from buildsite.kinds.outcome import Outcome
from buildsite.record.flags import Doubt, Field, Flag, Severity
from buildsite.record.reading import resolution
from buildsite.record.set_field import CannotAmend
from buildsite.record.set_reading import set_reading, value_at
from buildsite.record.source import Source
from buildsite.values import dataclass

CLOCK = re.compile(r"([01]?[0-9]|2[0-3])[:.h]([0-5][0-9])")
"""A time of the day, as a person writes it: 15:20, 15.20, 8h05."""

DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


@dataclass(frozen=True)
class RecordState:
    """A record as one state of its text has it."""

    source: Source
    outcome: Outcome | None
    flags: tuple[Flag, ...]
    bench: Bench | None


@dataclass(frozen=True)
class WorkingRecord:
    """The record that is worked on, who works on it, and the archive around it."""

    file: str
    archive: Archive
    by: str
    on: date

    def state(self, data: bytes) -> RecordState:
        """Compute the record as it would be with this text."""
        archive = self.archive.with_files({self.file: data})
        made = archive.outcome(self.file)
        entry = archive.entry(self.file)
        lay_out = made.kind.bench if made is not None else None
        bench = lay_out(made.case) if lay_out is not None and made is not None else None
        flags = made.flags if made is not None else entry.flags
        return RecordState(entry.source, made, flags, bench)


def with_choices(record: WorkingRecord, question: Question) -> Question:
    """Put what the archive has to choose from into a question about equipment."""
    reading = question.reading
    if reading.takes != "equipment" or not reading.of:
        return question
    archive = record.archive
    ids = [
        name_of(file)
        for file in archive.files("equipment")
        if (kind := archive.entry(file).kind) is not None and kind.name == reading.of
    ]
    if len(ids) > MOST_OFFERED:
        return question
    return replace(question, reading=replace(reading, choices=tuple(ids)))


MOST_OFFERED = 9
"""More choices than this are not read at a bench, nor given by one key."""


@dataclass(frozen=True)
class Verdict:
    """
    What became of an answer.

    `state` is the record with it, None where it was refused; `value` what is written.
    """

    state: RecordState | None
    value: str
    refused: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()


def judge_answer(
    record: WorkingRecord, state: RecordState, question: Question, answer: str
) -> Verdict:
    """
    Judge an answer: put it into the text, compute, and see what is said of it.

    Parameters
    ----------
    record, state
        The record as it stands.
    question
        What was asked.
    answer
        As typed. A leading plus adds a reading to those that stand.
    """
    reading = question.reading
    text = answer.removeprefix("+").strip() if reading.several else answer
    try:
        value = answer_text(reading, text, record.on)
        whole = value
        if answer.startswith("+") and reading.several:
            whole = append_reading(value_at(state.source.tree, question.field), value)
        after = record.state(set_reading(state.source, question.field, whole))
    except (CannotAmend, ValueError) as fault:
        return Verdict(None, text, (str(fault),))
    if after.outcome is None:
        refused = tuple(flag_text(flag) for flag in new_flags(state, after))
        return Verdict(None, text, refused or (UNREADABLE,))
    doubts: tuple[str | Doubt, ...] = (
        *too_coarse(state, question, text),
        *(
            flag_text(flag)
            for flag in new_flags(state, after)
            if concerns(flag, question)
        ),
        *(after.bench.odd(question.field) if after.bench is not None else ()),
    )
    return Verdict(after, value, (), tuple(dict.fromkeys(map(doubt_text, doubts))))


UNREADABLE = "The record could not be read with it."


def answer_text(reading: Reading, text: str, on: date) -> str:
    """
    Write an answer as the record has it.

    Raises
    ------
    ValueError
        If it is none of the choices.
    """
    if reading.takes == "choice":
        return quoted(pick_choice(reading, text))
    if reading.takes == "equipment" and text.isdigit() and reading.choices:
        return quoted(pick_choice(reading, text))
    if reading.takes == "time":
        return time_text(text, on)
    if reading.takes == "text" and text.isdigit():
        return f'"{text}"'  # a label, not a number
    return quoted(text)


def time_text(text: str, on: date) -> str:
    """
    Write a time of the day of the sitting, or of the day that stands before it.

    Raises
    ------
    ValueError
        If it is no time.
    """
    day, _, clock = text.replace("T", " ").rpartition(" ")
    found = CLOCK.fullmatch(clock)
    if not found or (day and not DAY.fullmatch(day)):
        raise ValueError(
            f"{text!r} is no time. Write 15:20, or with another day 2026-03-11 07:55."
        )
    return f"{day or on}T{found[1]:>02}:{found[2]}"


def pick_choice(reading: Reading, text: str) -> str:
    """
    Find what was chosen: by its number, its name, or the beginning of it.

    Raises
    ------
    ValueError
        If it is none, or could be several.
    """
    if text in reading.choices:
        return text
    if text.isdigit() and 1 <= int(text) <= len(reading.choices):
        return reading.choices[int(text) - 1]
    begun = [one for one in reading.choices if text and one.startswith(text.lower())]
    if len(begun) != 1:
        raise ValueError(f"{text!r} is none of: {', '.join(reading.choices)}.")
    return begun[0]


def append_reading(standing: Any, value: str) -> str:
    """
    Add a reading to those that stand.

    >>> [append_reading(x, "3") for x in ("1", ["1", "2"], None)]
    ['[1, 3]', '[1, 2, 3]', '3']
    """
    if standing is None:
        return value
    before = standing if isinstance(standing, list) else [standing]
    return f"[{', '.join([*map(str, before), value])}]"


def new_flags(before: RecordState, after: RecordState) -> Iterator[Flag]:
    """Flags that came with the answer."""
    known = {(flag.flag, flag.field) for flag in before.flags}
    for flag in after.flags:
        if (flag.flag, flag.field) not in known:
            yield flag


def concerns(flag: Flag, question: Question) -> bool:
    """Whether a flag is about this answer: an error, or a warning at its place."""
    if flag.severity is Severity.NOTE or flag.accepted_by:
        return False
    lead = question.lead
    same = flag.field[: len(lead)] == lead or lead[: len(flag.field)] == flag.field
    return flag.severity is Severity.ERROR or (same and bool(flag.field))


def flag_text(flag: Flag) -> str:
    """Say a flag to the person who just read the balance."""
    return f"{flag.found}; expected {flag.expected} ({flag.flag})"


def doubt_text(doubt: str | Doubt) -> str:
    """Say a doubt in one line."""
    if isinstance(doubt, str):
        return doubt
    return f"{doubt.found}; expected {doubt.expected}"


def too_coarse(state: RecordState, question: Question, text: str) -> Iterator[str]:
    """Doubt a reading to fewer places than the method asks, unless the column has."""
    step, reading = question.reading.resolution, question.reading
    try:
        last = resolution(Decimal(text))
    except InvalidOperation:
        return
    if step is None or reading.takes != "number" or last <= step:
        return
    others = column_readings(state.source.tree, question.field)
    if any(resolution(other) >= last for other in others):
        return  # asked and answered before
    basis = f" ({reading.basis})" if reading.basis else ""
    yield (
        f"read to {last} {reading.unit}; expected {step} {reading.unit} or finer{basis}"
    )


def column_readings(tree: Any, field: Field) -> Iterator[Decimal]:
    """Readings of the same name on the other lines of a list."""
    for depth, part in enumerate(field):
        lines = value_at(tree, field[:depth])
        if not isinstance(part, int) or not isinstance(lines, list):
            continue
        for i in range(len(lines)):
            value = value_at(tree, (*field[:depth], i, *field[depth + 1 :]))
            for one in value if isinstance(value, list) else [value]:
                if i != part and isinstance(one, str):
                    try:
                        yield Decimal(one)
                    except InvalidOperation:
                        continue
        return


def add_remark(state: RecordState, question: Question, value: str, why: str) -> bytes:
    """
    Write into the remarks that a doubted reading was kept, and why.

    A remark, never an `accepted` entry: that one covers a flag wherever the record
    raises it, now and later, and is for somebody with authority who saw the whole test.
    The flag itself stays open until then.
    """
    where = question.line.lower() or question.title.lower()
    words = f"{where}, {question.reading.words.lower()} {value}: kept, {why}"
    before = value_at(state.source.tree, ("remarks",))
    text = f"{before}; {words}" if before else words
    return set_reading(state.source, ("remarks",), quoted(text))
