"""
The page `history/` of a test: revisions and edits, newest first.

Written for clients: date, person by code, reason, what was changed from what to what,
and the effect on the results. Edits without effect are folded away.
"""

from collections.abc import Iterator, Sequence

from buildsite.archive.differences import FieldChange, ResultChange
from buildsite.archive.edits import STRANGER, Edit, Timeline
from buildsite.archive.field_names import spoken, with_unit
from buildsite.archive.field_names import subject as subject_of
from buildsite.archive.identity import group_of, name_of
from buildsite.archive.issued_files import without_recipients
from buildsite.kinds.follows import Follow
from buildsite.kinds.reporting import Spoken, difference_of, in_points, readable_text
from buildsite.kinds.sheet import Cell, Note, Row, Sheet, Table
from buildsite.pages.page import File, Head, Pairs, Site
from buildsite.pages.report.parts import TestFolder
from buildsite.pages.revisions.revision_status import SORTS, ending
from buildsite.pages.rows import result_title
from buildsite.pages.site_sources import SiteSources
from buildsite.pages.tables import (
    NOTHING,
    columns,
    facts_table,
    record_target,
    table_row,
)
from buildsite.pages.view_models import Block
from buildsite.record.commits import Signature
from buildsite.record.issued import Issued, Item
from buildsite.record.messages import counted

HEADS = columns("Item", "Record", "Before", "After", "Difference")
SIGNED = {
    "good": "signed by {0}",
    "unsigned": "not signed",
    "unknown key": "signed with a key that lab.yaml does not list",
    "expired key": "signed with a key not valid on that date",
    "revoked key": "signed with a revoked key",
    "altered": "signature invalid: altered after signing",
    "not checked": "",
}
"""State of a signature, in words."""


def history_sheet(
    timeline: Timeline, issued: Issued | None, method: Spoken = None
) -> Sheet:
    """
    Return the revisions and edits of a test, newest first.

    For clients the timeline holds no edits. `method` gives the terms for results.
    """
    items = issued.items if issued is not None else ()
    effective = [edit for edit in timeline.edits if edit.has_effect]
    folded = [edit for edit in timeline.edits if not edit.has_effect]
    blocks: list[Block] = []
    waiting = list(reversed(items))
    for edit in effective:
        while waiting and timeline.place(waiting[0].revision) < edit.place:
            blocks.append(issue_block(timeline.test, items, waiting.pop(0), method))
        blocks += edit_blocks(edit, method)
    blocks += [issue_block(timeline.test, items, item, method) for item in waiting]
    if folded:
        blocks.append(folded_block(folded))
    totals = [counted(len(items), "revision"), counted(len(timeline.edits), "edit")]
    return Sheet(
        f"History of {timeline.test}",
        " · ".join(totals if timeline.edits else totals[:1]),
        tuple(blocks),
    )


def issue_block(
    test: str, items: tuple[Item, ...], item: Item, method: Spoken
) -> Table:
    """Return one revision: date, authorization, reason, recipients, results."""
    since = ending(items, item).capitalize()
    if since.startswith("Withdrawn"):
        since = f"{since}. Do not use its results."
    facts = [
        ("Since then", since),
        ("Authorized by", item.authorized_by),
        ("Reason", item.reason),
        ("Issued to", ", ".join(item.issued_to)),
        *(
            (result_title(name, method, text), readable_text(text))
            for name, text in item.results.items()
        ),
    ]
    if item.assesses is not None:
        facts.insert(0, ("Assesses", f"{test} r{item.assesses}"))
    if item.breaks:
        what = f"items altered or lost at commit {item.breaks[:12]}, since restored"
        facts.insert(1, ("Explains", what))
    number = f"r{item.revision}"
    title = f"{item.issued_on}: {SORTS[item.kind].lower()} {test} {number} issued"
    return facts_table(number, title, facts)


def edit_blocks(edit: Edit, method: Spoken = None) -> Iterator[Block]:
    """Return one edit: a table of its changes, or sentences if it has none."""
    name, title = (
        f"edit-{edit.commit.id[:12]}",
        f"{edit.commit.day}: {reason_line(edit)}",
    )
    words = tuple(effect_sentences(edit, method))
    rows = tuple(change_rows(edit, method))
    if rows:
        note = " ".join(words)
        yield Table(name, title, HEADS, rows, role="changes", note=note)
    else:
        yield Note(name, title, words)
    if edit.text:
        yield text_table(f"{name}-text", edit)


def reason_line(edit: Edit) -> str:
    """Return the first line of the reason."""
    return edit.reason.partition("\n")[0] or "no reason given"


def effect_sentences(edit: Edit, method: Spoken = None) -> Iterator[str]:
    """Return the effect of an edit, in sentences."""
    if edit.placed:
        yield f"The record was {edit.placed}."
    if edit.joins:
        yield "A merge of two lines of edits, with values that neither had."
    yield from result_sentences(edit, method)
    for label, flags in (("New", edit.came), ("Cleared", edit.went)):
        names = ", ".join(dict.fromkeys(f"{f.flag} ({f.severity})" for f in flags))
        if names:
            yield f"{label} flags: {names}."
    by = "a person not on the staff list" if edit.who == STRANGER else edit.who
    how = signature_words(edit.signature)
    yield f"Edited by {by}{how}; commit {edit.commit.id[:12]}."


def result_sentences(edit: Edit, method: Spoken = None) -> Iterator[str]:
    """Return what an edit did to the results and to the verdict."""
    if edit.verdict is not None and edit.turns:
        yield verdict_sentence(edit.verdict)
    if edit.unread:
        yield f"Nothing could be computed from this edit: {edit.unread}."
    elif edit.results:
        yield "; ".join(result_sentence(row, method) for row in edit.results) + "."
    elif edit.moved:
        yield f"{changed(edit)} No reported result changed."


def verdict_sentence(one: Follow) -> str:
    """
    Return what became of a verdict, and whether a failure went.

    >>> verdict_sentence(Follow("A", "lift 7", "94 %", "95 %", "fail", "pass"))
    'A failure that is none after this edit: lift 7: fail → pass, 94 % → 95 %.'
    """
    lead = "Verdict"
    if one.vanished:
        lead = "A failure that is none after this edit"
        if one.uncounted:
            lead = "A failure that no longer counts where it was made"
    return f"{lead}: {one.words}."


def changed(edit: Edit) -> str:
    """Return one sentence on what an edit changed, if no result changed."""
    of: dict[str, list[FieldChange]] = {}
    for moved in edit.fields:
        where = (
            "" if group_of(moved.file) == "test" else f" of {record_name(moved.file)}"
        )
        of.setdefault(subject_of(moved.field) + where, []).append(moved)
    if not of or len(of) > MOST_SUBJECTS:
        return "Values used changed."
    new = all(not moved.old for found in of.values() for moved in found)
    return f"{'Added' if new else 'Changed'}: {', '.join(of)}."


MOST_SUBJECTS = 4


def record_name(file: str) -> str:
    """
    Return the name of a record within a sentence.

    >>> record_name("records/lab.yaml"), record_name("records/p/samples/S-1.yaml")
    ('the laboratory', 'S-1')
    """
    return "the laboratory" if group_of(file) == "laboratory" else name_of(file)


def capital(text: str) -> str:
    """Return a text with a capital first letter."""
    return text[:1].upper() + text[1:]


def result_sentence(moved: ResultChange, method: Spoken = None) -> str:
    """
    Return how a result changed.

    >>> result_sentence(ResultChange("maximum_dry_density", "", "121.4 lb/ft³"))
    'Maximum dry density: 121.4 lb/ft³'
    """
    name = result_title(moved.name, method, moved.new or moved.old)
    if not moved.old:
        return f"{name}: {moved.new}"
    if not moved.new:
        return f"{name}: no longer reported, was {moved.old}"
    return f"{name}: from {moved.old} to {moved.new}"


def signature_words(signature: Signature) -> str:
    """Return the state of the signature, after a comma."""
    words = SIGNED[signature.state].format(signature.code)
    return f", {words}" if words else ""


def change_rows(edit: Edit, method: Spoken = None) -> Iterator[Row]:
    """Return the changed fields, then the changed results."""
    for moved in edit.fields:
        yield field_row(moved, method)
    if edit.fields:
        for result in edit.results:
            texts = (result.old or NOTHING, result.new or NOTHING)
            yield table_row(
                result_title(result.name, method, result.new or result.old),
                "result",
                *map(Cell, texts),
                in_points(result.difference) or NOTHING,
                mark="changed",
            )


def field_row(moved: FieldChange, method: Spoken = None) -> Row:
    """
    Return one field, before and after, in the record's unit.

    A cell without content is left empty: on a phone it takes no line.
    """
    old, new = (with_unit(text, moved.unit) for text in (moved.old, moved.new))
    gap = in_points(difference_of(old, new)) if moved.old and moved.new else ""
    of = Cell(record_name(moved.file), record_target(moved.file))
    title = capital(spoken(moved.field, method, moved.unit))
    return table_row(title, of, old, new or NOTHING, gap)


def text_table(name: str, edit: Edit) -> Table:
    """Return the text of a record that could not be read, line by line."""
    rows = tuple(
        table_row(number, line.replace("  ", "\u00a0\u00a0"))
        for number, line in enumerate(edit.text.splitlines(), start=1)
    )
    heads = columns("Line", "Text", numbers=["Line"])
    return Table(name, "Text at this edit", heads, rows, role="folded")


def folded_block(edits: Sequence[Edit]) -> Table:
    """Return the edits without effect, in one folded table."""
    rows = tuple(
        table_row(
            edit.commit.day,
            edit.who + signature_words(edit.signature),
            reason_line(edit),
            ", ".join(name_of(file) for file in edit.files) or NOTHING,
        )
        for edit in edits
    )
    title = f"{counted(len(edits), 'other edit')}, without effect on the results"
    heads = columns("Date", "By", "Reason", "Files")
    return Table("folded", title, heads, rows, role="folded")


def history_page(
    site: Site, file: str, issued: Issued | None, sources: SiteSources, crumbs: Pairs
) -> Iterator[File]:
    """
    Return the page `history/`: revisions, and in the laboratory's copy the edits.

    Without git history, and for clients, it has revisions only; a test without any has
    no such page.
    """
    if sources.record_history is not None:
        sources.record_history.remember(site.archive, file)
        timeline = sources.record_history.timeline(file)
    elif issued is not None:
        timeline = Timeline(name_of(file), file, ())
    else:
        return
    if issued is not None and site.options.release:
        issued = without_recipients(issued)
    made = site.archive.outcome(file)
    method = made.case.method if made is not None else None
    sheet = history_sheet(timeline, issued, method)
    head = Head("History", sheet.title, sheet.subtitle)
    yield TestFolder(site, file, crumbs).render("history", head, sheet.blocks)
