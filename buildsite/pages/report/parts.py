"""Parts of the pages of every test: breadcrumbs, parties, figure, appendices."""

from collections.abc import Iterable, Iterator
from types import MappingProxyType
from typing import Any

from buildsite.archive.identity import name_of
from buildsite.exports.points_csv import points_csv
from buildsite.kinds.answers import LaboratoryFacts, ProjectFacts
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Plot, Sheet, Table, Target
from buildsite.pages.figure.names import NAMELESS, FigureName
from buildsite.pages.figure.scripts import figure_files
from buildsite.pages.links import HOME
from buildsite.pages.page import File, Head, Pairs, Site
from buildsite.pages.rows import Row
from buildsite.pages.view_models import Frames, Shown
from buildsite.values import dataclass


def kind_of_report(title: str, words: str) -> str:
    """
    Return what a page is: the title of its kind, and what sort of report.

    >>> kind_of_report("Water content", "report")
    'Water content: report'
    >>> kind_of_report("Daily report", "report")
    'Daily report'
    """
    return title if title.endswith(f" {words}") else f"{title}: {words}"


def folder(file: str) -> str:
    """Return the folder of a test's files."""
    return f"tests/{name_of(file)}"


def crumbs(site: Site, row: Row) -> tuple[tuple[str, str], ...]:
    """Return the breadcrumbs of a test: overview, project, sample."""
    links = site.links(HOME)
    found = [(site.name, HOME)]
    for what, id in (("project", row.project), ("sample", row.sample)):
        if id and links.has_page((what, id)):
            found.append((id, links.to((what, id))))
    return (*found, (row.id, ""))


@dataclass(frozen=True)
class TestFolder:
    """Where the further pages of a test go: its file and breadcrumbs."""

    site: Site
    file: str
    crumbs: Pairs

    def render(
        self,
        name: str,
        head: Head,
        blocks: Iterable[Shown],
        frames: Frames = MappingProxyType({}),
        /,
        **more: str,
    ) -> File:
        """Return the page in the folder of that name."""
        own = folder(self.file)
        way = (*self.crumbs[:-1], (name_of(self.file), f"{own}/index.html"), (name, ""))
        path = f"{own}/{name}/index.html"
        return self.site.render(path, head, blocks, way, frames, **more)


def parties(
    outcome: Outcome, *, contact: bool
) -> Iterator[tuple[str, str, Target | None]]:
    """
    Return who tested where and for whom (ISO/IEC 17025:2017, 7.8.2.1).

    The customer's `contact` is not shown on a client's site.
    """
    record, inputs = outcome.case.record, outcome.case.inputs
    lab = inputs.get(LaboratoryFacts, "lab")
    project = inputs.get(ProjectFacts, str(getattr(record, "project", "")))
    site = getattr(record, "site_of_work", None)
    if site != "":
        yield "Tested at", site or tested_at(record, lab), None
    if site is not None:
        yield "Laboratory", tested_at(record, lab), None
    if project is not None:
        customer = (project.customer, project.contact if contact else "")
        yield "Customer", ", ".join(part for part in customer if part), None
        yield "Project", project.name, ("project", project.id)


def identity(site: Site, outcome: Outcome) -> Iterator[tuple[str, str, str]]:
    """Return who tested where and for whom, with links."""
    links = site.links(f"{folder(outcome.file)}/")
    for label, text, target in parties(outcome, contact=not site.options.release):
        yield label, text, links.to(target)


def tested_at(record: Any, lab: LaboratoryFacts | None) -> str:
    """Return where the work was done."""
    other = getattr(record, "external", None)
    if other is not None:
        return f"{other.laboratory or 'another laboratory'} (external)"
    return lab.where if lab is not None else "not stated"


def points_of(sheet: Sheet) -> Iterator[Table]:
    """Return the tables of readings of a sheet."""
    for block in sheet.blocks:
        if isinstance(block, Table) and block.role == "points":
            yield block


def plot_of(sheet: Sheet) -> Plot | None:
    """Return the figure of a sheet, if it has one."""
    return next((block for block in sheet.blocks if isinstance(block, Plot)), None)


def drawn_files(
    where: str, sheet: Sheet, revision: str = "", name: FigureName = NAMELESS
) -> Iterator[tuple[str, str, bytes]]:
    """Return points and figure of a sheet: path, label ("": not listed), bytes."""
    test = where.rpartition("/")[2]
    for points in points_of(sheet):
        data = points_csv(points, test, revision)
        yield f"{where}/{points.name}.csv", points.name, data
    plot = plot_of(sheet)
    if plot is not None:
        yield from figure_files(where, plot, name)


Labels = list[tuple[str, str]]
"""Names of pages, and their addresses relative to the test's page."""


def appendices(
    site: Site, outcome: Outcome | None, crumbs: Pairs, labels: Labels
) -> Iterator[File]:
    """Return each appendix, and add it to `labels`. Clients see none."""
    if outcome is None or site.options.release or outcome.kind.appendices is None:
        return
    for one in outcome.kind.appendices(outcome.case):
        head = Head(outcome.id, one.title, one.sheet.subtitle)
        labels.append((one.title, f"{one.folder}/index.html"))
        below = TestFolder(site, outcome.file, crumbs)
        yield below.render(one.folder, head, one.sheet.blocks)
