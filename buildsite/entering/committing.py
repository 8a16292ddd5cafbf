"""Commits of a session: by whom and why, and the uncommitted changes of others."""

from buildsite.entering import messages
from buildsite.entering.answer_forms import as_on_staff_list
from buildsite.entering.messages import AskFor, CommitRecord, Save, Say, Talk
from buildsite.entering.session import BACK, STOP, Session, Stopped
from buildsite.record.changes import changes
from buildsite.record.reasons import A_REASON, is_reason

MOST_SHOWN = 6
"""Number of uncommitted changes of others that are shown."""


def commit_readings(session: Session, by: str, reason: str) -> Talk:
    """Commit the readings that are not yet committed."""
    data = session.data
    if not session.committing or data == session.base:
        return
    what = messages.commit_subject(session.committed, session.tree)
    if session.base is None:
        what = messages.new_record_subject(session.tree)
    yield from commit_data(session, CommitRecord(data, what, by, reason))


def commit_data(session: Session, commit: CommitRecord) -> Talk:
    """Commit; where git refuses, nothing more is committed in this session."""
    subject = f"{session.id}: {commit.subject}"
    done = yield CommitRecord(commit.data, subject, commit.by, commit.reason)
    if done:
        session.base = commit.data
    else:
        session.committing, session.refused = False, True
    return done


def ask_reason(ask: str, option: str = "reason") -> Talk:
    """Ask why, in words: not yes, and not the next reading, typed too early."""
    while True:
        why = (yield AskFor(ask, option)).strip()
        if why.lower() in STOP:
            raise Stopped
        if not why or why.lower() in BACK:
            return ""
        if is_reason(why):
            return why
        yield Say((f"  ! {why!r} is no reason. {A_REASON}",))
        option = ""


def ask_whose_changes(session: Session) -> Talk:
    """
    Ask who made the uncommitted changes, and why; leave them if not answered.

    Nothing is committed in this session until somebody known has said so.
    """
    session.committing = False
    others = session.others if session.others is not None else session.data
    there = session.record.state(others).source.tree
    found = changes(session.committed, there)
    yield Say(
        (
            f"{session.id} has uncommitted changes that were not made by enter:",
            *(f"  {change}" for change in found[:MOST_SHOWN]),
            *((f"  and {len(found) - MOST_SHOWN} more",) * (len(found) > MOST_SHOWN)),
            "They will not be committed as yours.",
        )
    )
    code = yield from ask_code(session)
    reason = (
        (yield from ask_reason("Why were they made? ", "whose-reason")) if code else ""
    )
    if not reason:
        yield Say((UNSETTLED,))
        return
    session.committing = True
    what = messages.commit_subject(session.committed, there)
    own = session.data
    if (yield from commit_data(session, CommitRecord(others, what, code, reason))):
        session.others = None
        if own != others:
            yield Save(own)


UNSETTLED = (
    "Your readings will be saved in the file, but not committed until these changes "
    "have an author."
)


def ask_code(session: Session) -> Talk:
    """Ask for a code on the staff list until there is one; empty: leave them."""
    lab, option = session.record.archive.laboratory, "whose"
    staff = lab.staff if lab is not None else {}
    while True:
        ask = AskFor("Who made them? Staff code, or Enter to leave them: ", option)
        code = (yield ask).strip()
        if code.lower() in STOP:
            raise Stopped
        code = as_on_staff_list(session.record.archive, code)
        if not code or code in staff:
            return code
        yield Say(messages.unknown_code(code, staff))
        option = ""
