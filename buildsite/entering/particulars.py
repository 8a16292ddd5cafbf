"""The particulars of a record: walked through, each with its value as it stands."""

from collections.abc import Callable
from dataclasses import replace

from buildsite.entering.committing import commit_readings
from buildsite.entering.messages import AskFor, Say, Talk
from buildsite.entering.questions import Question
from buildsite.entering.session import STOP, Session, Stopped
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
    record = replace(session.record, about=about)
    inner = replace(session, record=record, state=record.state(session.data), title="")
    if not inner.questions():
        yield Say((f"  ! {no_such_part(inner)}",))
        return
    try:
        yield from ask_in_turn(inner, ask)
    finally:
        session.state = session.record.state(inner.data)
        session.base, session.others = inner.base, inner.others
        session.committing, session.refused = inner.committing, inner.refused
        session.title = ""


def ask_in_turn(session: Session, ask: Asking) -> Talk:
    """Ask every question of a session, from the first."""
    every = session.questions()
    question: Question | None = every[0] if every else None
    while question is not None:
        question = yield from ask(session, question)


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
