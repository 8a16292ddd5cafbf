"""
The dialog of `enter` with the person at the bench.

A generator: it yields what to say, ask, save or commit, and receives the outcome. It
uses no terminal, no file and no git.
"""

from buildsite.entering import messages
from buildsite.entering.acts import say_act
from buildsite.entering.agreed import agreed_answer, ask_whether_agreed
from buildsite.entering.answer_check import (
    RecordState,
    check_answer,
)
from buildsite.entering.choices import with_choices
from buildsite.entering.closing import after_change, close
from buildsite.entering.committing import (
    ask_reason,
    commit_data,
    commit_earlier,
    commit_readings,
)
from buildsite.entering.curve import draw_curve
from buildsite.entering.jumps import jump_for
from buildsite.entering.kept_doubts import (
    forget_check,
    forget_remark,
    settle_doubts,
)
from buildsite.entering.messages import AskFor, CommitRecord, Save, Say, Talk
from buildsite.entering.particulars import visit_line, walk, walk_people
from buildsite.entering.questions import Question, stands_at
from buildsite.entering.session import (
    CHECKED,
    Session,
    Stopped,
    answer_gate,
    ask_again_when_read,
    first_open,
    next_blank,
    next_question,
    pass_over,
    progress,
    question_name,
    required_line,
    usual_answer,
)
from buildsite.record.set_reading import value_at


def talk(session: Session) -> Talk:
    """Enter readings until all are entered or the person stops."""
    try:
        yield Say(greeting(session))
        session.last_progress = progress(session)
        yield from commit_earlier(session)
        yield from ask_whether_agreed(session)
        yield from ask_all(session)
    except Stopped:
        pass
    yield from commit_readings(session, session.record.by, session.reason)
    yield Say((*farewell(session), *after_change(session)))


def ask_all(session: Session) -> Talk:
    """Ask every question, then the last one, which may lead back to any."""
    question = first_open(session)
    while True:
        while question is not None or (question := required_line(session)):
            question = yield from ask_question(session, question)
        if not session.walking:
            question = yield from close(session, ask_question)
        if question is None:
            break
    if session.record.about == "" and "staff" in session.tree:
        yield from walk_people(session, ask_question)


def greeting(session: Session) -> tuple[str, ...]:
    """Return the record's title and the keys."""
    made = session.state.outcome
    title = made.title if made is not None else ""
    standard = getattr(made.case.record, "standard", None) if made else None
    method = ""
    if standard is not None:
        name = "" if standard.method == "none" else f" {standard.method}"
        method = f", {standard.designation}{name}"
    keys = messages.WALK_KEYS if session.walking else messages.KEYS
    return (f"{session.id}: {title}{method}", keys)


def farewell(session: Session) -> tuple[str, ...]:
    """Return which readings are still blank, and whether anything is not committed."""
    stood = session.earlier
    if session.idle:
        return (f"{session.id}: nothing entered, so it is not kept.",)
    if stood.stages and stood.last == session.data and not session.committing:
        return (f"{session.id}: nothing entered. The changes stay uncommitted.",)
    lost = (f"Not kept: {session.pending}.",) if session.pending else ()
    every = session.questions(whole=True)
    left = [q for q in every if q.reading.needed and session.blank(q)]
    names = [question_name(q) for q in left if not q.gate]
    saved = "saved" if session.committing else "saved, not committed"
    if session.walking:
        return (*lost, f"{session.id}: {saved}.")
    if not names:
        return (*lost, f"{session.id}: {saved}. All readings entered.")
    more = f" and {len(names) - 3} more" if len(names) > 3 else ""
    blank = f"Still blank: {'; '.join(names[:3])}{more}."
    return (*lost, f"{session.id}: {saved}. {blank}")


def ask_question(session: Session, question: Question) -> Talk:
    """Ask one question; return the next."""
    as_before = agreed_answer(session, question)
    if as_before is not None:
        if not as_before:
            return pass_over(session, question)
        return (yield from handle_reply(session, question, as_before))
    if question.title != session.title:
        session.title = question.title
        yield Say(("", question.title))
    if question.gate:
        yield Say(messages.before_another(progress(session)))
    question = with_choices(session.record, question)
    usual = usual_answer(session, question)
    ask = messages.prompt(question, session.tree, usual)
    answer = (yield AskFor(ask)).strip()
    if not answer and question.field in session.unread:
        session.unread.discard(question.field)  # confirmed
        return next_blank(session, question)
    if not answer and not session.blank(question):
        return next_question(session, question)
    if not answer and not usual:
        return pass_over(session, question)
    return (yield from handle_reply(session, question, answer or usual))


def handle_reply(session: Session, question: Question, answer: str) -> Talk:
    """Follow a jump, or take the answer as a reading."""
    if answer.startswith("="):
        yield from walk(session, answer[1:].strip(), ask_question)
        return question
    if (yield from visit_line(session, question, answer, ask_question)):
        return question
    elsewhere = jump_for(session, question, answer)
    if elsewhere is not None:
        if elsewhere.says:
            yield Say(elsewhere.says)
        return elsewhere.to
    if not answer:
        return question
    if question.gate:
        if answer.lower() not in YES_OR_NO:
            yield Say((f"  ! {answer!r} is not yes or no.",))
        return answer_gate(session, question, answer)
    return (yield from handle_reading(session, question, answer))


def handle_reading(session: Session, question: Question, answer: str) -> Talk:
    """Check an answer; save it, have it read again, or ask why it is changed."""
    checked = check_answer(session.record, session.state, question, answer)
    if checked.state is None:
        yield Say(tuple(f"  ! {line}" for line in checked.refused))
        return question
    session.unread.discard(question.field)
    if checked.state.source.data == session.data:
        return next_blank(session, question)
    before = session.tree
    state = forget_remark(session.record, checked.state, question)
    if checked.doubts:
        settled = yield from settle_doubts(session, question, answer, checked)
        if isinstance(settled, str):
            return (yield from handle_reply(session, question, settled))
        state = settled
    if not (yield from keep_reading(session, question, answer, state)):
        return question
    yield from say_act(session, question, before)
    yield from show_progress(session, question)
    return next_blank(session, question)


def keep_reading(
    session: Session, question: Question, answer: str, state: RecordState
) -> Talk:
    """Save a reading, or change a committed one; return whether it is kept."""
    state = forget_check(session.record, state, question)
    checked_by, added = value_at(session.tree, CHECKED), answer.startswith("+")
    further = added or session.blank(question)
    settled = session.complete and question.reading.unit  # nothing is added unexplained
    stood = stands_at(session.committed, question.field)
    if stood is not None and (settled or not added):
        if not (yield from confirm_change(session, question, state)):
            return False
    else:
        session.state = state
        yield Save(state.source.data)
    if checked_by and question.field != CHECKED and not value_at(session.tree, CHECKED):
        yield Say((f"  The entry check by {checked_by} was before this: blank again.",))
        session.offered.add(CHECKED)  # for a second person, not for who is here
    if further:
        ask_again_when_read(session, question)
    return True


YES_OR_NO = ("yes", "y", "ye", "no", "n", "1", "2")
"""Answers to a gate, by number as well, as for any choice."""


def confirm_change(session: Session, question: Question, state: RecordState) -> Talk:
    """Change a committed value: with who and why, in a commit of its own."""
    if not session.committing:
        yield Say(
            (
                "  ! This reading is committed. A change needs a commit of its own, "
                "with who and why, and nothing is committed in this session.",
            )
        )
        return False
    old = messages.reading_text(value_at(session.committed, question.field))
    new = value_at(state.source.tree, question.field)
    value = "blank" if new is None else messages.reading_text(new)
    ask = f"{old} is committed. Why change it to {value}? (Enter: keep) "
    session.pending = f"{question_name(question)} {value}, which waited for a reason"
    why = yield from ask_reason(ask)
    session.pending = ""
    if not why:
        return False
    yield from commit_readings(session, session.record.by, session.reason)
    if session.base != session.data:
        return False  # git refused the readings: no change on top of them
    unit = f" {question.reading.unit}" if question.reading.unit else ""
    to = f"{unit} to {value}" if new is None else f" to {value}{unit}"
    subject = f"{question_name(question)}: {old}{to}"
    change = CommitRecord(state.source.data, subject, session.record.by, why)
    if not (yield from commit_data(session, change)):
        return False
    session.state = state
    return True


def show_progress(session: Session, question: Question) -> Talk:
    """Show the line of the last reading, and the curve if it changed."""
    now, before = progress(session), session.last_progress
    session.last_progress = now
    known = dict(before.lines)
    line = question.lead[-1]  # its number from 0, or a name outside of a list
    lines = [
        f"  {text}"
        for number, text in now.lines
        if known.get(number) != text and (line == number - 1 or isinstance(line, str))
    ]
    if now.points != before.points:
        lines += draw_curve(now, session.width)
    if lines:
        yield Say(tuple(lines))
