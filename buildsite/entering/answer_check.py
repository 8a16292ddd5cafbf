"""
The check of an answer: the record is computed with it before it is saved.

An answer that no record may hold is refused. An unusual one is doubted: it is read
again, or kept with a reason.
"""

import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import quoted
from buildsite.archive.earlier_containers import container_doubts, weighings
from buildsite.entering.answer_forms import (
    BLANK,
    FORMS,
    acceptance_text,
    as_on_staff_list,
    peak_text,
    rejection_text,
    repeatability_text,
    test_named,
)
from buildsite.entering.line_acts import Made, act_to_state, with_act
from buildsite.entering.messages import is_numbered
from buildsite.entering.questions import Question, stands_at
from buildsite.kinds.bench_spec import Bench, Reading
from buildsite.kinds.outcome import Outcome
from buildsite.record.flags import Doubt, Field, Flag, Severity, field_label, new_flags
from buildsite.record.messages import about_comma
from buildsite.record.reading import resolution
from buildsite.record.set_field import CannotAmend
from buildsite.record.set_reading import set_reading, value_at
from buildsite.record.source import Source, read_source
from buildsite.record.typed_names import known_name
from buildsite.values import dataclass

CLOCK = re.compile(r"([01]?[0-9]|2[0-3])[:.h]([0-5][0-9])")
"""A time of day as typed: 15:20, 15.20, 8h05."""

WITH_UNIT = re.compile(r"[-+]?[0-9]+([.,][0-9]+)? ?[A-Za-z°%µ][^ ]*")
"""A number with its unit behind it: 8.084 kg, 25°C."""

DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


@dataclass(frozen=True)
class RecordState:
    """The record computed from one state of its text."""

    source: Source
    outcome: Outcome | None
    flags: tuple[Flag, ...]
    bench: Bench | None


@dataclass(frozen=True)
class WorkingRecord:
    """
    The record, its archive, and who enters what on which day.

    `about`: None for readings, else the part of the particulars; empty: all of them.
    `made`: the day and the person that were stated for the lines made in this session.
    """

    file: str
    archive: Archive
    by: str
    on: date
    about: str | None = None
    made: Made | None = None

    @property
    def made_now(self) -> Made:
        """Return the day and the person of a line that is made in this session."""
        return self.made or (self.on.isoformat(), self.by)

    def state(self, data: bytes) -> RecordState:
        """Compute the record with this text."""
        archive = self.archive.with_files({self.file: data})
        made = archive.outcome(self.file)
        entry = archive.entry(self.file)
        bench = self.bench_of(made) if made is not None else None
        flags = made.flags if made is not None else entry.flags
        return RecordState(entry.source, made, flags, bench)

    def bench_of(self, made: Outcome) -> Bench | None:
        """Return the questions for a record: its bench sheet, or its particulars."""
        kind = made.kind
        if self.about is None:
            return kind.bench(made.case) if kind.bench is not None else None
        return kind.particulars(made.case, self.about) if kind.particulars else None


@dataclass(frozen=True)
class CheckedAnswer:
    """
    The result of a check of an answer.

    `state` is the record with it, None where refused; `value` the text to write.
    `impossible`: a doubt is an error of the record, which stands if it is kept, or as
    grave as one.
    """

    state: RecordState | None
    value: str
    refused: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    impossible: bool = False


def check_answer(
    record: WorkingRecord, state: RecordState, question: Question, answer: str
) -> CheckedAnswer:
    """
    Check an answer as typed: write it, compute, and collect new flags and doubts.

    A leading plus adds a reading to those already entered.
    """
    reading = question.reading
    text = answer.removeprefix("+").strip() if reading.several else answer
    stands = stands_at(state.source.tree, question.field)
    try:
        value = written_answer(record, reading, text, stands)
        if not value and stands is None:
            return CheckedAnswer(state, value)  # blank already
        whole = value
        if answer.startswith("+") and reading.several:
            whole = append_reading(stands, value)
        after = record.state(with_answer(record, state, question, whole))
    except (CannotAmend, ValueError) as fault:
        return CheckedAnswer(None, text, (str(fault),))
    fresh = new_flags(after.flags, state.flags)
    if after.outcome is None:
        refused = tuple(refusal(flag, question) for flag in fresh)
        return CheckedAnswer(None, text, refused or (UNREADABLE,))
    raised = [flag for flag in fresh if concerns(flag, question)]
    doubts: tuple[str | Doubt, ...] = (
        *too_coarse(state, question, text),
        *like_a_mass(record, question, text),
        *whole_gravity(question, value),
        *chosen_by_number(question, text, value),
        *(elsewhere(flag, question) + flag_text(flag) for flag in raised),
        *(after.bench.odd(question.field) if after.bench is not None else ()),
        *container_doubts(record.archive, after.outcome, question.field),
    )
    words = tuple(dict.fromkeys(map(doubt_text, doubts)))
    grave = [str(flag.severity) for flag in raised]
    grave += [str(doubt.severity) for doubt in doubts if isinstance(doubt, Doubt)]
    impossible = str(Severity.ERROR) in grave
    return CheckedAnswer(after, value, (), words, impossible)


def written_answer(
    record: WorkingRecord, reading: Reading, text: str, stands: Any
) -> str:
    """Return an answer as the record has it; nothing where it is made blank."""
    if text.lower() == BLANK:
        return ""
    if reading.takes == "repeatability":
        return repeatability_text(reading, text)
    if reading.takes == "rejection":
        return rejection_text(record.by, text)
    if reading.takes == "acceptance":
        return acceptance_text(reading, record.by, text)
    if reading.takes == "peak":
        return text  # with who drew it and why: `with_answer`
    if reading.takes in FORMS:
        return FORMS[reading.takes](reading, text, stands)
    if reading.takes == "code":
        text = as_on_staff_list(record.archive, text)
    return answer_text(reading, text, record.on)


def with_answer(
    record: WorkingRecord, state: RecordState, question: Question, value: str
) -> bytes:
    """Return the record's text with an answer, and what a new line begins with."""
    lead, source = question.lead, state.source
    if question.reading.takes in ("acceptance", "repeatability"):
        return set_reading(source, lead, value)  # with who and why it is one entry
    if question.reading.takes == "peak":
        return with_peak(record, source, question.field[:-1], value)
    if question.begun and value_at(source.tree, lead) is None:
        begun = set_reading(source, lead, f"{{{question.begun}}}")
        source = read_source(source.file, begun)
    data = set_reading(source, question.field, value)
    field = act_to_state(state.source.tree, question, record.made_now)
    if not value or not field:
        return data
    return with_act(read_source(source.file, data), field, record.made_now)


def with_peak(record: WorkingRecord, source: Source, curve: Field, value: str) -> bytes:
    """Return the record's text with a drawn peak, and with the unit of its density."""
    field = ("units", "density")
    unit = str(value_at(source.tree, field) or "")
    text, now = peak_text(record.by, value, value_at(source.tree, curve), unit)
    if now != unit:
        source = read_source(source.file, set_reading(source, field, now))
    return set_reading(source, curve, text)


UNREADABLE = "The record cannot be read with this answer."


def answer_text(reading: Reading, text: str, on: date) -> str:
    """Return an answer as the record has it; ValueError if it is no choice or time."""
    if reading.takes == "choice":
        return quoted(pick_choice(reading, text))
    if reading.takes in ("equipment", "name") and reading.choices:
        return quoted(pick_choice(reading, text))
    if reading.takes == "test":
        return quoted(test_named(reading, text))
    if reading.takes == "time":
        return time_text(text, on)
    if reading.takes == "text" and text.isdigit():
        return f'"{text}"'  # a label, not a number
    return quoted(text)


def time_text(text: str, on: date) -> str:
    """Write a time on the session's day, or on a day written before it."""
    day, _, clock = text.replace("T", " ").rpartition(" ")
    found = CLOCK.fullmatch(clock)
    if not found or (day and not DAY.fullmatch(day)):
        raise ValueError(
            f"{text!r} is not a time. Type 15:20, or with a date 2026-03-11 07:55."
        )
    return f"{day or on}T{found[1]:>02}:{found[2]}"


def pick_choice(reading: Reading, text: str) -> str:
    """Return the choice with this number or name, as people type it."""
    return known_name(text, reading.choices, numbered=is_numbered(reading))


def append_reading(standing: Any, value: str) -> str:
    """
    Add a reading to those already entered.

    >>> [append_reading(x, "3") for x in ("1", ["1", "2"], None)]
    ['[1, 3]', '[1, 2, 3]', '3']
    """
    if standing is None:
        return value
    before = standing if isinstance(standing, list) else [standing]
    return f"[{', '.join([*map(str, before), value])}]"


def concerns(flag: Flag, question: Question) -> bool:
    """
    Return whether a flag concerns this answer: any error, or a warning at it.

    One that no answer can mend is not asked about: a test that failed today is retested
    before anybody can issue it.
    """
    if flag.severity is Severity.NOTE or flag.accepted_by or flag.unasked:
        return False
    lead = question.lead
    same = flag.field[: len(lead)] == lead or lead[: len(flag.field)] == flag.field
    return flag.severity is Severity.ERROR or (same and bool(flag.field))


def about_unit(text: str, unit: str) -> str:
    """
    Return what to write for a number with its unit; blank for any other text.

    >>> about_unit("8.084 kg", "g"), about_unit("8084", "g")
    ('Write the number alone, in g.', '')
    """
    if not unit or WITH_UNIT.fullmatch(text) is None:
        return ""
    return f"Write the number alone, in {unit}."


def refusal(flag: Flag, question: Question) -> str:
    """Return why the record cannot be read."""
    if flag.flag == "not-a-reading":
        typed = flag.found.strip("'")
        advice = about_comma(typed) or about_unit(typed, question.reading.unit)
        return f"{flag.found} is not {flag.expected}. {advice}".rstrip()
    return flag_text(flag)


def elsewhere(flag: Flag, question: Question) -> str:
    """Return the line of a list that a flag is about, if it is another one."""
    depth = next((i for i, part in enumerate(flag.field) if isinstance(part, int)), 0)
    lead = flag.field[: depth + 1]
    own = lead[: len(question.lead)] == question.lead
    return "" if own or not depth else f"{field_label(lead)}: "


def flag_text(flag: Flag) -> str:
    """Return a flag in one line."""
    return f"{flag.found}; expected: {flag.expected} ({flag.flag})"


def doubt_text(doubt: str | Doubt) -> str:
    """Return a doubt in one line, with what to check where more than one may be off."""
    if isinstance(doubt, str):
        return doubt
    return f"{doubt.found}; expected: {doubt.expected}; {doubt.mend}"


WHOLE = re.compile(r"\{value: ([0-9]+),")
"""A specific gravity without decimals, as the record has it."""


def whole_gravity(question: Question, value: str) -> Iterator[str]:
    """Doubt a specific gravity that looks like the number of a container."""
    found = WHOLE.match(value)
    if question.reading.takes == "gravity" and found:
        yield f"{found[1]} is a whole number; expected: a value such as 2.70"


OFFERED = re.compile(r"\{test: (.+)\}")
"""A specific gravity by the test that found it, as the record has it."""


def chosen_by_number(question: Question, text: str, value: str) -> Iterator[str]:
    """Doubt a number alone that took the place of a test: a container's, perhaps."""
    found = OFFERED.match(value)
    if question.reading.takes == "gravity" and found and text.strip().isdigit():
        wanted = "its id, or a value and its basis"
        yield f"{text} takes test {found[1]}; expected: {wanted}"


def like_a_mass(record: WorkingRecord, question: Question, text: str) -> Iterator[str]:
    """Doubt a container's number that looks like a mass and is not known."""
    if question.reading.name != "container":
        return
    known = LIKE_A_MASS.fullmatch(text) and any(
        weighings(record.archive, text, record.file)
    )
    if not known and (DECIMALS.fullmatch(text) or LIKE_A_MASS.fullmatch(text)):
        yield f"{text} looks like a mass; expected: the number on the container"


DECIMALS = re.compile(r"[0-9]+[.,][0-9]+")
"""A number with decimals: no container is called so."""

LIKE_A_MASS = re.compile(r"[0-9]{4,}")
"""A number as long as the mass of a filled mold or cone: few containers are."""


def too_coarse(state: RecordState, question: Question, text: str) -> Iterator[str]:
    """Doubt a reading coarser than the method requires, once for a column."""
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
        f"read to {last} {reading.unit}; "
        f"expected: {step} {reading.unit} or finer{basis}"
    )


def column_readings(tree: Any, field: Field) -> Iterator[Decimal]:
    """Yield the readings of the same name on the other lines of a list."""
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
