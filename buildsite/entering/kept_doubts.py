"""Doubted readings: read again, or kept with a reason that the record's remarks say."""

from buildsite.archive.blanks import quoted
from buildsite.entering.answer_check import (
    CheckedAnswer,
    RecordState,
    WorkingRecord,
)
from buildsite.entering.committing import ask_reason
from buildsite.entering.messages import AskFor, Say, Talk
from buildsite.entering.questions import Question
from buildsite.entering.session import CHECKED, STOP, Session, question_name
from buildsite.record.reasons import A_REASON, is_reason, says_nothing
from buildsite.record.set_reading import set_reading, value_at

AGAIN = "Reread and retype {}, or say why it is right: "
AGAIN_IMPOSSIBLE = "Impossible. Reread and retype {}: "
TWICE = (
    "  ! An impossible reading is kept only if the same is typed again, with a reason.",
)


def settle_doubts(
    session: Session, question: Question, answer: str, checked: CheckedAnswer
) -> Talk:
    """
    Have a doubted reading read again, or kept with a reason.

    Returns the record with the reading and a remark, or what was typed instead. An
    impossible reading is kept only if it is typed twice; its error stands.
    """
    yield Say(tuple(f"  ? {line}" for line in checked.doubts))
    if checked.state is None:
        return answer
    name = question_name(question)
    waiting = f"{name} {answer}, which waited to be read again"
    session.pending = waiting
    if checked.impossible:
        again = yield from ask_again(session, AGAIN_IMPOSSIBLE.format(name))
        if again != answer:
            if is_reason(again):
                yield Say(TWICE)
                return ""
            return again
        session.pending = waiting
        why = yield from ask_reason("The same again. Why is it right? ", "")
        session.pending = ""
        if not why:
            return ""
    else:
        why = yield from ask_again(session, AGAIN.format(name))
        if not is_reason(why):  # another answer, or `p 2`
            return why
    state = forget_remark(session.record, checked.state, question)
    return session.record.state(add_remark(state, question, checked.value, why))


def ask_again(session: Session, ask: str) -> Talk:
    """Ask for a doubted reading again, or for words; not for yes or no."""
    while says_nothing(again := (yield AskFor(ask)).strip()):
        yield Say((f"  ! {again!r} is no reason. {A_REASON}",))
    if again.lower() not in STOP:
        session.pending = ""
    return again


def forget_check(
    record: WorkingRecord, state: RecordState, question: Question
) -> RecordState:
    """Return the record without a check of the entry that was before this reading."""
    read = record.about is None or bool(question.reading.unit)
    said_after = ("entered", "remarks", "accepted", "deviations")
    stands = value_at(state.source.tree, CHECKED)
    if not stands or not read or question.field[0] in said_after:
        return state
    return record.state(set_reading(state.source, CHECKED, ""))


def about(question: Question) -> str:
    """Return the beginning of a remark about a reading."""
    where = question.line.lower() or question.title.lower()
    return f"{where}, {question.reading.words.lower()} "


BETWEEN = "; "
"""Between two remarks; a reason has none."""


def add_remark(state: RecordState, question: Question, value: str, why: str) -> bytes:
    """
    Return the record with a remark that a doubted reading was kept, and why.

    Never an `accepted` entry: that accepts a flag for the whole record and needs
    authority. The flag stays open.
    """
    reason = why.replace(BETWEEN, ", ")
    words = f"{about(question)}{value}: kept, {reason}"
    before = value_at(state.source.tree, ("remarks",))
    text = f"{before}{BETWEEN}{words}" if before else words
    return set_reading(state.source, ("remarks",), quoted(text))


def forget_remark(
    record: WorkingRecord, state: RecordState, question: Question
) -> RecordState:
    """Return the record without an earlier remark that this reading was kept."""
    stands = value_at(state.source.tree, ("remarks",))
    if not isinstance(stands, str):
        return state
    own = about(question)
    every = stands.split(BETWEEN)
    kept = [one for one in every if not (one.startswith(own) and ": kept, " in one)]
    if kept == every:
        return state
    text = quoted(BETWEEN.join(kept)) if kept else '""'
    return record.state(set_reading(state.source, ("remarks",), text))
