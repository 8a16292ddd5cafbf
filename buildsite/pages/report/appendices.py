"""Pages below a test's own that its kind brings, for the laboratory alone."""

from collections.abc import Iterator

from buildsite.kinds.outcome import Outcome
from buildsite.pages.page import Head, Site
from buildsite.pages.render import render
from buildsite.pages.report.report import folder
from buildsite.pages.revisions.history_pages import Crumbs, way
from buildsite.pages.view_models import regions

Labels = list[tuple[str, str]]
"""Names of pages, and their addresses from the test's own."""


def appendices(
    site: Site, outcome: Outcome | None, crumbs: Crumbs, labels: Labels
) -> Iterator[tuple[str, bytes]]:
    """Make each such page, and name it in `labels`. Clients see none."""
    if outcome is None or site.options.release or outcome.kind.appendices is None:
        return
    for one in outcome.kind.appendices(outcome.case):
        path = f"{folder(outcome.file)}/{one.folder}/index.html"
        head = Head(outcome.id, one.title, one.sheet.subtitle)
        shown = regions(one.sheet.blocks, site.links(path), laboratory=True)
        page = site.page(path, head, shown, way(outcome.file, crumbs, one.folder))
        labels.append((one.title, f"{one.folder}/index.html"))
        yield path, render(page)
