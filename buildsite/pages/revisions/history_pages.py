"""Pages of a test's past: `history/`, and `compare/` where there are two reports."""

from collections.abc import Iterator

from buildsite.archive.edits import Timeline
from buildsite.archive.identity import name_of
from buildsite.archive.issued_files import IssuedState, public
from buildsite.kinds.sheet import Plot
from buildsite.pages.page import Head, Site
from buildsite.pages.render import render
from buildsite.pages.revisions.compare import compared, pairs
from buildsite.pages.revisions.history_page import history_sheet
from buildsite.pages.site_sources import Beside
from buildsite.pages.view_models import regions
from buildsite.record.issued import Issued

Crumbs = tuple[tuple[str, str], ...]


def way(file: str, crumbs: Crumbs, here: str) -> Crumbs:
    """The way to a page that hangs below a test's own."""
    return (
        *crumbs[:-1],
        (name_of(file), f"tests/{name_of(file)}/index.html"),
        (here, ""),
    )


def history_page(
    site: Site, file: str, issued: Issued | None, beside: Beside, crumbs: Crumbs
) -> Iterator[tuple[str, bytes]]:
    """
    Make the page `history/`: revisions, and in the laboratory's copy the edits.

    Without the past, and for clients, it is of revisions alone; a test that has none
    either has no such page.
    """
    if beside.record_history is not None:
        beside.record_history.remember(site.archive, file)
        timeline = beside.record_history.timeline(file)
    elif issued is not None:
        timeline = Timeline(name_of(file), file, ())
    else:
        return
    release = site.options.release
    if issued is not None and release:
        issued = public(issued)
    made = site.archive.outcome(file)
    method = made.case.method if made is not None else None
    sheet = history_sheet(timeline, issued, method)
    path = f"tests/{name_of(file)}/history/index.html"
    links = site.links(path)
    head = Head("History", sheet.title, sheet.subtitle)
    shown = regions(sheet.blocks, links, laboratory=not release)
    page = site.page(path, head, shown, way(file, crumbs, "history"))
    yield path, render(page)


def compare_page(
    site: Site, state: IssuedState, beside: Beside, crumbs: Crumbs
) -> Iterator[tuple[str, bytes]]:
    """Make the page `compare/` and its figures, where there are two reports."""
    found = pairs(state)
    if not found:
        return
    file, released = state.file, beside.released
    where = f"tests/{name_of(file)}/compare"
    tests = released.tests if released is not None else None
    blocks = [
        block
        for pair in found
        for block in compared(pair, site.archive, beside.issued_files, shown=tests)
    ]
    for block in blocks:
        if isinstance(block, Plot):
            from buildsite.pages.figure.draw import svg

            yield f"{where}/{block.name}.svg", svg(block)
    path = f"{where}/index.html"
    links = site.links(path)
    subtitle = "Each report beside the one before it, the latest first"
    head = Head("Compare", f"Revisions of {name_of(file)}", subtitle)
    shown = regions(blocks, links, laboratory=not site.options.release)
    yield path, render(site.page(path, head, shown, way(file, crumbs, "compare")))
