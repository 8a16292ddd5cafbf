"""An answer about a new calibration, judged before the next is asked for."""

from collections.abc import Iterator
from decimal import Decimal, InvalidOperation

from buildsite.archive.archive import Archive
from buildsite.archive.identity import name_of
from buildsite.archive.new_calibration import (
    DAYS,
    LEFT,
    SINCE,
    Form,
    calibrations_of,
    with_calibrations,
)
from buildsite.kinds.blank import AnswerCheck, Answers, Measured
from buildsite.record.flags import Field, Flag, Severity, new_flags
from buildsite.record.reading import day
from buildsite.record.set_reading import value_at


def judge(
    archive: Archive,
    file: str,
    form: Form,
    answers: Answers,
    name: str,
) -> AnswerCheck:
    """Judge one answer by the record as it would be with it, and as it is without."""
    one = next(each for each in form.asked if each.ask.name == name)
    text, place = answers.get(name, ""), place_of(form, one)
    if not text:
        flags = flags_with(archive, file, form, answers) if one.ask.when else ()
        missing = any(flag.field == place and is_missing(flag) for flag in flags)
        return AnswerCheck(refused=("Required",) if missing else ())
    said = own_fault(archive, answers, name)
    if said:
        return AnswerCheck(refused=(said,))
    before = flags_with(archive, file, form, {**answers, name: ""})
    fresh = [
        flag
        for flag in new_flags(flags_with(archive, file, form, answers), before)
        if flag.field[: len(place)] == place or is_above(flag, place)
    ]
    return AnswerCheck(
        tuple(
            f"{flag.found}; expected: {flag.expected}"
            for flag in fresh
            if flag.severity is Severity.ERROR
        ),
        (
            *unlike_before(archive, file, form, (one, text)),
            *found_right_since(archive, file, form, (answers, name)),
            *(
                f"{flag.found}; expected: {flag.expected}; {flag.mend.split(';')[0]}"
                for flag in fresh
                if flag.severity is Severity.WARNING
            ),
        ),
    )


def place_of(form: Form, one: Measured) -> Field:
    """Return the field of an answer in the record as it will be."""
    left = one.ask.name.startswith(LEFT)
    return (*form.series.at, form.index + (1 if left else 0), *one.at)


def is_missing(flag: Flag) -> bool:
    """Whether a flag tells that a field is missing."""
    return flag.flag == "missing-field"


def is_above(flag: Flag, place: Field) -> bool:
    """Whether a flag is of the whole that an answer belongs to."""
    return place[: len(flag.field)] == flag.field and not is_missing(flag)


def flags_with(
    archive: Archive, file: str, form: Form, answers: Answers
) -> tuple[Flag, ...]:
    """Return the flags of a record as it would be."""
    items = calibrations_of(form.asked, answers)
    data = with_calibrations(archive.entry(file).source, items, form)
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
    if not who.serves(day(on)):
        return f"{by} was not on the staff on {on} (on it{who.days})"
    return ""


NO_DAY = "1900-01-01"
"""Stands in for the day of a calibration until it is known: a record needs one."""

MOST_UNLIKE = 1.25
"""A steady reading that is so many times the one before, or less, was mistyped: common
practice."""


def unlike_before(
    archive: Archive, file: str, form: Form, said: tuple[Measured, str]
) -> Iterator[str]:
    """Doubt a reading that is far from that of the last calibration with one."""
    one, text = said
    earlier = value_at(archive.entry(file).source.tree, form.series.at)
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


def found_right_since(
    archive: Archive, file: str, form: Form, said: tuple[Answers, str]
) -> Iterator[str]:
    """Doubt that equipment is wrong since before a calibration that found it right."""
    answers, name = said
    piece = archive.piece(name_of(file))
    if name != SINCE.name or piece is None:
        return
    since, on = day(answers[name]), day(answers.get("on", NO_DAY))
    for look in piece.looks:
        if look.series.at != form.series.at:
            continue
        one = look.calibration
        wrong = one.found_wrong or one.wrong_since or piece.faults(look, None)
        if since < look.on < on and not wrong:
            yield f"{since}, but the calibration of {look.on} found it right"
            return
