"""The page `compare/` of a test: each report next to the one before."""

from collections.abc import Iterator
from dataclasses import replace

from buildsite.archive.compared_reports import ComparedReports, compared_reports
from buildsite.archive.follows import follows_of_revisions
from buildsite.archive.identity import name_of
from buildsite.archive.issued_files import IssuedState
from buildsite.archive.judged_again import follow_of_reports, judged_by_both
from buildsite.kinds import kind_named
from buildsite.kinds.reporting import (
    difference_of,
    in_points,
    readable_text,
    unit_renamed,
)
from buildsite.kinds.sheet import Cell, Note, Plot, Row, Table
from buildsite.pages.follows_text import compared_table, compared_verdicts
from buildsite.pages.page import File, Head, Pairs, Site
from buildsite.pages.report.parts import TestFolder
from buildsite.pages.revisions.history_page import HEADS, field_row
from buildsite.pages.revisions.revision_pages import report_number
from buildsite.pages.rows import result_title
from buildsite.pages.site_sources import SiteSources
from buildsite.pages.tables import NOTHING, columns, table_row
from buildsite.pages.view_models import Block


def title_of(pair: ComparedReports) -> str:
    """Return which reports are compared."""
    earlier = report_number(pair.state.file, pair.before)
    return f"{earlier} and r{pair.after.revision}"


def comparison_plot(pair: ComparedReports) -> Plot | None:
    """Return both curves on one figure, from the kept results; None without a curve."""
    kept = []
    for item in (pair.before, pair.after):
        result = pair.issued_files.result(pair.state.file, item)
        if not result:
            return None
        kept.append((f"r{item.revision}", result))
    kind = kind_named(str(kept[-1][1].get("kind")))
    if kind is None or kind.compare is None:
        return None
    plot = kind.compare(kept, pair.state.method)
    if plot is None:
        return None
    return replace(plot, name=pair.name, title=f"Curves of {title_of(pair)}")


def result_table(pair: ComparedReports) -> Table:
    """Return the results of both, and their differences."""
    old, new = pair.before.results, pair.after.results
    rows = []
    for name in dict.fromkeys((*new, *old)):
        was, now = old.get(name, ""), new.get(name, "")
        texts = [readable_text(text) if text else NOTHING for text in (was, now)]
        gap = difference_of(was, now) if was and now and was != now else ""
        mark = "changed" if was != now else ""
        title = result_title(name, pair.state.method, now or was)
        cells = (Cell(title), *map(Cell, texts), Cell(in_points(gap) or NOTHING))
        rows.append(Row(cells, mark=mark))
    rows += verdict_row(pair)
    heads = columns(
        "Result",
        f"r{pair.before.revision}",
        f"r{pair.after.revision}",
        "Difference",
    )
    title = f"Results of {title_of(pair)}"
    note = unit_renamed(old, new)
    return Table(
        f"{pair.name}-results", title, heads, tuple(rows), role="more", note=note
    )


def verdict_row(pair: ComparedReports) -> Iterator[Row]:
    """Return the verdict of both, if the test gives one."""
    both = (pair.before, pair.after)
    follow = follow_of_reports(pair.archive, pair.state.file, *both)
    if follow is not None:
        mark = "changed" if follow.flipped else ""
        texts = ("Verdict", follow.old_verdict, follow.new_verdict, NOTHING)
        yield table_row(*texts, mark=mark)


def reason_note(pair: ComparedReports) -> Note:
    """Return when, by whom and why the later one was issued."""
    after = pair.after
    line = (
        f"r{after.revision} was issued on {after.issued_on}, authorized by "
        f"{after.authorized_by}: {after.reason}"
    )
    return Note(f"{pair.name}-why", f"Why r{after.revision} was issued", (line,))


def changed_fields(pair: ComparedReports) -> Table:
    """Return the changed fields of every record used, for the laboratory."""
    changes, lost = pair.field_changes()
    note = f"No longer available: {', '.join(lost)}." if lost else ""
    return Table(
        f"{pair.name}-changes",
        "Changes in the records",
        HEADS,
        tuple(field_row(change, pair.state.method) for change in changes),
        role="more",
        note=note,
        laboratory_only=True,
    )


def other_amended_tests(
    pair: ComparedReports, released: frozenset[str] | None
) -> Iterator[Table]:
    """Return other tests amended after a change of the same files, if any."""
    rows = tuple(
        table_row(Cell(f"{test} r{n}", ("revision", f"{test}/r{n}")), ", ".join(by))
        for (test, n), by in pair.others_amended().items()
        if released is None or test in released
    )
    if rows:
        title = "Other tests amended after the same change"
        heads = columns("Revision", "Changed record or report")
        yield Table(f"{pair.name}-others", title, heads, rows, role="more")


def verdict_table(
    pair: ComparedReports, released: frozenset[str] | None
) -> Iterator[Table]:
    """
    Return the verdicts that rest on this test, by both reports, if there are any.

    Clients see those that were issued; the laboratory also what its records say of
    tests of the days before the amendment.
    """
    archive, file = pair.archive, pair.state.file
    numbers = (pair.before.revision, pair.after.revision)
    both = {one.id: one for one in judged_by_both(archive, file, *numbers)}
    if released is None:
        last = pair.after.issued_on.isoformat()
        every = follows_of_revisions(archive, file, *numbers)
        computed = [one for one in every if one.day <= last or one.id in both]
    else:
        both = {id: one for id, one in both.items() if id in released}
        computed = []
    rows = compared_verdicts(computed, both.values())
    if rows:
        yield compared_table(f"{pair.name}-verdicts", rows, numbers)


def comparison_blocks(
    pair: ComparedReports, released: frozenset[str] | None
) -> Iterator[Block]:
    """Return everything about one pair; `released` are tests that clients see."""
    plot = comparison_plot(pair)
    if plot is not None:
        yield plot
    yield result_table(pair)
    yield reason_note(pair)
    yield from verdict_table(pair, released)
    if released is None:
        yield changed_fields(pair)
    elif values := pair.amended_values():
        yield Note(f"{pair.name}-values", "Changed values", values)
    yield from other_amended_tests(pair, released)


def compare_page(
    site: Site, state: IssuedState, sources: SiteSources, crumbs: Pairs
) -> Iterator[File]:
    """Return the page `compare/` and its figures, if there are two reports."""
    file, released = state.file, sources.released
    tests = released.tests if released is not None else None
    blocks = [
        block
        for pair in compared_reports(site.archive, sources.issued_files, state)
        for block in comparison_blocks(pair, tests)
    ]
    if not blocks:
        return
    for block in blocks:
        if isinstance(block, Plot):
            from buildsite.pages.figure.draw import svg

            yield f"tests/{name_of(file)}/compare/{block.name}.svg", svg(block)
    subtitle = "Each report compared with the one before, latest first"
    head = Head("Compare", f"Revisions of {name_of(file)}", subtitle)
    yield TestFolder(site, file, crumbs).render("compare", head, blocks)
