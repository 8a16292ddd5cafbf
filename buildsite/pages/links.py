"""Where pages stand, and which cell may link to which: always relative."""

import re
from urllib.parse import quote

from buildsite.archive.archive import Archive
from buildsite.archive.check_catalogue import catalogue
from buildsite.archive.issues import Released
from buildsite.kinds.methods import designations
from buildsite.kinds.sheet import Target
from buildsite.values import dataclass

FOLDERS = {
    "test": "tests",
    "sample": "samples",
    "project": "projects",
    "equipment": "equipment",
}
HOME = "index.html"
NAVIGATION = (
    ("Overview", HOME),
    ("Changes", "changes/index.html"),
    ("Soils", "soils/index.html"),
    ("Equipment", "equipment/index.html"),
    ("Flags", "flags/index.html"),
    ("Methods", "methods/index.html"),
    ("Checks", "checks/index.html"),
)
OWN_ONLY = ("Equipment", "Flags")
"""Parts of the site that stay in the laboratory."""


def navigation(*, release: bool) -> tuple[tuple[str, str], ...]:
    """Parts of the site that a reader is led to."""
    return tuple(
        (label, to) for label, to in NAVIGATION if not (release and label in OWN_ONLY)
    )


def slug(text: str) -> str:
    """
    Turn a name into one folder's name.

    >>> slug("AASHTO T 180"), slug("CL/ML"), slug("../..")
    ('aashto-t-180', 'cl-ml', 'unnamed')
    """
    return re.sub(r"[^a-z0-9_]+", "-", text.lower()).strip("-") or "unnamed"


def soil_folder(name: str) -> str:
    """
    Folder of a soil class: one, however its letters are written.

    >>> soil_folder("sp-sm")
    'SP-SM'
    """
    return slug(name).upper()


def address(target: Target) -> str:
    """
    Page of a thing, from the top of the site.

    >>> address(("check", "no-peak")), address(("revision", "HF-0117/r1"))
    ('checks/index.html#no-peak', 'tests/HF-0117/r1/index.html')
    """
    what, id = target
    if what == "soil":
        return f"soils/{soil_folder(id)}/index.html"
    if what == "method":
        return f"methods/{slug(id)}/index.html"
    if what == "check":
        return f"checks/index.html#{id}"
    if what == "revision":
        return f"tests/{id}/index.html"
    if what == "due":
        return "due/index.html"
    return f"{FOLDERS[what]}/{id}/index.html"


def way_up(path: str) -> str:
    """
    Way from a page to the top of the site.

    >>> way_up("tests/HF-0117/index.html"), way_up("index.html")
    ('../../', '')
    """
    return "../" * path.count("/")


@dataclass(frozen=True)
class Links:
    """Links out of one page. `path` is the page's own address."""

    archive: Archive
    path: str
    released: Released | None = None  # None: the laboratory's copy, with everything

    def has_page(self, target: Target) -> bool:
        """Whether that page is made."""
        what, id = target
        if what == "revision":
            what, id = "test", id.partition("/")[0]
        if what in FOLDERS:
            if self.released is not None:
                return self.released.has(what, id)
            file = self.archive.find(what, id)
            return file is not None and self.archive.has_page(file)
        if what == "method":
            return id in designations()
        return id in catalogue() if what == "check" else bool(id)

    def to(self, target: Target | None) -> str:
        """Relative link to a thing; empty where it has no page."""
        if target is None or not self.has_page(target):
            return ""
        return self.page(address(target))

    def page(self, address: str) -> str:
        """Relative link to an address of the site."""
        return quote(way_up(self.path) + address, safe="/#")
