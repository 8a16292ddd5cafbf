"""The past of a test for a terminal and for programs: its edits and its revisions."""

from collections.abc import Iterator, Sequence
from typing import Any

from buildsite.archive.edits import Edit, Timeline
from buildsite.kinds.reporting import readable_text, result_name
from buildsite.pages.differences_text import (
    field_line,
    flag_lines,
    result_row,
    results_data,
)
from buildsite.record.issued import Item
from buildsite.record.messages import counted

SHORT = 12
"""Digits of a commit's id that tell it from any other."""

Event = Edit | Item


def events(
    timeline: Timeline, items: Sequence[Item], *, everything: bool
) -> list[Event]:
    """Put revisions among the edits, newest first; edits that moved nothing on wish."""
    shown = [edit for edit in timeline.edits if everything or edit.tells]
    placed: list[tuple[int, int, Event]] = [(e.place, 1, e) for e in shown]
    for index, item in enumerate(items):
        placed.append((timeline.place(index), -index, item))
    return [event for _, _, event in sorted(placed, key=lambda one: one[:2])]


def text(
    timeline: Timeline, items: Sequence[Item], *, everything: bool
) -> Iterator[str]:
    """Write the past of a test for a terminal."""
    telling = sum(edit.tells for edit in timeline.edits)
    folded = len(timeline.edits) - telling
    parts = [
        f"{counted(telling, 'edit')} that moved something",
        counted(len(items), "revision"),
    ]
    if folded and not everything:
        parts.append(f"{counted(folded, 'edit')} that moved nothing (--all)")
    yield f"{timeline.test}: {', '.join(parts)}"
    for event in events(timeline, items, everything=everything):
        yield ""
        yield from (
            edit_lines(event, timeline)
            if isinstance(event, Edit)
            else item_lines(event, timeline.test)
        )


def item_lines(item: Item, test: str) -> Iterator[str]:
    """Write one revision."""
    about = (
        f"{item.kind} of r{item.assesses}" if item.assesses is not None else item.kind
    )
    yield (
        f"{item.issued_on}  {test} r{item.revision}: {about}, authorized by "
        f"{item.authorized_by}: {item.reason}"
    )
    if item.breaks:
        what = "items altered or lost at commit"
        yield f"    explains {what} {item.breaks[:SHORT]}, then brought back"
    results = item.computed if item.computed is not None else item.results
    for name, one in results.items():
        yield f"    {result_name(name)}: {readable_text(one)}"
    if item.issued_to:
        yield f"    issued to {', '.join(item.issued_to)}"


def edit_lines(edit: Edit, timeline: Timeline) -> Iterator[str]:
    """Write one edit: who and why, what was changed, what that did."""
    why = edit.reason.partition("\n")[0]
    yield f"{edit.commit.day}  {edit.commit.id[:SHORT]}  {edit.who}: {why}"
    for line in (*change_lines(edit, timeline.file), *effect_lines(edit)):
        yield f"    {line}"


def change_lines(edit: Edit, file: str) -> Iterator[str]:
    """What an edit was: its signature, where it put the file, the fields it changed."""
    if edit.signature.state != "not checked":
        signed = f"{edit.signature.state}, {edit.signature.code}"
        yield f"signature: {signed.rstrip(', ')}"
    if edit.placed:
        yield edit.placed
    if edit.joins:
        yield "a merge, which joined two lines of edits"
    for field in edit.fields:
        other = "" if field.file == file else f"{field.file}: "
        yield f"{other}{field_line(field)}"


def effect_lines(edit: Edit) -> Iterator[str]:
    """What an edit did: to the results, to the flags."""
    if edit.unread:
        yield f"not computed: {edit.unread}"
    for result in edit.results:
        name, old, new, gap = result_row(result)
        yield f"→ {name}: {old} {new}{f' ({gap})' if gap else ''}"
    if edit.moved and not edit.results:
        yield "→ the same results, from other values"
    yield from flag_lines("came", edit.came)
    yield from flag_lines("went", edit.went)


def data(
    timeline: Timeline, items: Sequence[Item], *, everything: bool
) -> dict[str, Any]:
    """Write the past of a test as plain data."""
    shown = [edit for edit in timeline.edits if everything or edit.tells]
    return {
        "test": timeline.test,
        "file": timeline.file,
        "edits": [edit_data(edit) for edit in shown],
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


def edit_data(edit: Edit) -> dict[str, Any]:
    """Write one edit as plain data."""
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
        **results_data(edit),
    }
