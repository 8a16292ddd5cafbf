"""A page before it is rendered: everything the template shows."""

from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType
from urllib.parse import urlsplit

from markupsafe import Markup

from buildsite.archive.archive import Archive
from buildsite.archive.identity import name_of
from buildsite.archive.issues import Released
from buildsite.exports.feed import NAME as FEED
from buildsite.kinds.laboratory.lab import Laboratory
from buildsite.pages.head_and_foot import head_and_foot
from buildsite.pages.links import FOLDERS, HOME, Links, project_feed_path, way_up
from buildsite.pages.render import render
from buildsite.pages.site_sources import Options
from buildsite.pages.view_models import Frames, Region, Shown, lead_and_rest, regions
from buildsite.record.report_address import page_address
from buildsite.values import dataclass

File = tuple[str, bytes]
"""Address of a file of the site, and its bytes."""

Pairs = tuple[tuple[str, str], ...]
"""Labels with addresses, such as breadcrumbs; names with values."""

COPY = "Laboratory’s own copy. Not for release."
WITHOUT_HISTORY = "Built without history: earlier states and edits are not shown."
INVENTED = "The laboratory, its people, its customers and all data are invented."
UNCOMMITTED = "Built from records with changes that are not committed."
SHORT = {INVENTED: "Invented.", WITHOUT_HISTORY: "Built without history."}
"""Notices at the head of a page; the foot has them in full."""


@dataclass(frozen=True)
class Sent:
    """
    What a print of a test's page says of the report that was sent.

    `report` is where it is, `code` the first digits of its content, `address` where the
    current revision is told; blank if none is known, as is `qr`, its picture.
    """

    number: str
    report: str
    code: str
    address: str
    qr: str


@dataclass(frozen=True)
class Head:
    """Heading of a page, above the blocks."""

    kicker: str
    title: str
    subtitle: str = ""
    about: str = ""  # second line of the subtitle, on screen only
    status: str = ""
    tone: str = ""  # of the status: good | open | stop
    status_notes: tuple[str, ...] = ()  # sentences that explain the status
    notes_title: str = ""  # heading of these sentences
    facts: tuple[tuple[str, str, str], ...] = ()  # label, text, link
    pages: tuple[tuple[str, str], ...] = ()  # label, address of related pages
    files: tuple[tuple[str, str], ...] = ()  # name, label
    end: str = ""  # the mark that ends a report
    contents: tuple[tuple[str, str], ...] = ()  # label, id of a block of a long page
    description: str = ""  # in a line, for the preview of a link
    citation: str = ""  # how to cite the report
    sent: Sent | None = None  # on paper: the report that was sent


@dataclass(frozen=True)
class Preview:
    """What is told of a page where a link to it is shown, and what it offers."""

    description: str
    sort: str  # website | article
    address: str  # in full, where the site's is known
    feeds: Pairs  # title, link


@dataclass(frozen=True)
class Page:
    """One page, for the template."""

    top: str  # way to the top of the site
    name: str  # in the browser's title
    laboratory: str
    bar: Markup  # the head of all pages
    foot: Markup  # the foot of all pages
    crumbs: tuple[tuple[str, str], ...]
    notices: tuple[str, ...]
    footer: tuple[str, ...]
    robots: str
    head: Head
    preview: Preview
    lead: tuple[Region, ...]  # the answer, shown before what explains it
    regions: tuple[Region, ...]
    text: str = ""  # of a record that can't be read
    kept: str = ""  # name of the kept report shown on the page
    gone: str = ""  # what replaced or withdrew it, if anything
    template: str = "record.html"


def feeds_of(path: str) -> Iterator[tuple[str, str]]:
    """Return title and address of the feeds that a page offers: a project's its own."""
    folder, _, rest = path.partition("/")
    if folder == FOLDERS["project"]:
        project = rest.partition("/")[0]
        yield f"Issues and amendments of {project}", project_feed_path(project)
    yield "Issues and amendments", FEED


@dataclass(frozen=True)
class Site:
    """What every page of one build shares."""

    archive: Archive
    options: Options
    lab: Laboratory | None
    released: Released | None = None
    differs: bool = False  # made of records that are not as committed

    @property
    def name(self) -> str:
        """The laboratory's name."""
        return self.lab.name if self.lab is not None else "Laboratory"

    @property
    def maker(self) -> str:
        """The laboratory's name, for what is taken out of its page."""
        invented = self.lab is not None and self.lab.invented
        return f"{self.name} (invented)" if invented else self.name

    def links(self, path: str) -> Links:
        """Return the links of one page."""
        return Links(self.archive, path, self.released)

    def render(
        self,
        path: str,
        head: Head,
        blocks: Iterable[Shown],
        crumbs: Pairs = (),
        frames: Frames = MappingProxyType({}),
        **more: str,
    ) -> File:
        """
        Return a page.

        `crumbs` are labels and addresses (empty: no link), `frames` the data of the
        figure's axes for the script, `more` the `text`, `kept` and `gone` of `Page`.
        """
        laboratory, links = not self.options.release, self.links(path)
        lead, rest = (
            regions(part, links, frames, laboratory=laboratory)
            for part in lead_and_rest(blocks)
        )
        return path, render(self._page(path, head, (lead, rest), crumbs, more))

    def _page(
        self,
        path: str,
        head: Head,
        regions: tuple[tuple[Region, ...], tuple[Region, ...]],
        crumbs: Pairs,
        more: Mapping[str, str],
    ) -> Page:
        links, lab = self.links(path), self.lab
        base = self.base() if path == "404.html" else None
        top = way_up(path) if base is None else base
        around = head_and_foot(
            self.name,
            lab.place if lab is not None else "",
            top,
            path.partition("/")[0],
            release=self.options.release,
        )
        return Page(
            top=top,
            name=f"{head.title} · {self.name}" if path != HOME else self.name,
            laboratory=self.name,
            bar=around.bar,
            foot=around.foot,
            crumbs=tuple((label, to and links.page(to)) for label, to in crumbs),
            notices=tuple(SHORT.get(line, line) for line in self.notices()),
            footer=self.footer(),
            robots="none" if lab is not None and lab.robots == "none" else "",
            head=head,
            preview=self._preview(path, head, top),
            lead=regions[0],
            regions=regions[1],
            **more,
        )

    def _preview(self, path: str, head: Head, top: str) -> Preview:
        """Return the preview of a page; the first page's is the laboratory's."""
        where = path.removesuffix("index.html")
        title = f"{head.kicker}: {head.title}" if head.kicker else head.title
        told = [title, *filter(None, [head.subtitle])]
        if self.name not in head.subtitle:
            told.append(self.name)
        return Preview(
            description=head.description or ". ".join(told),
            sort="article" if head.citation else "website",
            address=self.address(where) if path != "404.html" else "",
            feeds=tuple((title, top + to) for title, to in feeds_of(path)),
        )

    def address(self, path: str) -> str:
        """
        Return the full address of a page; blank if the site's is not known.

        A site for clients is the published one: lab.yaml may say where it stands.
        """
        base = self.options.base_url
        if not base and self.options.release and self.lab is not None:
            base = self.lab.procedures.published_at or ""
        return f"{base.rstrip('/')}/{path}" if base else ""

    def address_of(self, file: str) -> str:
        """Return where clients read of a test; blank if unknown, or if they do not."""
        base = self.options.base_url
        made = self.archive.outcome(f"records/{file.split('/')[1]}/project.yaml")
        if not base and self.lab is not None and made and made.case.record.publish:
            base = self.lab.procedures.published_at or ""
        return page_address(base, name_of(file))

    def base(self) -> str | None:
        """
        Return the path of the site at its host, if known.

        A host serves 404.html at any depth, so its links start from there.
        """
        if not self.options.base_url:
            return None
        return urlsplit(self.options.base_url).path.rstrip("/") + "/"

    def notices(self) -> tuple[str, ...]:
        """Return the notices of every page: in short at its head, also in print."""
        lines = [] if self.options.release else [COPY]
        if self.lab is not None and self.lab.invented:
            lines.append(INVENTED)
        if self.options.without_history:
            lines.append(WITHOUT_HISTORY)
        return tuple(lines)

    def footer(self) -> tuple[str, ...]:
        """Return the footer of a page: the notices of all, and what is its own."""
        return (*self.notices(), UNCOMMITTED) if self.differs else self.notices()


def site_of(
    archive: Archive, options: Options, released: Released | None = None
) -> Site:
    """Return what all pages of an archive share."""
    file = archive.find("laboratory", "lab")
    made = archive.outcome(file) if file is not None else None
    record = made.case.record if made is not None else None
    lab = record if isinstance(record, Laboratory) else None
    return Site(archive, options, lab, released)
