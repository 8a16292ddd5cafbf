"""The history of a test as text and plain data: its edits and its revisions."""

from collections.abc import Iterator, Sequence
from typing import Any

from buildsite.archive.edits import Edit, Timeline
from buildsite.kinds.reporting import Spoken, readable_text, reported_word
from buildsite.pages.differences_text import (
    INPUTS_CHANGED,
    field_line,
    flag_lines,
    result_row,
    results_data,
)
from buildsite.pages.follows_text import follow_data
from buildsite.record.issued import Item
from buildsite.record.messages import counted

SHORT = 12
"""Length of a commit's id as printed."""

Event = Edit | Item


def events(
    timeline: Timeline, items: Sequence[Item], *, everything: bool
) -> list[Event]:
    """Return edits and revisions, newest first; with `everything`, all edits."""
    shown = [edit for edit in timeline.edits if everything or edit.has_effect]
    placed: list[tuple[int, int, Event]] = [(e.place, 1, e) for e in shown]
    for index, item in enumerate(items):
        placed.append((timeline.place(index), -index, item))
    return [event for _, _, event in sorted(placed, key=lambda one: one[:2])]


def text(
    timeline: Timeline, items: Sequence[Item], method: Spoken, *, everything: bool
) -> Iterator[str]:
    """Return the history of a test for a terminal, in the words of its standard."""
    effective = sum(edit.has_effect for edit in timeline.edits)
    folded = len(timeline.edits) - effective
    parts = [
        f"{counted(effective, 'edit')} that changed results, inputs or flags",
        counted(len(items), "revision"),
    ]
    if folded and not everything:
        parts.append(f"{counted(folded, 'other edit')} (--all)")
    yield f"{timeline.test}: {', '.join(parts)}"
    for event in events(timeline, items, everything=everything):
        yield ""
        yield from (
            edit_lines(event, timeline, method)
            if isinstance(event, Edit)
            else item_lines(event, timeline.test, method)
        )


def item_lines(item: Item, test: str, method: Spoken) -> Iterator[str]:
    """Return the lines of one revision."""
    about = (
        f"{item.kind} of r{item.assesses}" if item.assesses is not None else item.kind
    )
    yield (
        f"{item.issued_on}  {test} r{item.revision}: {about}, authorized by "
        f"{item.authorized_by}: {item.reason}"
    )
    if item.breaks:
        what = "items altered or lost at commit"
        yield f"    explains {what} {item.breaks[:SHORT]}, since restored"
    results = item.computed if item.computed is not None else item.results
    for name, one in results.items():
        yield f"    {reported_word(method, name, one)}: {readable_text(one)}"
    if item.issued_to:
        yield f"    issued to {', '.join(item.issued_to)}"


def edit_lines(edit: Edit, timeline: Timeline, method: Spoken) -> Iterator[str]:
    """Return the lines of one edit: who and why, what changed, and the effect."""
    why = edit.reason.partition("\n")[0]
    yield f"{edit.commit.day}  {edit.commit.id[:SHORT]}  {edit.who}: {why}"
    for line in (*change_lines(edit, timeline.file), *effect_lines(edit, method)):
        yield f"    {line}"


def change_lines(edit: Edit, file: str) -> Iterator[str]:
    """Return an edit's signature, the place of its file, the fields it changed."""
    if edit.signature.state != "not checked":
        signed = f"{edit.signature.state}, {edit.signature.code}"
        yield f"signature: {signed.rstrip(', ')}"
    if edit.placed:
        yield edit.placed
    if edit.joins:
        yield "a merge of two lines of edits"
    for field in edit.fields:
        other = "" if field.file == file else f"{field.file}: "
        yield f"{other}{field_line(field)}"


def effect_lines(edit: Edit, method: Spoken) -> Iterator[str]:
    """Return the effect of an edit on results and flags."""
    if edit.unread:
        yield f"not computed: {edit.unread}"
    for result in edit.results:
        name, old, new, gap = result_row(result, method)
        yield f"→ {name}: {old} {new}{f' ({gap})' if gap else ''}"
    if edit.moved and not edit.results:
        yield f"→ {INPUTS_CHANGED}"
    if edit.verdict is not None and edit.turns:
        yield f"→ verdict: {edit.verdict.words}"
    yield from flag_lines("new", edit.came)
    yield from flag_lines("cleared", edit.went)


def data(
    timeline: Timeline, items: Sequence[Item], method: Spoken, *, everything: bool
) -> dict[str, Any]:
    """Return the history of a test as plain data."""
    shown = [edit for edit in timeline.edits if everything or edit.has_effect]
    return {
        "test": timeline.test,
        "file": timeline.file,
        "edits": [edit_data(edit, method) for edit in shown],
        "revisions": [
            {
                "revision": item.revision,
                "kind": item.kind,
                "issued_on": item.issued_on.isoformat(),
                "authorized_by": item.authorized_by,
                "reason": item.reason,
                "results": item.results,
                "assesses": item.assesses,
                "computed": item.computed,
                "content": item.content,
            }
            for item in items
        ],
    }


def edit_data(edit: Edit, method: Spoken) -> dict[str, Any]:
    """Return one edit as plain data."""
    return {
        "commit": edit.commit.id,
        "when": edit.commit.when,
        "who": edit.who,
        "reason": edit.reason,
        "files": list(edit.files),
        "placed": edit.placed or None,
        "moved": edit.moved,
        "joins": edit.joins,
        "unread": edit.unread or None,
        "signature": edit.signature.state,
        "fields": [
            {name: getattr(f, name) for name in ("file", "field", "old", "new", "unit")}
            for f in edit.fields
        ],
        "verdict": follow_data(edit.verdict) if edit.verdict is not None else None,
        **results_data(edit, method),
    }
