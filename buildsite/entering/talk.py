"""
The talk between a bench sheet and the person at the bench.

A generator: it yields what is to be said, asked, saved or committed, and is sent what
came of it. It knows no terminal, no file and no git.
"""

import re

from buildsite.entering import messages as words
from buildsite.entering.curve import drawn
from buildsite.entering.effects import Ask, Commit, Save, Say, Talking
from buildsite.entering.judging import Look, judge, offered, remark
from buildsite.entering.questions import Question
from buildsite.entering.sitting import (
    BACK,
    STOP,
    Sitting,
    Stopped,
    after,
    command,
    completed,
    first,
    following,
    gate,
    named,
    progress,
    usual_answer,
)
from buildsite.record.changes import changes
from buildsite.record.flags import Severity
from buildsite.record.set_reading import at


def talk(sitting: Sitting, *, recovered: str = "", foreign: bool = False) -> Talking:
    """
    Enter readings until all stand or the person stops.

    Parameters
    ----------
    sitting
        The record and who sits at it.
    recovered
        Whose readings an earlier sitting left uncommitted, when it was cut off.
    foreign
        Whether the file holds changes that nobody committed, and not by `enter`.
    """
    try:
        yield Say(greeting(sitting))
        sitting.shown = progress(sitting)
        if recovered:
            yield Say(("An earlier sitting was cut off. Its readings are all here.",))
            reason = "readings of a sitting that was cut off"
            yield from kept(sitting, recovered, reason)
        if foreign:
            yield from not_ours(sitting)
        question = first(sitting)
        while question is not None:
            question = yield from asked(sitting, question)
        yield from finished(sitting)
    except Stopped:
        pass
    yield from kept(sitting, sitting.desk.by, sitting.reason)
    yield Say(farewell(sitting))


def greeting(sitting: Sitting) -> tuple[str, ...]:
    """Say which record this is, and the keys."""
    made = sitting.look.outcome
    title = made.kind.title if made is not None else ""
    standard = getattr(made.case.record, "standard", None) if made else None
    method = ""
    if standard is not None:
        name = "" if standard.method == "none" else f" {standard.method}"
        method = f", {standard.designation}{name}"
    return (f"{sitting.id}: {title}{method}", words.KEYS)


def farewell(sitting: Sitting) -> tuple[str, ...]:
    """Say what is left to read."""
    left = [q for q in sitting.questions() if q.reading.needed and sitting.blank(q)]
    names = [named(q) for q in left if not q.gate]
    if not names:
        return (f"{sitting.id}: saved, no reading is wanting.",)
    more = f" and {len(names) - 3} more" if len(names) > 3 else ""
    return (f"{sitting.id}: saved. Still blank: {'; '.join(names[:3])}{more}.",)


def not_ours(sitting: Sitting) -> Talking:
    """Ask whose the changes are that nobody committed; leave them if nobody's."""
    told = changes(sitting.stood, sitting.look.source.tree)
    yield Say(
        (
            f"{sitting.id} holds changes that were not made here and not committed:",
            *(f"  {change}" for change in told[:6]),
            *((f"  and {len(told) - 6} more",) if len(told) > 6 else ()),
            "They will not be committed as yours.",
        )
    )
    code = yield Ask("Whose are they? Staff code, or Enter to leave them: ", "whose")
    if code:
        reason = yield Ask("Why were they made? ", "whose-reason")
        if reason:
            yield from kept(sitting, code, reason)
    if sitting.base != sitting.look.source.data:
        sitting.committing = False
        yield Say(
            (
                "Your readings will be saved in the file and not committed, until "
                "somebody says whose those changes are.",
            )
        )


def kept(sitting: Sitting, by: str, reason: str) -> Talking:
    """Commit what is not yet committed."""
    data = sitting.look.source.data
    if not sitting.committing or data == sitting.base:
        return
    what = words.subject(sitting.stood, sitting.look.source.tree)
    if sitting.base is None:
        what = words.new_record(sitting.look.source.tree)
    if (yield Commit(data, f"{sitting.id}: {what}", by, reason)):
        sitting.base = data


def asked(sitting: Sitting, question: Question) -> Talking:
    """Put one question; give the next."""
    if question.title != sitting.title:
        sitting.title = question.title
        yield Say(("", question.title))
    hint = progress(sitting).hint if question.gate else ""
    if hint:
        yield Say((hint,))
    question = offered(sitting.desk, question)
    usual = usual_answer(sitting, question)
    ask = words.prompt(question, sitting.look.source.tree, usual)
    answer = (yield Ask(ask)).strip()
    if not answer and question.field in sitting.unread:
        sitting.unread.discard(question.field)  # read so again
        return after(sitting, question)
    if not answer and not sitting.blank(question):
        return following(sitting, question)
    if not answer and not usual:
        return after(sitting, question)
    return (yield from replied(sitting, question, answer or usual))


def replied(sitting: Sitting, question: Question, answer: str) -> Talking:
    """Go where the answer wishes to, or take it for a reading."""
    elsewhere = command(sitting, question, answer)
    if elsewhere is not None:
        if elsewhere.says:
            yield Say(elsewhere.says)
        return elsewhere.to
    if not answer:
        return question
    if question.gate:
        if answer.lower() not in YES_OR_NO:
            yield Say((f"  ! {answer!r} is neither yes nor no.",))
        return gate(sitting, question, answer)
    return (yield from answered(sitting, question, answer))


def answered(sitting: Sitting, question: Question, answer: str) -> Talking:
    """Judge an answer; save it, have it read again, or have its change explained."""
    verdict = judge(sitting.desk, sitting.look, question, answer)
    if verdict.look is None:
        yield Say(tuple(f"  ! {line}" for line in verdict.refused))
        return question
    sitting.unread.discard(question.field)
    look = verdict.look
    if look.source.data == sitting.look.source.data:
        return after(sitting, question)
    if verdict.doubts:
        yield Say(tuple(f"  ? {line}" for line in verdict.doubts))
        why = (yield Ask(AGAIN)).strip()
        if " " not in why or not A_WORD.search(why):  # another answer, or `p 2`
            return (yield from replied(sitting, question, why))
        look = sitting.desk.look(remark(look, question, verdict.value, why))
    stood = at(sitting.stood, question.field)
    if stood is not None and not answer.startswith("+"):
        if not (yield from explained(sitting, question, look, verdict.value)):
            return question
    else:
        sitting.look = look
        yield Save(look.source.data)
    yield from shown(sitting, question)
    return after(sitting, question)


YES_OR_NO = ("yes", "y", "ye", "no", "n", "1", "2")
"""What a gate takes: by number as well, as any choice."""

AGAIN = "Read it again and type it, or say in some words why it is right: "


def explained(sitting: Sitting, question: Question, look: Look, value: str) -> Talking:
    """Change what stood: with who and why, in a commit of its own."""
    if not sitting.committing:
        yield Say(
            (
                "  ! That reading stands. Changing it takes a commit of its own, with "
                "who and why: not while nothing is committed here.",
            )
        )
        return False
    old = words.standing(at(sitting.stood, question.field))
    ask = f"{old} stands. Why is it changed to {value}? (Enter: leave it) "
    why = yield from reasoned(ask)
    if not why:
        return False
    yield from kept(sitting, sitting.desk.by, sitting.reason)
    if sitting.base != sitting.look.source.data:
        return False  # git refused what was new: no change goes on top of it
    unit = f" {question.reading.unit}" if question.reading.unit else ""
    subject = f"{sitting.id}: {named(question)}: {old} to {value}{unit}"
    data = look.source.data
    if not (yield Commit(data, subject, sitting.desk.by, why)):
        return False
    sitting.look, sitting.base = look, data
    return True


def reasoned(ask: str) -> Talking:
    """Have a change explained in words: a number is the next reading, come early."""
    option = "reason"
    while True:
        why = (yield Ask(ask, option)).strip()
        if why.lower() in STOP:
            raise Stopped
        if not why or why.lower() in BACK:
            return ""
        if A_WORD.search(why):
            return why
        yield Say(("  ! Say why in a word or two: no reading is asked for here.",))
        option = ""


A_WORD = re.compile(r"[^\W\d_]{3}")
"""What a reason has, and neither a reading, nor a staff code, nor a container does."""


def shown(sitting: Sitting, question: Question) -> Talking:
    """Show what the last reading brought: its line, and the curve if that moved."""
    now, before = progress(sitting), sitting.shown
    sitting.shown = now
    known = dict(before.lines)
    line = question.lead[-1]  # its number from 0, or a name outside of a list
    lines = [
        f"  {text}"
        for number, text in now.lines
        if known.get(number) != text and (line == number - 1 or isinstance(line, str))
    ]
    if now.points != before.points:
        lines += drawn(now, sitting.width)
    if lines:
        yield Say(tuple(lines))


def finished(sitting: Sitting) -> Talking:
    """At the end: say what is left blank, or have the test called complete."""
    made = sitting.look.outcome
    if made is None or made.status != "in-progress":
        return
    left = [q for q in sitting.questions() if sitting.blank(q) and not q.gate]
    if any(q.reading.needed for q in left):
        return
    answer = (yield Ask("Every reading stands. Is the test complete? [no] ")).strip()
    if not answer or not "yes".startswith(answer.lower()):
        return
    look = completed(sitting)
    errors = [flag for flag in look.flags if flag.severity is Severity.ERROR]
    warnings = [flag for flag in look.flags if flag.severity is Severity.WARNING]
    told = [f"  {flag.severity}: {flag.message}" for flag in (*errors, *warnings)]
    if errors:
        yield Say((*told, "It stays in progress: an error stands against it."))
        return
    yield Say((*told, "Complete: ready for review."))
    sitting.look = look
    yield Save(look.source.data)
