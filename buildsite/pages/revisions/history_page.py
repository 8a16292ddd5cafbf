"""
The page `history/` of a test: revisions and edits, newest first.

Written for clients: date, person by code, reason, what was changed from what to what,
and the effect on the results. Edits without effect are folded away.
"""

from collections.abc import Iterator, Sequence

from buildsite.archive.differences import FieldChange
from buildsite.archive.edits import Edit, Timeline
from buildsite.archive.field_names import spoken, with_unit
from buildsite.archive.identity import name_of
from buildsite.archive.issued_files import without_recipients
from buildsite.kinds.reporting import Spoken, difference_of, in_points, readable_text
from buildsite.kinds.sheet import Cell, Note, Row, Sheet, Table
from buildsite.pages.causes_text import capital
from buildsite.pages.page import File, Head, Pairs, Site
from buildsite.pages.report.parts import TestFolder
from buildsite.pages.revisions.edit_words import (
    changed_result,
    effect_sentences,
    field_words,
    reason_line,
    record_name,
    signature_words,
)
from buildsite.pages.revisions.result_figure import result_figure
from buildsite.pages.revisions.revision_status import SORTS, ending, replaced_report
from buildsite.pages.rows import result_title
from buildsite.pages.site_sources import SiteSources
from buildsite.pages.tables import (
    NOTHING,
    columns,
    facts_table,
    record_target,
    table_row,
)
from buildsite.pages.view_models import Block, Shown
from buildsite.record.issued import Issued, Item
from buildsite.record.messages import counted

HEADS = columns("Item", "Record", "Before", "After", "Difference")


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
    """Return one revision: results, what became of it, authorization, reason."""
    since = ending(items, item).capitalize()
    if since.startswith("Withdrawn"):
        since = f"{since}. Do not use its results."
    facts = [
        *issued_results(items, item, method),
        ("Since then", since),
        ("Reason", item.reason),
        ("Authorized by", item.authorized_by),
        ("Issued to", ", ".join(item.issued_to)),
    ]
    if item.assesses is not None:
        facts.insert(0, ("Assesses", f"{test} r{item.assesses}"))
    if item.breaks:
        what = f"items altered or lost at commit {item.breaks[:12]}, since restored"
        facts.insert(1, ("Explains", what))
    number = f"r{item.revision}"
    title = f"{item.issued_on}: {SORTS[item.kind].lower()} {test} {number} issued"
    return facts_table(number, title, facts)


def issued_results(
    items: tuple[Item, ...], item: Item, method: Spoken
) -> Iterator[tuple[str, str]]:
    """Yield each result that was issued; of an amendment, from what to what."""
    before = replaced_report(items, item)
    for name, text in item.results.items():
        was = before.results.get(name, "") if before is not None else text
        title = result_title(name, method, text)
        yield title, readable_text(text) if was == text else changed_result(was, text)


def edit_blocks(edit: Edit, method: Spoken = None) -> Iterator[Block]:
    """
    Return one edit: its effect, the fields it changed, who made it.

    Many fields are folded away.
    """
    name, title = (
        f"edit-{edit.commit.id[:12]}",
        f"{edit.commit.day}: {reason_line(edit)}",
    )
    *effect, by = effect_sentences(edit, method)
    few = len(edit.fields) <= MOST_FIELDS
    lines = [field_words(one, method) for one in edit.fields] if few else []
    yield Note(name, title, (*effect, *lines, by), role="entry")
    if not few:
        rows = tuple(field_row(one, method) for one in edit.fields)
        of = ", ".join(dict.fromkeys(record_name(one.file) for one in edit.fields))
        heading = f"{len(rows)} changed fields of {of}"
        yield Table(f"{name}-fields", heading, HEADS, rows, role="entry-fields")
    if edit.text:
        yield text_table(f"{name}-text", edit)


MOST_FIELDS = 3
"""Changed fields of an edit that are told in words; more are folded away."""


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
    items = issued.items if issued is not None else ()
    first = made.governing if made is not None else ()
    blocks: list[Shown] = [*sheet.blocks]
    drawn = result_figure(timeline, items, first, method)
    if drawn is not None:
        yield f"tests/{name_of(file)}/history/{drawn[0].name}.svg", drawn[1]
        blocks.insert(0, drawn[0])
    yield TestFolder(site, file, crumbs).render("history", head, blocks)
