"""A session at a record: its state, and the way from question to question."""

from collections.abc import Sequence
from dataclasses import field
from typing import Any

from buildsite.archive.identity import name_of
from buildsite.entering.answer_check import RecordState, WorkingRecord, pick_choice
from buildsite.entering.questions import (
    Question,
    is_blank,
    questions,
    reads_before_later,
)
from buildsite.entering.uncommitted import Slip
from buildsite.kinds.bench_spec import Part, Progress
from buildsite.record.compose import Tree
from buildsite.record.flags import Field
from buildsite.record.set_reading import (
    value_at,
)
from buildsite.record.typed import without_blanks
from buildsite.values import dataclass

BACK, STOP = ("-", "back"), ("/", "stop", "q", "quit")


REASONS = ("readings at the bench", "particulars entered")
"""The reason of a commit where none is given: of readings, of particulars."""


class Stopped(Exception):
    """The person stopped: saved readings are committed now."""


@dataclass
class Session:
    """
    One session at a record.

    `base` is the record as committed, None where never: committed values are changed
    only with who and why. `earlier` is what stood uncommitted in the file before;
    `refused` is whether git refused a commit. `visiting` is the line that `p 3` led to,
    `offered` the lines that were offered at the end.
    `correcting`: only one line or part is asked for, and then the last question.
    `pending` is a reading that waits to be typed again, or for its reason. `deferred`:
    readings are made now, and what comes at another time is not asked. `agreed` are
    answers as for the test before, until each is given; `earlier_test` is that test.
    `fresh`: made for this session, and not kept if nothing is entered.
    """

    record: WorkingRecord
    state: RecordState
    base: bytes | None
    committing: bool = True
    width: int = 60
    reason: str = ""
    opened: dict[Field, int] = field(default_factory=dict)
    last_progress: Progress = field(default_factory=Progress)
    title: str = ""
    unread: set[Field] = field(default_factory=set)
    earlier: Slip = field(default_factory=lambda: Slip(b""))
    refused: bool = False
    visiting: Field = ()
    offered: set[Field] = field(default_factory=set)
    correcting: bool = False
    pending: str = ""
    began: bytes = b""
    deferred: bool = False
    agreed: dict[Field, str] = field(default_factory=dict)
    earlier_test: str = ""
    fresh: bool = False

    def __post_init__(self) -> None:
        """Collect the prefilled readings of a record that was never committed."""
        self.reason = self.reason or REASONS[self.walking]
        self.began = self.began or self.data
        self.deferred = self.deferred or (
            not self.walking and not self.complete and self.reads_now()
        )
        if self.base is None and not self.walking:
            self.unread = {
                one.field
                for one in self.questions()
                if one.reading.unit and not one.line and not self.blank(one)
            }

    @property
    def tree(self) -> Tree:
        """Return the record."""
        return self.state.source.tree

    @property
    def data(self) -> bytes:
        """Return the text of the record."""
        return self.state.source.data

    @property
    def committed(self) -> Any:
        """Return the record as committed."""
        return {} if self.base is None else self.record.state(self.base).source.tree

    @property
    def id(self) -> str:
        """Return the id of the record."""
        return name_of(self.record.file)

    @property
    def walking(self) -> bool:
        """Return whether particulars are asked for, one after the other."""
        return self.record.about is not None

    @property
    def complete(self) -> bool:
        """Return whether readings are asked for, of a test that is complete."""
        made = self.state.outcome
        return made is not None and made.status == "complete" and not self.walking

    def questions(self, *, whole: bool = False) -> tuple[Question, ...]:
        """Return every question for the record; `whole`: also those deferred."""
        bench, later = self.state.bench, whole or not self.deferred
        if bench is None:
            return ()
        return questions(bench, self.tree, self.opened, self.unread, later=later)

    @property
    def idle(self) -> bool:
        """Return whether the record was made for this session, and nothing entered."""
        return self.fresh and self.data == self.began

    def reads_now(self) -> bool:
        """Return whether a reading is still to be made before what is done later."""
        bench = self.state.bench
        return bench is not None and reads_before_later(bench, self.tree)

    def blank(self, question: Question) -> bool:
        """Return whether a question has no answer, or only a prefilled one."""
        unread = question.field in self.unread
        return unread or is_blank(question, self.tree)


def question_name(question: Question) -> str:
    """Return the name of a question in a sentence."""
    lead = f"{question.line.lower()}, " if question.line else ""
    return lead + question.reading.words.lower()


def first_open(session: Session) -> Question | None:
    """
    Return where to continue: the first needed reading that is blank.

    In a record without readings in its lists, it is the first blank. On a line not yet
    begun, optional readings made on other lines come first: soil in the pan, water.
    """
    if session.walking:
        return next(iter(session.questions()), None)
    if session.complete:
        return still_needed(session)
    every = [q for i, q in enumerate(session.questions()) if is_open(session, i)]
    lines = [q for q in every if q.line] or every
    begun = any(q.reading.unit and not session.blank(q) for q in lines)
    blanks = [
        q for q in every if session.blank(q) and not passed_over(session, q, lines)
    ]
    needed = [q for q in blanks if q.reading.needed]
    if not (begun and needed):
        return blanks[0] if blanks else None
    read = {q.reading.name for q in lines if not session.blank(q)}
    before = blanks[: blanks.index(needed[0])]
    before = [q for q in before if q.line and q.lead == needed[0].lead]
    return next((q for q in before if q.reading.name in read), needed[0])


def passed_over(
    session: Session, question: Question, lines: Sequence[Question]
) -> bool:
    """Return whether an optional reading was left blank on a line already begun."""
    return not question.reading.needed and any(
        q.lead == question.lead and q.reading.needed and not session.blank(q)
        for q in lines
    )


def is_open(session: Session, i: int) -> bool:
    """Return whether a question is asked: a gate only while all after it is blank."""
    every = session.questions()
    return not every[i].gate or all(session.blank(q) for q in every[i + 1 :])


def usual_answer(session: Session, question: Question) -> str:
    """Return the default that Enter takes on a blank: never a reading."""
    takes = question.reading.takes
    if session.walking and not question.gate:
        return ""
    if question.gate and not session.walking:
        return "yes" if is_required(session, question) else question.reading.usual
    if takes in ("day", "code") and session.complete:
        return ""  # it was done before: today and who sits here are no guess
    if takes == "day":
        return max(session.record.on.isoformat(), out_of_oven(session, question))
    if takes == "code":
        return session.record.by
    return question.reading.usual


def has_masses(part: Part) -> bool:
    """Return whether readings with a unit are made in a part, on each line."""
    return not part.once and any(one.unit for one in part.readings)


def ask_again_when_read(session: Session, question: Question) -> None:
    """After a further dry mass, have what is said of all of them confirmed."""
    bench = session.state.bench
    if not (question.line and question.reading.unit and bench is not None):
        return
    last = {part.at: part.title for part in bench.parts if has_masses(part)}
    if question.title != last.get(question.lead[:-1]):
        return  # what is weighed later asks for it
    line = value_at(session.tree, question.lead)
    own = ("dried",) if isinstance(line, dict) and line.get("oven") else ()
    said = {part.at for part in bench.parts if part.when_read} - {own}
    session.unread |= {
        one.field
        for one in session.questions()
        if one.field[:-1] in said and not session.blank(one)
    }


def out_of_oven(session: Session, question: Question) -> str:
    """Return the day the soil left the oven, for the day it was weighed dry."""
    *line, act, _ = question.field if len(question.field) > 1 else ("", "")
    out = value_at(session.tree, (*line, "oven", "out"))
    return str(out)[:10] if act == "dried" and isinstance(out, str) else ""


def is_required(session: Session, gate: Question) -> bool:
    """Return whether one more line is required, and the last one is not blank."""
    *lists, line = gate.lead
    before = value_at(session.tree, (*lists, int(line) - 1))
    return bool(progress(session).required) and bool(
        isinstance(before, dict) and without_blanks(before)
    )


CHECKED: Field = ("entered", "checked_by")
"""Who checked the entry: a second person, when all is entered."""


def still_needed(session: Session) -> Question | None:
    """Return what a complete test still lacks, once each: its entry check, too."""
    session.correcting = True
    checkable = value_at(session.tree, ("entered", "by")) is not None
    for one in session.questions():
        wanted = one.reading.needed or (one.field == CHECKED and checkable)
        asked = one.gate or one.field in session.offered
        if wanted and not asked and session.blank(one):
            session.offered.add(one.field)
            return one
    return None


def required_line(session: Session) -> Question | None:
    """Return the question whether to add a line that is still required, once each."""
    made = session.state.outcome
    if session.complete:
        return still_needed(session)
    if session.walking or made is None or made.status != "in-progress":
        return None
    every = session.questions()
    if any(q.reading.needed and session.blank(q) and not q.gate for q in every):
        return None
    for gate in (q for q in every if q.gate and q.field not in session.offered):
        if is_required(session, gate):
            return gate
    return None


def pass_over(session: Session, question: Question) -> Question | None:
    """Return the question after a blank one: on the line led to, answered or not."""
    if question.lead == session.visiting:
        return next_question(session, question)
    return next_blank(session, question)


def position(every: Sequence[Question], question: Question) -> int:
    """Return the position of a question in the list."""
    for i, one in enumerate(every):
        if one.field == question.field and one.gate == question.gate:
            return i
    return len(every)


def next_blank(session: Session, question: Question) -> Question | None:
    """Return the next question without an answer; of particulars, the next one."""
    if session.walking:
        return next_question(session, question)
    if session.correcting:
        return None
    every = session.questions()
    for one in every[position(every, question) + 1 :]:
        if session.blank(one):
            return one
    return None


def next_question(session: Session, question: Question) -> Question | None:
    """Return the next question, answered or not."""
    every = session.questions()
    later = every[position(every, question) + 1 :]
    if session.correcting:
        later = tuple(one for one in later if is_beside(one, question))
    return later[0] if later else None


def is_beside(one: Question, question: Question) -> bool:
    """Return whether a question is about the same line, or of the same part."""
    if question.line or one.line:
        return one.lead == question.lead and not one.gate
    return one.title == question.title


def previous_question(session: Session, question: Question) -> Question:
    """Return the question before, answered or not."""
    every = session.questions()
    i = position(every, question)
    return every[i - 1] if i > 0 else question


def answer_gate(session: Session, question: Question, answer: str) -> Question | None:
    """Add a line to a list, or go on after it."""
    session.offered.add(question.field)
    try:
        more = pick_choice(question.reading, answer) == "yes"
    except ValueError:
        return question
    if not more:
        return next_blank(session, question)
    session.correcting = False
    lists, line = question.lead[:-1], question.lead[-1]
    session.opened[lists] = int(line) + 1
    added = (q for q in session.questions() if q.lead == question.lead and not q.gate)
    return next(added, question)


def progress(session: Session) -> Progress:
    """Return the progress from the readings so far."""
    bench = session.state.bench
    return bench.progress() if bench is not None else Progress()
