"""Jumps to another question: the keys and words that lead there."""

import re
from collections.abc import Sequence

from buildsite.entering import messages
from buildsite.entering.questions import Question
from buildsite.entering.session import (
    BACK,
    STOP,
    Session,
    Stopped,
    first_open,
    is_open,
    next_blank,
    previous_question,
)
from buildsite.kinds.bench_spec import Reading
from buildsite.record.flags import Field
from buildsite.values import dataclass

SKIP, GO = ("s", "skip"), (".", "go")
TO_LINE = re.compile(r"p(?:oint)? ?([0-9]{1,2})")

LAST = Question(("status",), Reading("status", "", takes="choice"), "")
"""Stands for the question after all readings, from which one may go back."""


@dataclass(frozen=True)
class Jump:
    """A jump to another question, with lines to say first."""

    to: Question | None
    says: tuple[str, ...] = ()


def jump_for(session: Session, question: Question, answer: str) -> Jump | None:
    """Return the jump that an answer asks for, if any; Stopped if it asks to stop."""
    word = answer.lower()
    if question.reading.takes == "text" and len(word) == 1 and word.isalpha():
        return None  # a container may be called so
    if word in STOP:
        raise Stopped
    if word in ("?", "help"):
        return Jump(question, help_with(session, question))
    if word in BACK:
        return Jump(previous_question(session, question))
    if word in GO:
        return Jump(first_open(session))
    if word in SKIP:
        return Jump(next_blank(session, question))
    line = line_typed(question, word)
    return None if line is None else line_jump(session, question, line)


def line_typed(question: Question, answer: str) -> int | None:
    """Return the line, from 0, that `p 3` asks for; a label may be called P3."""
    line = TO_LINE.fullmatch(answer.lower())
    if line and (question.reading.takes != "text" or " " in answer):
        return int(line[1]) - 1
    return None


def help_with(session: Session, question: Question) -> tuple[str, ...]:
    """Return the keys, the source of the question, and the cautions."""
    basis, bench = question.reading.basis, session.state.bench
    return (
        *messages.HELP,
        *((f"Source of this question: {basis}.",) if basis else ()),
        *(bench.cautions if bench is not None else ()),
    )


def line_jump(session: Session, question: Question, line: int) -> Jump:
    """
    Return the jump to a line of a list, in the part of the work where one is.

    It leads to the first reading there; one that is made on no line is passed over.
    Where there is no such line, it leads nowhere, and says so; to the question whether
    to add it, if that was asked before the oven and is not asked again.
    """
    every = [q for q in session.questions() if not q.gate and q.line]
    lists = question.lead[:-1] if question.line else every[0].lead[:-1] if every else ()
    own = [q for q in every if q.lead == (*lists, line)]
    if not own:
        passed = passed_gate(session, (*lists, line))
        if passed is not None:
            return Jump(passed)
        return Jump(question, (no_line(session, [*lists, line], every),))
    here = [q for q in own if q.title == question.title] or own
    read = {q.reading.name for q in every if not session.blank(q)}
    asked = [q for q in here if q.reading.needed or q.reading.name in read]
    session.visiting = own[0].lead
    return Jump((asked or here)[0])


def passed_gate(session: Session, lead: Field) -> Question | None:
    """Return whether to add this line, where the work has gone past that question."""
    made = session.state.outcome
    if made is None or made.status != "in-progress":
        return None
    for i, one in enumerate(session.questions()):
        if one.gate and one.lead == lead and not is_open(session, i):
            return one
    return None


def no_line(
    session: Session, wanted: Sequence[str | int], every: Sequence[Question]
) -> str:
    """Return why a line of a list can't be reached."""
    *lists, line = wanted
    there = [q for q in every if q.lead[:-1] == tuple(lists)]
    if not there:
        return "  ! There are no points here."
    word, _, _ = there[0].line.rpartition(" ")
    last = max(int(q.lead[-1]) for q in there) + 1
    number = int(line) + 1
    if 0 < number <= last:
        return f"  ! {word} {number} is rejected: its readings are not asked for."
    more = f" It is added at `Add {word.lower()} {number}?`." * (number == last + 1)
    return f"  ! There is no {word.lower()} {number}: the last is {last}.{more}"
