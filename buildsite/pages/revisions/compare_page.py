"""The page `compare/` of a test: each report beside the one before it."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from buildsite.archive.amendments import amendment
from buildsite.archive.archive import Archive
from buildsite.archive.differences import (
    FieldChange,
    difference_of,
    field_changes,
    report_changes,
    unit_renamed,
)
from buildsite.archive.identity import name_of
from buildsite.archive.inputs_as_issued import archive_of, found_inputs
from buildsite.archive.issued_files import IssuedFiles, IssuedState
from buildsite.archive.issues import change_key
from buildsite.kinds import kind_named
from buildsite.kinds.reporting import readable
from buildsite.kinds.sheet import Cell, Note, Plot, Row, Table
from buildsite.pages.page import File, Head, Pairs, Site
from buildsite.pages.report.parts import TestFolder
from buildsite.pages.revisions.history_page import field_row
from buildsite.pages.revisions.revision_pages import report_number
from buildsite.pages.rows import result_title
from buildsite.pages.site_sources import SiteSources
from buildsite.pages.tables import NOTHING, columns, table_row
from buildsite.pages.view_models import Block
from buildsite.record.issued import Item, pins_of
from buildsite.record.source import read_source
from buildsite.values import dataclass

RECORDS = ".yaml"


@dataclass(frozen=True)
class Pair:
    """A report and the one before it, of one test."""

    state: IssuedState
    before: Item
    after: Item

    @property
    def name(self) -> str:
        """Name of its blocks and of its figure's file."""
        return f"r{self.before.revision}-r{self.after.revision}"

    @property
    def title(self) -> str:
        """What is compared."""
        file = self.state.file
        return f"{report_number(file, self.before)} and r{self.after.revision}"

    @property
    def changed(self) -> list[str]:
        """Files of which another state was used."""
        old, new = self.before.inputs, self.after.inputs
        return [p for p in sorted({*old, *new}) if old.get(p) != new.get(p)]


def pairs(state: IssuedState) -> list[Pair]:
    """Each report with the one before it, the newest first."""
    reports = state.reports
    found = [Pair(state, before, after) for before, after in pairwise(reports)]
    return found[::-1]


def comparison_plot(pair: Pair, issued_files: IssuedFiles) -> Plot | None:
    """Both curves on one figure, from what was kept; None without a curve."""
    kept = []
    for item in (pair.before, pair.after):
        told = issued_files.result(pair.state.file, item)
        if not told:
            return None
        kept.append((f"r{item.revision}", told))
    kind = kind_named(str(kept[-1][1].get("kind")))
    if kind is None or kind.compare is None:
        return None
    plot = kind.compare(kept, pair.state.method)
    if plot is None:
        return None
    return replace(plot, name=pair.name, title=f"Curves of {pair.title}")


def result_table(pair: Pair) -> Table:
    """Results of both, and by how much they moved."""
    old, new = pair.before.results, pair.after.results
    rows = []
    for name in dict.fromkeys((*new, *old)):
        was, now = old.get(name, ""), new.get(name, "")
        texts = [readable(text) if text else NOTHING for text in (was, now)]
        gap = difference_of(was, now) if was and now and was != now else ""
        mark = "changed" if was != now else ""
        title = result_title(name, pair.state.method, now or was)
        cells = (Cell(title), *map(Cell, texts), Cell(gap or NOTHING))
        rows.append(Row(cells, mark=mark))
    heads = columns(
        "Result",
        f"r{pair.before.revision}",
        f"r{pair.after.revision}",
        "Difference",
    )
    title = f"Results of {pair.title}"
    note = unit_renamed(old, new)
    return Table(
        f"{pair.name}-results", title, heads, tuple(rows), role="more", note=note
    )


def reason_note(pair: Pair) -> Note:
    """Why the later one was issued, by whom, and what else the change moved."""
    after = pair.after
    lines = [
        f"r{after.revision} was issued on {after.issued_on}, authorized by "
        f"{after.authorized_by}: {after.reason}"
    ]
    return Note(f"{pair.name}-why", f"Why r{after.revision} was issued", tuple(lines))


def other_reports(pair: Pair, archive: Archive) -> Iterator[FieldChange]:
    """Other tests of which another report was used."""
    before, after = (pins_of(one.inputs) for one in (pair.before, pair.after))
    for file in sorted({*before, *after}):
        issued, _ = archive.chain(file)
        items = {one.revision: one for one in issued.items} if issued else {}
        old, new = (items.get(one.get(file, -1)) for one in (before, after))
        yield from report_changes(file, old, new)


def changed_fields(pair: Pair, archive: Archive, issued_files: IssuedFiles) -> Table:
    """Fields of every record that was used in another state, for the laboratory."""
    contents = issued_files.contents
    old = found_inputs(contents, pair.before)
    new = found_inputs(contents, pair.after)
    rows: list[Row] = []
    gone = []
    for path in pair.changed:
        if not path.endswith(RECORDS) or "#" in path:
            continue
        if (path in pair.before.inputs and path not in old) or (
            path in pair.after.inputs and path not in new
        ):
            gone.append(path)
            continue
        trees = [
            dict(read_source(path, one[path]).tree) if path in one else {}
            for one in (old, new)
        ]
        rows += [field_row(moved) for moved in field_changes(path, *trees)]
    rows += [field_row(moved) for moved in other_reports(pair, archive)]
    heads = columns("What", "Of", "Before", "After", "Difference")
    note = f"Not to be had any more: {', '.join(gone)}." if gone else ""
    return Table(
        f"{pair.name}-changes",
        "What was changed in the records",
        heads,
        tuple(rows),
        role="more",
        note=note,
        laboratory_only=True,
    )


def amended_values(
    pair: Pair, archive: Archive, issued_files: IssuedFiles
) -> Note | None:
    """What the amended report says was changed: the same words, for clients."""
    file, made = pair.state.file, []
    for item in (pair.before, pair.after):
        found = found_inputs(issued_files.contents, item)
        then = archive_of(found, item, archive.shared) if file in found else None
        made.append(then.outcome(file) if then is not None else None)
    old, new = made
    if new is None:
        return None
    values = amendment(pair.state.issued, pair.before, old, new).values
    if not values:
        return None
    return Note(f"{pair.name}-values", "Values that were changed", values)


def other_amended_tests(
    pair: Pair, issued_files: IssuedFiles, *, released: frozenset[str] | None
) -> Table | None:
    """Other tests that were amended by a change of the same files."""
    rows: dict[tuple[str, int], list[str]] = {}
    for path in pair.changed:
        key = change_key(pair.before, pair.after, path)
        for test, revision in issued_files.together.get(key, ()):
            if test != name_of(pair.state.file) and (
                released is None or test in released
            ):
                rows.setdefault((test, revision), []).append(name_of(path))
    if not rows:
        return None
    cells = tuple(
        table_row(Cell(f"{test} r{n}", ("revision", f"{test}/r{n}")), ", ".join(by))
        for (test, n), by in sorted(rows.items())
    )
    title = "Other tests amended after the same change"
    heads = columns("Revision", "Changed file")
    return Table(f"{pair.name}-others", title, heads, cells, role="more")


def comparison_blocks(
    pair: Pair,
    archive: Archive,
    issued_files: IssuedFiles,
    *,
    released: frozenset[str] | None,
) -> Iterator[Block]:
    """Everything about one pair, in reading order; `released` are tests clients see."""
    plot = comparison_plot(pair, issued_files)
    if plot is not None:
        yield plot
    yield result_table(pair)
    yield reason_note(pair)
    if released is None:
        yield changed_fields(pair, archive, issued_files)
    elif (values := amended_values(pair, archive, issued_files)) is not None:
        yield values
    others = other_amended_tests(pair, issued_files, released=released)
    if others is not None:
        yield others


def compare_page(
    site: Site, state: IssuedState, sources: SiteSources, crumbs: Pairs
) -> Iterator[File]:
    """Make the page `compare/` and its figures, where there are two reports."""
    found = pairs(state)
    if not found:
        return
    file, released = state.file, sources.released
    where = f"tests/{name_of(file)}/compare"
    tests = released.tests if released is not None else None
    blocks = [
        block
        for pair in found
        for block in comparison_blocks(
            pair, site.archive, sources.issued_files, released=tests
        )
    ]
    for block in blocks:
        if isinstance(block, Plot):
            from buildsite.pages.figure.draw import svg

            yield f"{where}/{block.name}.svg", svg(block)
    subtitle = "Each report beside the one before it, the latest first"
    head = Head("Compare", f"Revisions of {name_of(file)}", subtitle)
    yield TestFolder(site, file, crumbs).render("compare", head, blocks)
