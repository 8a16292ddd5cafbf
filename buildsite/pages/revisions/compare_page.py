"""The pages `compare/` of a test: any two of its reports, the latest two first."""

from collections.abc import Iterator, Sequence

from buildsite.archive.compared_reports import (
    ComparedReports,
    compared_reports,
    revision_pairs,
)
from buildsite.archive.identity import name_of
from buildsite.archive.issued_files import IssuedState
from buildsite.archive.judged_again import Amended, amended_between, reports_of
from buildsite.kinds.sheet import Plot
from buildsite.pages.figure.names import figure_name
from buildsite.pages.figure.scripts import figure_files, picture_frames
from buildsite.pages.links import Links
from buildsite.pages.page import File, Head, Pairs, Site
from buildsite.pages.report.parts import TestFolder, folder
from buildsite.pages.revisions.compare_blocks import comparison_blocks
from buildsite.pages.site_sources import SiteSources
from buildsite.record.issued import pins_of

FOLDER = "compare"

MOST_REFERENCES = 3
"""Amended reports of other tests that a page links to: a paper of a day lists many."""


def compare_page(
    site: Site, state: IssuedState, sources: SiteSources, crumbs: Pairs
) -> Iterator[File]:
    """Return a page for each pair of reports, with its figure; none for one report."""
    pairs = compared_reports(site.archive, sources.issued_files, state)
    for pair in pairs:
        yield from pair_page(site, pair, pairs, sources, crumbs)


def page_name(pair: ComparedReports, pairs: Sequence[ComparedReports]) -> str:
    """Return the folder of a pair's page: the last two have the shortest address."""
    return FOLDER if pair is pairs[0] else f"{FOLDER}/{pair.name}"


def pair_page(
    site: Site,
    pair: ComparedReports,
    pairs: Sequence[ComparedReports],
    sources: SiteSources,
    crumbs: Pairs,
) -> Iterator[File]:
    """Return the page of one pair, and its figure."""
    file, released = pair.state.file, sources.released
    name = page_name(pair, pairs)
    blocks = [*comparison_blocks(pair, released.tests if released else None)]
    plots = [block for block in blocks if isinstance(block, Plot)]
    for plot in plots:
        said = figure_name(plot.title, name_of(file), site.maker)
        for path, _, data in figure_files(f"{folder(file)}/{name}", plot, said):
            yield path, data
    below, about = TestFolder(site, file, crumbs), head(site, pair, pairs)
    yield below.render(name, about, blocks, picture_frames(plots))


def head(site: Site, pair: ComparedReports, pairs: Sequence[ComparedReports]) -> Head:
    """Return the heading, with links to the other pairs."""
    id, old, new = name_of(pair.state.file), pair.before, pair.after
    links = site.links(f"tests/{id}/{page_name(pair, pairs)}/index.html")
    others = [
        (
            f"r{one.before.revision} → r{one.after.revision}",
            links.page(f"tests/{id}/{page_name(one, pairs)}/index.html"),
        )
        for one in pairs
        if one is not pair
    ]
    return Head(
        "Compare",
        f"{id}: r{old.revision} → r{new.revision}",
        f"r{new.revision} of {new.issued_on}, compared with r{old.revision} of "
        f"{old.issued_on}",
        pages=(*[*amended_references(site, pair, links)][:MOST_REFERENCES], *others),
    )


def amended_references(
    site: Site, pair: ComparedReports, links: Links
) -> Iterator[tuple[str, str]]:
    """Return the pages that compare the reports used of other tests: the cause."""
    pins = (pins_of(one.inputs) for one in (pair.before, pair.after))
    for one in amended_between(*pins):
        if not one.withdrawn and links.has_page(("test", one.id)):
            file = site.archive.find("test", one.id)
            reports = reports_of(site.archive, file) if file is not None else []
            where = address_of(one.id, [item.revision for item in reports], one)
            if where:
                yield f"{one.id}: r{one.was} → r{one.now}", links.page(where)


def address_of(id: str, reports: Sequence[int], pair: Amended) -> str:
    """
    Return the address of the page that compares two reports; blank if there is none.

    >>> address_of("A-1", [0, 2], Amended("A-1", 0, 2))
    'tests/A-1/compare/index.html'
    >>> address_of("A-1", [0, 2, 3], Amended("A-1", 0, 2))
    'tests/A-1/compare/r0-r2/index.html'
    >>> address_of("A-1", [0, 2, 3], Amended("A-1", 1, 2))
    ''
    """
    both = (pair.was, pair.now)
    if both not in revision_pairs(reports):
        return ""
    name = FOLDER if both == tuple(reports[-2:]) else f"{FOLDER}/r{both[0]}-r{both[1]}"
    return f"tests/{id}/{name}/index.html"
