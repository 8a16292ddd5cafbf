"""Addresses of pages, and relative links between them."""

import re
from functools import cached_property, lru_cache
from urllib.parse import quote

from buildsite.archive.archive import Archive
from buildsite.archive.check_catalogue import is_check
from buildsite.archive.issues import Released
from buildsite.exports.feed import NAME as FEED
from buildsite.kinds.laboratory.confirmed_cells import confirmed
from buildsite.kinds.methods import designations, row_anchor
from buildsite.kinds.sheet import Target
from buildsite.values import dataclass

FOLDERS = {
    "test": "tests",
    "sample": "samples",
    "project": "projects",
    "equipment": "equipment",
}
HOME = "index.html"
PATTERNS = {
    "check": "checks/index.html#{id}",
    "revision": "tests/{id}/index.html",
    "due": "due/index.html",
    "find": "tests/index.html?{id}",
    "pair": "compare/index.html?a={id}",
    "field": "projects/{id}/field/index.html",
    "step": "tests/{id}",
}
NAVIGATION = (
    ("Overview", HOME),
    ("Today", "today/index.html"),
    ("Tests", "tests/index.html"),
    ("Changes", "changes/index.html"),
    ("Soils", "soils/index.html"),
    ("Equipment", "equipment/index.html"),
    ("Flags", "flags/index.html"),
)
FOOTER = (
    ("Report in hand", "report-in-hand/index.html"),
    ("Methods", "methods/index.html"),
    ("Checks", "checks/index.html"),
)
"""What somebody looks up once, linked from the foot of every page."""

SEARCH = "search/index.html"
"""The search, at the head of every page."""

OWN_ONLY = ("Today", "Equipment", "Flags")
"""Parts of the site for the laboratory only."""


def navigation(*, release: bool) -> tuple[tuple[str, str], ...]:
    """Return the links of the main navigation."""
    return tuple(
        (label, to) for label, to in NAVIGATION if not (release and label in OWN_ONLY)
    )


def slug(text: str) -> str:
    """
    Return a name as the name of a folder.

    >>> slug("AASHTO T 180"), slug("CL/ML"), slug("../..")
    ('aashto-t-180', 'cl-ml', 'unnamed')
    """
    return re.sub(r"[^a-z0-9_]+", "-", text.lower()).strip("-") or "unnamed"


def soil_folder(name: str) -> str:
    """
    Return the folder of a soil class, whatever the case of its letters.

    >>> soil_folder("sp-sm")
    'SP-SM'
    """
    return slug(name).upper()


def address(target: Target) -> str:
    """
    Return the address of a page, from the top of the site.

    >>> address(("check", "no-peak")), address(("revision", "HF-0117/r1"))
    ('checks/index.html#no-peak', 'tests/HF-0117/r1/index.html')
    >>> address(("family", "heron-flats/embankment"))
    'projects/heron-flats/families/embankment/index.html'
    """
    what, id = target
    if what in PATTERNS:
        return PATTERNS[what].format(id=id)
    if what == "soil":
        return f"soils/{soil_folder(id)}/index.html"
    if what == "method":
        return f"methods/{slug(id)}/index.html"
    if what == "page":
        return f"{id}/index.html" if id else HOME
    if what == "family":
        project, _, name = id.partition("/")
        return f"projects/{project}/families/{name}/index.html"
    return f"{FOLDERS[what]}/{id}/index.html"


def project_feed_path(project: str) -> str:
    """Return the address of the feed of one project."""
    return address(("project", project)).replace(HOME, FEED)


def way_up(path: str) -> str:
    """
    Return the relative path from a page to the top of the site.

    >>> way_up("tests/HF-0117/index.html"), way_up("index.html")
    ('../../', '')
    """
    return "../" * path.count("/")


@lru_cache(1 << 11)
def quoted(address: str) -> str:
    """Return an address as it stands in a link. A site links few pages often."""
    return quote(address, safe="/#?=&+%")


@lru_cache(1 << 12)
def quoted_place(place: str) -> str:
    """Return the id of a place as it stands in a link."""
    return quote(place)


@dataclass(frozen=True)
class Links:
    """Links out of one page. `path` is the page's own address."""

    archive: Archive
    path: str
    released: Released | None = None  # None: the laboratory's copy, with everything

    @cached_property
    def up(self) -> str:
        """The way to the top of the site."""
        return way_up(self.path)

    def has_page(self, target: Target) -> bool:
        """Whether the site has that page."""
        what, id = target
        if what == "pair":
            what, id = "test", id.partition("&")[0]
        if what == "revision":
            what, id = "test", id.partition("/")[0]
        if what == "field":  # linked to where it is known to be
            what = "project"
        if what in (*FOLDERS, "family"):
            if self.released is not None:
                return self.released.has(what, id)
            file = self.archive.find(what, id.rpartition("/")[2])
            return file is not None and self.archive.has_page(file)
        if what in ("method", "cell"):
            return id.partition("|")[0] in designations()
        return is_check(id) if what == "check" else bool(id)

    def to(self, target: Target | None) -> str:
        """Return the relative link to a page; empty if there is none."""
        if target is None or not self.has_page(target):
            return ""
        if target[0] == "step" and (own := self.on_own_page(address(target))):
            return own
        if target[0] == "cell":
            return self.page(self.row_of(*target[1].split("|", 2)))
        return self.page(address(target))

    def on_own_page(self, address: str) -> str:
        """Return the link to a place of this page; blank if it is of another."""
        page, _, place = address.partition("#")
        return f"#{quoted_place(place)}" if page == self.path else ""

    def row_of(self, designation: str, method: str, label: str) -> str:
        """Return the address of the row of a cell on its standard's page."""
        file = self.archive.find("laboratory", "lab")
        made = self.archive.outcome(file) if file is not None else None
        own = confirmed(made.case.record if made is not None else None)
        found = row_anchor(designation, method, label, own)
        return address(("method", designation)) + (f"#{found}" if found else "")

    def page(self, address: str) -> str:
        """Return the relative link to an address of the site."""
        return self.up + quoted(address)
