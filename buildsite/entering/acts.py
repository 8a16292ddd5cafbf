"""What is said and asked about the act of a line made on another day, or by another."""

import re
from dataclasses import replace

from buildsite.entering.answer_forms import as_on_staff_list
from buildsite.entering.line_acts import Made, act_to_state, stated, with_act
from buildsite.entering.messages import AskFor, Save, Say, Talk
from buildsite.entering.questions import Question
from buildsite.entering.session import BACK, STOP, Session, Stopped
from buildsite.record.compose import Tree

YES, NO = ("", "y", "yes", *BACK), ("n", "no")
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def say_act(session: Session, question: Question, before: Tree) -> Talk:
    """
    Say that a line, or the test, states its own act now; ask once if it is right.

    `before` is the record without the reading. It is saved already: who is called away
    here has lost nothing. What is answered holds for the next lines of the session.
    """
    record = session.record
    field = act_to_state(before, question, record.made_now)
    if not field:
        return
    act = question.reading.acts
    what = f"{question.line}: {act}" if len(field) > 1 else act.capitalize()
    yield Say((f"  {what} {of(record.made_now)}.",))
    if record.made is not None:
        return
    former = stated(before, (act,))
    made = yield from ask_act(session, former)
    session.record = replace(record, made=made)
    if made == record.made_now:
        return
    data = with_act(session.state.source, field, made)
    session.state = session.record.state(data)
    yield Save(data)
    yield Say((f"  {what} {of(made)}.",))


def of(made: Made) -> str:
    """Return the day of an act and the person, as far as known."""
    day, who = made
    return " by ".join(filter(None, (day, who)))


def ask_act(session: Session, former: Made) -> Talk:
    """Ask whether the session's day and person are right; return which are."""
    known = all(former)
    no = f"no: {of(former)}; " if known else ""
    ask = f"  Right? (Enter: yes; {no}or day, code) "
    while True:
        answer = (yield AskFor(ask)).strip()
        word = answer.lower()
        if word in STOP:
            raise Stopped
        if word in YES:
            return session.record.made_now
        if word in NO and known:
            return former
        made = made_as_typed(session, answer)
        if made is not None:
            return made
        yield Say((f"  ! {answer!r} is no day up to {session.record.on}, no code.",))


def made_as_typed(session: Session, text: str) -> Made | None:
    """Return a day, a staff code or both as typed; None if it is neither."""
    lab = session.record.archive.laboratory
    staff = lab.staff if lab is not None else {}
    day, who = session.record.made_now
    for word in text.replace(",", " ").split():
        code = as_on_staff_list(session.record.archive, word)
        if DAY.fullmatch(word) and word <= session.record.on.isoformat():
            day = word
        elif code in staff or (not staff and not word[:1].isdigit()):
            who = code
        else:
            return None
    return day, who
