"""What one test of a series has in common with the one before it: asked once."""

from collections.abc import Iterator, Mapping

from buildsite.entering.messages import AskFor, Say, Talk
from buildsite.entering.questions import Question
from buildsite.entering.session import STOP, Session, Stopped
from buildsite.record.flags import Field
from buildsite.record.set_reading import value_at


def common_answers(session: Session) -> dict[Field, str]:
    """
    Return what was said once of a test's drying and entry, blank where nothing was.

    Readings of its lines are its own.
    """
    bench = session.state.bench
    found: dict[Field, str] = {}
    for part in bench.parts if bench is not None else ():
        if not part.once or not (part.later or part.when_read):
            continue
        for reading in part.readings:
            if not reading.paper:
                field = (*part.at, *reading.path)
                value = value_at(session.tree, field)
                found[field] = value if isinstance(value, str) else ""
    return found


def still_open(session: Session, agreed: Mapping[Field, str]) -> dict[Field, str]:
    """Return the answers that this test does not have yet."""
    return {
        field: value
        for field, value in agreed.items()
        if value_at(session.tree, field) is None
    }


def worded(session: Session, agreed: Mapping[Field, str]) -> Iterator[str]:
    """Yield each answer with its words, as `Into the oven at 2026-06-02 15:20`."""
    words = {one.field: one.reading.words for one in session.questions(whole=True)}
    for field, value in agreed.items():
        if value:
            name = words.get(field, str(field[-1]).replace("_", " "))
            yield f"{name} {value.replace('T', ' ') if ':' in value else value}"


def ask_whether_agreed(session: Session) -> Talk:
    """Ask whether all is as for the test before; if so, it is not asked again."""
    bench = session.state.bench
    drying = bench is not None and any(part.later for part in bench.parts)
    asked = drying and not session.deferred
    agreed = still_open(session, session.agreed) if asked else {}
    session.agreed = {}
    if not any(agreed.values()):
        return
    yield Say((f"As {session.earlier_test}:",))
    yield Say(tuple(f"  {text}" for text in worded(session, agreed)))
    answer = (yield AskFor("The same here? [yes] ")).strip().lower()
    if answer in STOP:
        raise Stopped
    if answer in ("", "yes", "y"):
        session.agreed = agreed


def agreed_answer(session: Session, question: Question) -> str | None:
    """Return the answer agreed for a question, once; None: it is asked."""
    if question.gate or not session.blank(question):
        return None
    return session.agreed.pop(question.field, None)
