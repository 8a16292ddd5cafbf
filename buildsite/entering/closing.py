"""After the last reading: whether the test is complete, and what is to be corrected."""

from collections.abc import Iterator

from buildsite.archive.drift import same_used
from buildsite.archive.waiting_tests import moved_text
from buildsite.entering.answer_check import RecordState
from buildsite.entering.completion import flag_lines, next_step, result_lines
from buildsite.entering.jumps import LAST, jump_for
from buildsite.entering.messages import AskFor, Save, Say, Talk
from buildsite.entering.particulars import Asking, walk
from buildsite.entering.questions import Question
from buildsite.entering.session import Session
from buildsite.record.flags import Severity
from buildsite.record.set_reading import set_reading, without_blank_lines

YES, NO = ("yes", "ye", "y"), ("no", "n")


def close(session: Session, ask: Asking) -> Talk:
    """
    Ask the last question of a test, and return the reading to go back to, if any.

    Of a test in progress: whether it is complete. Of a complete one: which reading is
    to be corrected.
    """
    while prompt := last_prompt(session):
        answer = (yield AskFor(prompt)).strip()
        if not answer or answer.lower() in NO:
            return None
        if answer.startswith("="):
            yield from walk(session, answer[1:].strip(), ask)
            continue
        elsewhere = jump_for(session, LAST, answer)
        if elsewhere is not None:
            yield Say(elsewhere.says)
            if elsewhere.to != LAST:
                return go_back(session, elsewhere.to)
        elif answer.lower() in YES and not session.complete:
            yield from complete(session)
            return None
        elif found := reading_called(session, answer):
            return go_back(session, found)
        else:
            yield Say((f"  ! No reading is called {answer!r} ({hint(session)}).",))
    return None


def go_back(session: Session, question: Question | None) -> Question | None:
    """Return a question to go back to; the last one follows it, unless it is blank."""
    session.correcting = question is not None and not session.blank(question)
    return question


def last_prompt(session: Session) -> str:
    """Return the last question of a test; empty where a reading is still needed."""
    if session.complete:
        return f"Which reading is to be corrected ({hint(session)}; Enter: none)? "
    every = session.questions(whole=True)
    left = [q for q in every if session.blank(q) and not q.gate]
    made = session.state.outcome
    in_progress = made is not None and made.status == "in-progress"
    if not in_progress or any(q.reading.needed for q in left):
        return ""
    return "All readings entered. Is the test complete? [no] "


def hint(session: Session) -> str:
    """Return how a reading is named."""
    every = [q for q in session.questions() if not q.gate]
    words = [q.line.rpartition(" ")[0].lower() for q in every if q.line]
    titles = [q.title.lower() for q in every if not q.line]
    name = "oven" if "oven" in titles else titles[0] if titles else ""
    ways = [f"p 2: {words[0]} 2"] if words else []
    return "; ".join([*ways, *([f"or its name, as {name}"] if name else [])])


def reading_called(session: Session, text: str) -> Question | None:
    """Return the first reading of a part, or with words, that a person named."""
    word = text.lower()
    every = [q for q in session.questions() if not q.gate and not q.line]
    for names in (
        lambda q: q.title.lower() == word,
        lambda q: q.reading.words.lower() == word,
        lambda q: word in q.reading.words.lower(),
        lambda q: word in q.title.lower(),
    ):
        found = next(filter(names, every), None)
        if found is not None and len(word) > 1:
            return found
    return None


def complete(session: Session) -> Talk:
    """Set the status to complete, unless there is an error; show the results."""
    state = completed_state(session)
    lines = tuple(flag_lines(state, Severity.ERROR, Severity.WARNING))
    if state.outcome is None or any(
        flag.severity is Severity.ERROR for flag in state.flags
    ):
        yield Say((*lines, "The test stays in progress: it has an error."))
        return
    use = session.state.bench.when_complete if session.state.bench is not None else ""
    results = tuple(result_lines(state.outcome))
    if state.bench is not None and state.bench.verdict:
        results += (f"  {state.bench.verdict}",)
    yield Say((*results, *lines, next_step(state.outcome), *filter(None, (use,))))
    session.state = state
    yield Save(state.source.data)


def completed_state(session: Session) -> RecordState:
    """Return the record without blank lines, with status complete."""
    data = session.data
    bench = session.state.bench
    for part in bench.parts if bench is not None else ():
        if not part.once:
            state = session.record.state(data)
            data = without_blank_lines(state.source, part.at)
    state = session.record.state(data)
    return session.record.state(set_reading(state.source, ("status",), "complete"))


def after_change(session: Session) -> Iterator[str]:
    """Yield what a complete test needs again after a change, and the commands."""
    made = session.record.state(session.began).outcome
    now = session.state.outcome
    if session.data == session.began or made is None or made.status != "complete":
        return
    if now is None or now.status != "complete":
        return
    id, record = session.id, now.case.record
    issued, _ = session.record.archive.chain(session.record.file)
    item = issued.last_report if issued is not None else None
    reported = item is not None and item.kind == "report" and not same_used(now, item)
    if item is not None and reported:
        yield f"Issued as {moved_text(now, item)}."
        yield "The issued report does not change: it must be amended."
    steps = []
    if record.entered and record.entered.by and not record.entered.checked_by:
        steps.append(f"a second person checks the entry: buildsite enter {id}")
    if record.reviewed and record.reviewed.by:
        who = f"review again ({record.reviewed.by} reviewed it before this change)"
        steps.append(f"{who}: buildsite review {id} --by CODE")
    if reported:
        command = f"buildsite issue {id} --authorized-by CODE --reason TEXT"
        steps.append(f"amend the report: {command}")
    for first, step in zip(("Next", *["Then"] * len(steps)), steps, strict=False):
        yield f"{first}: {step}"
