"""Commits of a session: by whom and why, and the uncommitted changes of others."""

from collections.abc import Sequence
from dataclasses import replace

from buildsite.entering import messages
from buildsite.entering.answer_forms import as_on_staff_list
from buildsite.entering.messages import AskFor, CommitRecord, Say, Talk
from buildsite.entering.session import BACK, STOP, Session, Stopped
from buildsite.entering.uncommitted import (
    Slip,
    Stage,
    Typed,
    change_text,
    tree_of,
    typed_in,
    typist,
)
from buildsite.record.changes import Change, changes
from buildsite.record.compose import Tree
from buildsite.record.reasons import A_REASON, is_reason

MOST_SHOWN = 6
"""Number of uncommitted changes that are shown."""

EARLIER = "readings of an earlier session"
"""The reason of their commit."""


def commit_readings(session: Session, by: str, reason: str) -> Talk:
    """Commit the readings that are not yet committed."""
    data = session.data
    if not session.committing or data == session.base or session.idle:
        return
    what = subject_of(session, session.tree)
    yield from commit_data(session, CommitRecord(data, what, by, reason))


def subject_of(session: Session, tree: Tree) -> str:
    """Return the subject of a commit of the record as it is in a tree."""
    if session.base is None:
        return messages.new_record_subject(tree)
    return messages.commit_subject(session.committed, tree)


def commit_data(session: Session, commit: CommitRecord) -> Talk:
    """Commit; where git refuses, nothing more is committed in this session."""
    done = yield replace(commit, subject=f"{session.id}: {commit.subject}")
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


def commit_earlier(session: Session) -> Talk:
    """
    Commit what stood uncommitted in the file, each stage in the name of its author.

    Of changes that were not made by `enter`, somebody is asked who made them, and why;
    if they don't say, nothing more is committed in this session.
    """
    start = session.earlier
    typed: Typed = {}
    before = tree_of(start.base)
    for stage in start.stages:
        found = changes(before, stage.tree)
        if stage.by:
            yield Say(earlier_readings(session, stage, found))
            who: tuple[str, str] = (stage.by, EARLIER)
        else:
            yield Say(unknown_changes(session, found, typed))
            who = yield from ask_whose_changes(session)
        if not all(who):
            yield Say((UNSETTLED,))
            return
        done = yield from commit_data(session, commit_of(session, stage, who, typed))
        if not done:
            return
        session.committing = True
        session.earlier = Slip(stage.data, start.after(stage.data))
        typed |= typed_in(found, stage.by)
        before = stage.tree


def commit_of(
    session: Session, stage: Stage, who: tuple[str, str], typed: Typed
) -> CommitRecord:
    """Return the commit of a stage, which names who typed what it alters."""
    by, reason = who
    altered = tuple(
        change_text(change, typed, by)
        for change in changes(session.committed, stage.tree)
        if change.old is not None and (not stage.by or typist(change, typed))
    )
    what = subject_of(session, stage.tree)
    return CommitRecord(stage.data, what, by, reason, altered, session.data)


def earlier_readings(
    session: Session, stage: Stage, found: Sequence[Change]
) -> tuple[str, ...]:
    """Return which readings of an earlier session are committed now, for whom."""
    on = f" on {stage.on}" if stage.on else ""
    return (
        "An earlier session was interrupted, or did not commit. Its readings are "
        f"saved. {stage.by} entered{on}:",
        *shown(found, {}),
    )


def unknown_changes(
    session: Session, found: Sequence[Change], typed: Typed
) -> tuple[str, ...]:
    """Return which changes were not made by `enter`, and whose readings they alter."""
    entered = session.earlier.unclear
    unclear = f"  {entered} entered some of them with an earlier version."
    return (
        f"{session.id} has uncommitted changes that were not made by enter:",
        *shown(found, typed),
        *((unclear,) * bool(entered)),
        "They will not be committed as yours.",
    )


def shown(found: Sequence[Change], typed: Typed) -> tuple[str, ...]:
    """Return the first of some changes, and how many more there are."""
    if not found:
        return ("  only comments or the layout of the file",)
    more = f"  and {len(found) - MOST_SHOWN} more"
    return (
        *(f"  {change_text(change, typed)}" for change in found[:MOST_SHOWN]),
        *((more,) * (len(found) > MOST_SHOWN)),
    )


def ask_whose_changes(session: Session) -> Talk:
    """
    Ask who made changes, and why; return both, empty if not answered.

    Nothing is committed in this session until somebody known has said so.
    """
    session.committing = False
    code = yield from ask_code(session)
    if not code:
        return ("", "")
    return (code, (yield from ask_reason("Why were they made? ", "whose-reason")))


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
