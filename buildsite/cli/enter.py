"""`enter`: readings at the bench, one question at a time."""

from pathlib import Path
from typing import Any

import click

from buildsite.archive.archive import Archive
from buildsite.archive.identity import name_of
from buildsite.cli.common import (
    archive_root,
    at_terminal,
    day_so_far,
    my_code,
    open_archive,
    refuse,
    root_option,
)
from buildsite.cli.enter_what import (
    ChosenRecord,
    choose,
    reasons_against,
    without_right,
)
from buildsite.cli.record_files import write_records
from buildsite.cli.terminal import Terminal
from buildsite.entering.agreed import common_answers
from buildsite.entering.answer_check import RecordState, WorkingRecord
from buildsite.entering.answer_forms import as_on_staff_list
from buildsite.entering.messages import (
    AskFor,
    CommitRecord,
    Effect,
    Save,
    Say,
    unknown_code,
)
from buildsite.entering.not_kept import note_left, tell_once
from buildsite.entering.record_store import (
    RecordStore,
    committed_bytes,
    open_for_readings,
)
from buildsite.entering.session import STOP, Session, Stopped
from buildsite.entering.talk import talk
from buildsite.errors import ENVIRONMENT, EnvironmentFault
from buildsite.starting.series import NextTest, next_test, with_typed


@click.command()
@click.argument("what", metavar="TEST|RECORD")
@click.argument("about", required=False, metavar="[PART]")
@click.option("--by", metavar="CODE", help="Who enters the readings. Default: asked.")
@click.option("--on", metavar="DATE", help="Date, YYYY-MM-DD. Default: today.")
@click.option("--reason", metavar="TEXT", help="Why an earlier reading is changed.")
@click.option("--whose", metavar="CODE", help="Who made the uncommitted changes.")
@click.option("--whose-reason", metavar="TEXT", help="Why they were made.")
@click.option("--no-commit", is_flag=True, help="Save the readings, without a commit.")
@root_option
def enter(
    what: str,
    about: str | None,
    by: str | None,
    on: str | None,
    root: Path | None,
    *,
    no_commit: bool,
    **given: str | None,
) -> None:
    """
    Enter the readings of TEST at the bench, or what else a RECORD says.

    Asks in the order of the work, one number at a time. Each reading is checked and
    saved at once; all are committed at the end, or when you stop. The next time you
    continue where you stopped. Answers may come through a pipe, one per line. Of a
    complete test it asks which reading is to be corrected.

    RECORD is a sample, a project, a piece of equipment, or `lab`: each particular is
    asked, with its present value. `enter TEST particulars` asks those of a test, and
    PART only some: standard, equipment, oversize, remarks; `enter lab T09` a person.

    Example: buildsite enter AQ-0008 --by T07
    """
    folder = archive_root(root)
    chosen = choose(folder, what, about)
    options = {name.replace("_", "-"): value for name, value in given.items()}
    terminal = Terminal(options)
    with terminal.hang_up_heard():
        session = begin_session(
            folder, chosen, by, on, terminal, committing=not no_commit
        )
        while (following := offer_next(folder, session, terminal)) is not None:
            session = begin_session(
                folder,
                ChosenRecord(following.file, following.kind.group, None),
                session.record.by,
                on,
                terminal,
                committing=not no_commit,
                before=session,
                fresh=following.record is not None,
            )


def begin_session(
    folder: Path,
    chosen: ChosenRecord,
    by: str | None,
    on: str | None,
    terminal: Terminal,
    *,
    committing: bool,
    before: Session | None = None,
    fresh: bool = False,
) -> Session:
    """Open the record for one person alone; ask for readings or particulars."""
    archive, day = open_archive(folder), day_so_far(on)
    file, signed = chosen.file, archive.signs_edits()
    kept = open_for_readings(folder, file, committing=committing, signed=signed)
    with kept.taken():
        if kept.put_back():
            terminal.say((PUT_BACK.format(name_of(file)),))
        by = as_on_staff_list(archive, by) if by else code_of(folder, archive, terminal)
        record = WorkingRecord(file, archive, by, day, chosen.about)
        state = record.state(archive.read_file(file))
        refuse_unfit(chosen, record, state)
        return hold_session(
            kept,
            record,
            state,
            terminal,
            committing=committing,
            before=before,
            fresh=fresh,
        )


def refuse_unfit(
    chosen: ChosenRecord, record: WorkingRecord, state: RecordState
) -> None:
    """Refuse a person without authority, and a record that takes no readings."""
    authority = [*without_right(record.archive, chosen, record.by, record.on)]
    reasons = [*authority, *reasons_against(name_of(chosen.file), record, state)]
    if reasons:
        remedy = [WHO_MAY] if authority else []
        refuse(*reasons, *remedy, nothing="Nothing was entered.")


def hold_session(
    kept: RecordStore,
    record: WorkingRecord,
    state: RecordState,
    terminal: Terminal,
    *,
    committing: bool,
    before: Session | None = None,
    fresh: bool = False,
) -> Session:
    """Hold the talk, from what earlier sessions and others left in the file."""
    data = state.source.data
    committed = committed_bytes(kept.root, kept.file) if kept.slip else None
    earlier = kept.begin(committed, data)
    base = committed if committing else data
    session = Session(record, state, base, committing, terminal.width)
    session.reason = terminal.options.get("reason") or session.reason
    session.earlier = earlier if committing else session.earlier
    if before is not None:
        session.agreed, session.earlier_test = common_answers(before), before.id
        session.fresh = fresh
    terminal.say(tell_once(kept))
    run_talk(talk(session), TalkRunner(terminal, kept, data, record))
    note_left(kept, session.pending, record.by)
    if session.idle:
        kept.note(None)
        kept.path.unlink(missing_ok=True)
    if session.refused:
        raise SystemExit(ENVIRONMENT)
    return session


def offer_next(folder: Path, session: Session, terminal: Terminal) -> NextTest | None:
    """Offer the next test of a day's work; write it if it is not there yet."""
    if terminal.gone or session.walking or session.data == session.began:
        return None
    archive, record = open_archive(folder), session.record
    found = next_test(archive, record.file, record.by, record.on)
    while found is not None:
        there = f"{name_of(found.file)}, {found.words}"
        keys = f"   a {found.typed}: there" if found.typed else ""
        ask = f"Next: {there}. Enter: go on{keys}   /: stop "
        try:
            answer = terminal.ask(AskFor(ask)).strip()
        except Stopped:
            return None
        if answer.lower() in (*STOP, "no", "n"):
            return None
        if answer.lower() in ("", "yes", "y"):
            break
        found = with_typed(archive, found, answer)
    if found is not None and found.record is not None:
        write_records(folder, [found.record], "")
    return found


PUT_BACK = (
    "{} was being written when an earlier session broke off. What was entered last is "
    "in the file now."
)


WHO_MAY = "Give another --by or --on. Authorizations and dates are in records/lab.yaml."


def code_of(folder: Path, archive: Archive, terminal: Terminal) -> str:
    """Ask for a staff code until it is known; Enter accepts the one git gives."""
    lab, me = archive.laboratory, my_code(folder, archive)
    staff = lab.staff if lab is not None else {}
    while True:
        try:
            answer = terminal.ask(
                AskFor(f"Your staff code{f' [{me}]' if me else ''}: ")
            )
        except Stopped:
            raise click.UsageError("Your staff code is missing. Give --by.") from None
        code = answer or me
        code = as_on_staff_list(archive, code)
        if not staff or code in staff or not at_terminal():
            return code
        terminal.say(unknown_code(code, staff))


def run_talk(talking: Any, hands: "TalkRunner") -> None:
    """Run a talk to its end: do each effect, and send it the answer."""
    answer: Any = None
    stopped = False
    while True:
        try:
            effect = talking.throw(Stopped) if stopped else talking.send(answer)
        except StopIteration:
            return
        stopped = False
        try:
            answer = hands.do(effect)
        except Stopped:
            stopped = True


NOT_COMMITTED = (
    "The readings are saved, not committed. Correct that, then run "
    "`buildsite enter {}`."
)


class TalkRunner:
    """Effects of a talk: says, asks, saves, commits."""

    def __init__(
        self,
        terminal: Terminal,
        kept: RecordStore,
        data: bytes,
        record: WorkingRecord,
    ) -> None:
        self.terminal, self.kept, self.data = terminal, kept, data
        self.by, self.on = record.by, record.on.isoformat()

    def do(self, effect: Effect) -> Any:
        """Do one effect."""
        if isinstance(effect, AskFor):
            return self.terminal.ask(effect)
        if isinstance(effect, Say):
            return self.terminal.say(effect.lines)
        if isinstance(effect, Save):
            self.kept.save(self.data, effect.data, self.by, self.on)
            self.data = effect.data
            return True
        return self.commit(effect)

    def commit(self, effect: CommitRecord) -> bool:
        """Commit; if git refuses, say so and keep the readings in the file."""
        self.kept.unchanged(self.data)
        who = [("Entered-by", effect.by), ("Reason", effect.reason)]
        trailers = [*(("Altered", text) for text in effect.altered), *who]
        try:
            self.kept.commit(effect.data, effect.subject, trailers, effect.stays)
        except EnvironmentFault as fault:
            again = NOT_COMMITTED.format(name_of(self.kept.file))
            self.terminal.say((fault.cause, again))
            return False
        self.data = effect.data if effect.stays is None else effect.stays
        return True
