"""
Edits after which a failure is none, or counts no more: who, when and why.

An edit of a reading, of a project's requirement, of a zone or a purpose can each take a
failure away. All of them are found by the test before and after; a new report of a
reference is no edit, and `judged_again` has it.
"""

from datetime import date

from buildsite.archive.archive import Archive
from buildsite.archive.differences import FieldChange
from buildsite.archive.edits import Edit, is_written
from buildsite.archive.identity import name_of
from buildsite.archive.record_history import RecordHistory
from buildsite.kinds.follows import Follow
from buildsite.values import dataclass


@dataclass(frozen=True)
class Turned:
    """One such edit: the fields that it changed, as written before and after."""

    test: str
    on: date
    commit: str
    who: str
    reason: str
    fields: tuple[FieldChange, ...]
    follow: Follow


def turned_verdicts(
    look: RecordHistory, archive: Archive, file: str
) -> tuple[Turned, ...]:
    """Return the edits that took a failure of a test away, newest first."""
    look.remember(archive, file)
    edits = look.timeline(file).edits
    return tuple(
        Turned(
            test=name_of(file),
            on=date.fromisoformat(edit.commit.day),
            commit=edit.commit.id,
            who=edit.who,
            reason=edit.reason.partition("\n")[0],
            fields=edit.fields,
            follow=edit.verdict,
        )
        for edit in edits
        if edit.verdict is not None and edit.verdict.vanished and is_an_edit(edit)
    )


def is_an_edit(edit: Edit) -> bool:
    """Whether somebody edited a record: not only a report was issued."""
    return edit.joins or any(is_written(file) for file in edit.files)
