"""
What became of the verdicts of a project: for the page of its field control.

Verdicts to judge again, and those judged again after an amendment, are told by what was
issued. Failures that an edit took away are the laboratory's to see; so are those that
were withdrawn before they were issued.
"""

from collections.abc import Iterable, Iterator, Sequence

from buildsite.archive.archive import Archive
from buildsite.archive.differences import FieldChange
from buildsite.archive.field_names import spoken
from buildsite.archive.judged_again import (
    JudgedAgain,
    judged_again,
    reports_of,
    to_judge_again,
)
from buildsite.archive.references import result_of
from buildsite.archive.turned_verdicts import Turned
from buildsite.archive.verdicts import result_to_follow
from buildsite.kinds import kind_named
from buildsite.kinds.follows import FAIL, Follow
from buildsite.kinds.sheet import Row as TableRow
from buildsite.kinds.sheet import Table
from buildsite.pages.rows import Row
from buildsite.pages.tables import NOTHING, columns, link_cell, list_table, table_row

Again = tuple[JudgedAgain, Follow | None]
"""An issued verdict after an amendment of its reference, and what became of it."""


def verdict_blocks(
    archive: Archive,
    tests: Sequence[Row],
    waiting: Sequence[Again],
    *,
    release: bool,
) -> Iterator[Table]:
    """
    Return what became of the verdicts among some tests, with something to tell.

    `waiting` are those to judge again.
    """
    files = [test.file for test in tests if given(archive, test)]
    tables = [
        judge_again_table(waiting),
        judged_again_table(archive, files),
        withdrawn_table(archive, tests, release=release),
    ]
    if not release:
        tables.insert(0, turned_table(one for test in tests for one in test.turned))
    yield from (table for table in tables if table.rows)


def given(archive: Archive, test: Row) -> bool:
    """Whether a test that has a record is of a kind that gives a verdict."""
    kind = kind_named(test.kind)
    gives = kind is not None and kind.follows is not None
    return gives and test.file in archive.known_names


def turned_table(turned: Iterable[Turned]) -> Table:
    """Return the edits that took a failure away: the old reading, who and why."""
    rows = [
        table_row(
            link_cell("test", one.test),
            one.on,
            one.follow.words,
            "; ".join(map(change_words, one.fields)) or NOTHING,
            one.who,
            one.reason,
            mark="error",
        )
        for one in sorted(turned, key=lambda one: (one.on, one.test), reverse=True)
    ]
    heads = columns("Test", "Edited", "Verdict", "Changed", "By", "Reason")
    return list_table("turned", "Failures that an edit took away or moved", heads, rows)


def change_words(one: FieldChange) -> str:
    """
    Return a changed field, as written before and after.

    >>> change_words(FieldChange("a.yaml", "wet_soil", "3136", "3236", "g"))
    'wet soil: 3136 → 3236 g'
    """
    unit = f" {one.unit}" if one.unit else ""
    change = f"{one.old or NOTHING} → {one.new or NOTHING}{unit}"
    return f"{spoken(one.field)}: {change}"


def waiting_verdicts(
    archive: Archive, tests: Iterable[Row], *, release: bool
) -> list[Again]:
    """
    Return the issued verdicts whose reference was amended since, flips first.

    Clients are not told what the records give now, which was not issued.
    """
    files = (test.file for test in tests if given(archive, test))
    return in_order(
        (one, follow_now(archive, one) if not release else one.follow)
        for file in files
        if (one := to_judge_again(archive, file)) is not None
    )


def judge_again_table(waiting: Iterable[Again]) -> Table:
    """Return the issued verdicts to judge again, in the order given."""
    rows = [again_row(one, follow) for one, follow in waiting]
    title = "To judge again: the reference was amended"
    return list_table("judge-again", title, columns(*AGAIN), rows)


def follow_now(archive: Archive, one: JudgedAgain) -> Follow | None:
    """Return an issued verdict, and what the records give now."""
    made, kept = archive.computed(one.file), result_of(archive, one.file, one.before)
    if made is None or made.kind.follows is None or not kept:
        return one.follow
    return made.kind.follows(kept, result_to_follow(made))


AGAIN = ("Test", "Place", "Its report", "Reference", "Percent compaction", "Verdict")


def in_order(again: Iterable[Again]) -> list[Again]:
    """Sort verdicts: those that changed first, then by id."""
    return sorted(
        again, key=lambda one: (one[1] is None or not one[1].flipped, one[0].id)
    )


def again_row(one: JudgedAgain, follow: Follow | None) -> TableRow:
    """Return one issued verdict after an amendment of its reference."""
    sent = f"r{one.before.revision}" + (
        f" → r{one.after.revision}" if one.after else ""
    )
    flipped = follow is not None and follow.flipped
    return table_row(
        link_cell("test", one.id),
        (follow.place if follow else "") or NOTHING,
        sent,
        one.why,
        follow.percents if follow else NOTHING,
        follow.verdicts if follow else NOTHING,
        mark="changed" if flipped else "",
    )


def judged_again_table(archive: Archive, files: Iterable[str]) -> Table:
    """Return the reports that judged again after an amendment, flips first."""
    found = [(one, one.follow) for file in files for one in judged_again(archive, file)]
    rows = [again_row(one, follow) for one, follow in in_order(found)]
    title = "Judged again after an amendment of the reference"
    return list_table("judged-again", title, columns(*AGAIN), rows)


def withdrawn_table(archive: Archive, tests: Iterable[Row], *, release: bool) -> Table:
    """Return the failing tests that were withdrawn; for clients, the issued ones."""
    rows = []
    for test in tests:
        shown = test.withdrawn and given(archive, test)
        issued = test.issued_as == "withdrawal"
        if not shown or (release and not issued):
            continue
        follow = last_verdict(archive, test.file)
        if follow is not None and follow.old_verdict == FAIL:
            cells = (follow.place or NOTHING, follow.old_percent or NOTHING)
            why = why_withdrawn(archive, test.file) or NOTHING
            link = link_cell("test", test.id)
            rows.append(table_row(link, *cells, why, mark="withdrawn"))
    heads = columns("Test", "Place", "Percent compaction", "Why it was withdrawn")
    return list_table("withdrawn", "Failing tests that were withdrawn", heads, rows)


def last_verdict(archive: Archive, file: str) -> Follow | None:
    """Return the verdict last reported of a test; of its record, if never issued."""
    kind, reports = archive.entry(file).kind, reports_of(archive, file)
    made = archive.computed(file) if not reports else None
    told = result_of(archive, file, reports[-1]) if reports else {}
    if made is not None:
        told = result_to_follow(made)
    return kind.follows(told, told) if kind and kind.follows and told else None


def why_withdrawn(archive: Archive, file: str) -> str:
    """Return why a test was withdrawn."""
    issued, _ = archive.chain(file)
    last = issued.last_report if issued is not None else None
    if last is not None:
        return last.reason
    withdrawn = getattr(archive.entry(file).record, "withdrawn", None)
    return str(getattr(withdrawn, "reason", None) or "")
