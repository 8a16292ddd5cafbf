"""The particulars of a record: walked through, each with its value as it stands."""

from collections.abc import Callable
from dataclasses import replace

from buildsite.entering.committing import commit_readings
from buildsite.entering.jumps import LAST, line_jump, line_typed
from buildsite.entering.messages import AskFor, Say, Talk
from buildsite.entering.questions import Question
from buildsite.entering.session import STOP, Session, Stopped, progress
from buildsite.kinds.bench_spec import Bench
from buildsite.record.messages import join_choices

Asking = Callable[[Session, Question], Talk]


def part_names(session: Session) -> str:
    """Return the parts of a record that can be asked for by name."""
    whole = replace(session.record, about="").state(session.data)
    titles = [part.title.lower() for part in (whole.bench or Bench(())).parts]
    return join_choices(list(dict.fromkeys(titles)))


def no_such_part(session: Session) -> str:
    """Return that a record has no particulars of that name, and which it has."""
    return (
        f"{session.id} has no particulars called {session.record.about!r}. "
        f"There are: {part_names(session)}."
    )


def walk(session: Session, about: str, ask: Asking) -> Talk:
    """Ask for the particulars of a record, and go on with what comes of it."""
    inner = beside(session, about)
    if not inner.questions():
        yield Say((f"  ! {no_such_part(inner)}",))
        return
    yield from ask_in_turn(session, inner, inner.questions()[0], ask)


def visit_line(session: Session, question: Question, answer: str, ask: Asking) -> Talk:
    """
    From the particulars of a test, go to the line that `p 3` asks for, and return.

    Returns whether it was asked for. In a list of particulars about the same lines,
    `p 3` leads to those.
    """
    line = line_typed(question, answer)
    if line is None or not session.walking:
        return False
    inner = beside(session, None)
    lists = {one.lead[:-1] for one in inner.questions() if one.line}
    if not lists or (question.line and question.lead[:-1] in lists):
        return False
    inner.correcting, inner.last_progress = True, progress(inner)
    jump = line_jump(inner, LAST, line)
    yield Say(jump.says)
    if jump.to != LAST:
        yield from ask_in_turn(session, inner, jump.to, ask)
    return True


def beside(session: Session, about: str | None) -> Session:
    """Return a session at the same record, with other questions."""
    record = replace(session.record, about=about)
    state = record.state(session.data)
    return replace(session, record=record, state=state, title="", correcting=False)


def ask_in_turn(
    session: Session, inner: Session, question: Question | None, ask: Asking
) -> Talk:
    """Ask the questions of a session within another, which goes on from its end."""
    try:
        while question is not None:
            question = yield from ask(inner, question)
    finally:
        session.state = session.record.state(inner.data)
        session.base = inner.base
        session.committing, session.refused = inner.committing, inner.refused
        session.title, session.pending = "", inner.pending


def walk_people(session: Session, ask: Asking) -> Talk:
    """Ask whose line on the staff list is to be added or changed, until nobody's."""
    lab = session.tree.get("staff")
    while True:
        known = ", ".join(lab) if isinstance(lab, dict) else ""
        prompt = f"Staff code of a person to add or change ({known}; Enter: nobody): "
        code = (yield AskFor(prompt)).strip()
        if code.lower() in STOP:
            raise Stopped
        if not code:
            return
        yield from walk(session, code, ask)
        yield from commit_readings(session, session.record.by, session.reason)
        lab = session.tree.get("staff")
