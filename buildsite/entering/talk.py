"""
The dialog of `enter` with the person at the bench.

A generator: it yields what to say, ask, save or commit, and receives the outcome. It
uses no terminal, no file and no git.
"""

import re

from buildsite.entering import messages
from buildsite.entering.curve import draw_curve
from buildsite.entering.judging import (
    RecordState,
    add_remark,
    judge_answer,
    with_choices,
)
from buildsite.entering.messages import AskFor, CommitRecord, Save, Say, Talk
from buildsite.entering.questions import Question
from buildsite.entering.sitting import (
    BACK,
    STOP,
    Sitting,
    Stopped,
    answer_gate,
    completed_state,
    first_open,
    jump_for,
    next_blank,
    next_question,
    progress,
    question_name,
    usual_answer,
)
from buildsite.record.changes import changes
from buildsite.record.flags import Severity
from buildsite.record.set_reading import value_at


def talk(sitting: Sitting, *, recovered: str = "", foreign: bool = False) -> Talk:
    """
    Enter readings until all are entered or the person stops.

    `recovered` is for whom an interrupted session left readings uncommitted; `foreign`
    is whether the file has other uncommitted changes.
    """
    try:
        yield Say(greeting(sitting))
        sitting.last_progress = progress(sitting)
        if recovered:
            yield Say(("An earlier session was interrupted. Its readings are saved.",))
            reason = "readings of an interrupted session"
            yield from commit_readings(sitting, recovered, reason)
        if foreign:
            yield from ask_whose_changes(sitting)
        question = first_open(sitting)
        while question is not None:
            question = yield from ask_question(sitting, question)
        yield from offer_completion(sitting)
    except Stopped:
        pass
    yield from commit_readings(sitting, sitting.record.by, sitting.reason)
    yield Say(farewell(sitting))


def greeting(sitting: Sitting) -> tuple[str, ...]:
    """Return the record's title and the keys."""
    made = sitting.state.outcome
    title = made.kind.title if made is not None else ""
    standard = getattr(made.case.record, "standard", None) if made else None
    method = ""
    if standard is not None:
        name = "" if standard.method == "none" else f" {standard.method}"
        method = f", {standard.designation}{name}"
    return (f"{sitting.id}: {title}{method}", messages.KEYS)


def farewell(sitting: Sitting) -> tuple[str, ...]:
    """Return which readings are still blank."""
    left = [q for q in sitting.questions() if q.reading.needed and sitting.blank(q)]
    names = [question_name(q) for q in left if not q.gate]
    if not names:
        return (f"{sitting.id}: saved. All readings entered.",)
    more = f" and {len(names) - 3} more" if len(names) > 3 else ""
    return (f"{sitting.id}: saved. Still blank: {'; '.join(names[:3])}{more}.",)


def ask_whose_changes(sitting: Sitting) -> Talk:
    """Ask who made the uncommitted changes, and why; leave them if not answered."""
    told = changes(sitting.committed, sitting.tree)
    yield Say(
        (
            f"{sitting.id} has uncommitted changes that were not made by enter:",
            *(f"  {change}" for change in told[:6]),
            *((f"  and {len(told) - 6} more",) if len(told) > 6 else ()),
            "They will not be committed as yours.",
        )
    )
    code = yield AskFor("Who made them? Staff code, or Enter to leave them: ", "whose")
    if code:
        reason = yield AskFor("Why were they made? ", "whose-reason")
        if reason:
            yield from commit_readings(sitting, code, reason)
    if sitting.base != sitting.data:
        sitting.committing = False
        yield Say(
            (
                "Your readings will be saved in the file, but not committed until "
                "these changes have an author.",
            )
        )


def commit_readings(sitting: Sitting, by: str, reason: str) -> Talk:
    """Commit the readings that are not yet committed."""
    data = sitting.data
    if not sitting.committing or data == sitting.base:
        return
    what = messages.commit_subject(sitting.committed, sitting.tree)
    if sitting.base is None:
        what = messages.new_record_subject(sitting.tree)
    if (yield CommitRecord(data, f"{sitting.id}: {what}", by, reason)):
        sitting.base = data


def ask_question(sitting: Sitting, question: Question) -> Talk:
    """Ask one question; return the next."""
    if question.title != sitting.title:
        sitting.title = question.title
        yield Say(("", question.title))
    hint = progress(sitting).hint if question.gate else ""
    if hint:
        yield Say((hint,))
    question = with_choices(sitting.record, question)
    usual = usual_answer(sitting, question)
    ask = messages.prompt(question, sitting.tree, usual)
    answer = (yield AskFor(ask)).strip()
    if not answer and question.field in sitting.unread:
        sitting.unread.discard(question.field)  # confirmed
        return next_blank(sitting, question)
    if not answer and not sitting.blank(question):
        return next_question(sitting, question)
    if not answer and not usual:
        return next_blank(sitting, question)
    return (yield from handle_reply(sitting, question, answer or usual))


def handle_reply(sitting: Sitting, question: Question, answer: str) -> Talk:
    """Follow a jump, or take the answer as a reading."""
    elsewhere = jump_for(sitting, question, answer)
    if elsewhere is not None:
        if elsewhere.says:
            yield Say(elsewhere.says)
        return elsewhere.to
    if not answer:
        return question
    if question.gate:
        if answer.lower() not in YES_OR_NO:
            yield Say((f"  ! {answer!r} is not yes or no.",))
        return answer_gate(sitting, question, answer)
    return (yield from handle_reading(sitting, question, answer))


def handle_reading(sitting: Sitting, question: Question, answer: str) -> Talk:
    """Check an answer; save it, have it read again, or ask why it is changed."""
    verdict = judge_answer(sitting.record, sitting.state, question, answer)
    if verdict.state is None:
        yield Say(tuple(f"  ! {line}" for line in verdict.refused))
        return question
    sitting.unread.discard(question.field)
    state = verdict.state
    if state.source.data == sitting.data:
        return next_blank(sitting, question)
    if verdict.doubts:
        yield Say(tuple(f"  ? {line}" for line in verdict.doubts))
        why = (yield AskFor(AGAIN)).strip()
        if " " not in why or not A_WORD.search(why):  # another answer, or `p 2`
            return (yield from handle_reply(sitting, question, why))
        state = sitting.record.state(add_remark(state, question, verdict.value, why))
    stood = value_at(sitting.committed, question.field)
    if stood is not None and not answer.startswith("+"):
        if not (yield from confirm_change(sitting, question, state, verdict.value)):
            return question
    else:
        sitting.state = state
        yield Save(state.source.data)
    yield from show_progress(sitting, question)
    return next_blank(sitting, question)


YES_OR_NO = ("yes", "y", "ye", "no", "n", "1", "2")
"""Answers to a gate, by number as well, as for any choice."""

AGAIN = "Read it again and type it, or say in a few words why it is right: "


def confirm_change(
    sitting: Sitting, question: Question, state: RecordState, value: str
) -> Talk:
    """Change a committed value: with who and why, in a commit of its own."""
    if not sitting.committing:
        yield Say(
            (
                "  ! This reading is committed. A change needs a commit of its own, "
                "with who and why, and nothing is committed in this session.",
            )
        )
        return False
    old = messages.reading_text(value_at(sitting.committed, question.field))
    ask = f"{old} is committed. Why change it to {value}? (Enter: keep) "
    why = yield from ask_reason(ask)
    if not why:
        return False
    yield from commit_readings(sitting, sitting.record.by, sitting.reason)
    if sitting.base != sitting.data:
        return False  # git refused the readings: no change on top of them
    unit = f" {question.reading.unit}" if question.reading.unit else ""
    subject = f"{sitting.id}: {question_name(question)}: {old} to {value}{unit}"
    data = state.source.data
    if not (yield CommitRecord(data, subject, sitting.record.by, why)):
        return False
    sitting.state, sitting.base = state, data
    return True


def ask_reason(ask: str) -> Talk:
    """Ask why, in words: a number would be the next reading, typed too early."""
    option = "reason"
    while True:
        why = (yield AskFor(ask, option)).strip()
        if why.lower() in STOP:
            raise Stopped
        if not why or why.lower() in BACK:
            return ""
        if A_WORD.search(why):
            return why
        yield Say(("  ! Say why in a word or two: this is not a reading.",))
        option = ""


A_WORD = re.compile(r"[^\W\d_]{3}")
"""A reason has a word; a reading, staff code or container number has none."""


def show_progress(sitting: Sitting, question: Question) -> Talk:
    """Show the line of the last reading, and the curve if it changed."""
    now, before = progress(sitting), sitting.last_progress
    sitting.last_progress = now
    known = dict(before.lines)
    line = question.lead[-1]  # its number from 0, or a name outside of a list
    lines = [
        f"  {text}"
        for number, text in now.lines
        if known.get(number) != text and (line == number - 1 or isinstance(line, str))
    ]
    if now.points != before.points:
        lines += draw_curve(now, sitting.width)
    if lines:
        yield Say(tuple(lines))


def offer_completion(sitting: Sitting) -> Talk:
    """At the end, offer to set the status to complete."""
    made = sitting.state.outcome
    if made is None or made.status != "in-progress":
        return
    left = [q for q in sitting.questions() if sitting.blank(q) and not q.gate]
    if any(q.reading.needed for q in left):
        return
    answer = (yield AskFor("All readings entered. Is the test complete? [no] ")).strip()
    if not answer or not "yes".startswith(answer.lower()):
        return
    state = completed_state(sitting)
    errors = [flag for flag in state.flags if flag.severity is Severity.ERROR]
    warnings = [flag for flag in state.flags if flag.severity is Severity.WARNING]
    told = [f"  {flag.severity}: {flag.message}" for flag in (*errors, *warnings)]
    if errors:
        yield Say((*told, "The test stays in progress: it has an error."))
        return
    yield Say((*told, "Complete: ready for review."))
    sitting.state = state
    yield Save(state.source.data)
