"""Where pages stand, and which cell may link to which: always relative."""

import re
from dataclasses import dataclass
from urllib.parse import quote

from buildsite.kinds.sheet import Target
from buildsite.pages.archive import Archive
from buildsite.pages.rows import has_page

FOLDERS = {
    "test": "tests",
    "sample": "samples",
    "project": "projects",
    "equipment": "equipment",
}
HOME = "index.html"
NAVIGATION = (
    ("Overview", HOME),
    ("Soils", "soils/index.html"),
    ("Equipment", "equipment/index.html"),
    ("Flags", "flags/index.html"),
    ("Methods", "methods/index.html"),
    ("Checks", "checks/index.html"),
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

    >>> address(("check", "no-peak"))
    'checks/index.html#no-peak'
    """
    what, id = target
    if what == "soil":
        return f"soils/{soil_folder(id)}/index.html"
    if what == "method":
        return f"methods/{slug(id)}/index.html"
    if what == "check":
        return f"checks/index.html#{id}"
    return f"{FOLDERS[what]}/{id}/index.html"


def up(path: str) -> str:
    """
    Way from a page to the top of the site.

    >>> up("tests/HF-0117/index.html"), up("index.html")
    ('../../', '')
    """
    return "../" * path.count("/")


@dataclass(frozen=True)
class Links:
    """Links out of one page. `path` is the page's own address."""

    archive: Archive
    path: str
    methods: frozenset[str]
    checks: frozenset[str]

    def there(self, target: Target) -> bool:
        """Whether that page is made."""
        what, id = target
        if what in FOLDERS:
            file = self.archive.find(what, id)
            return file is not None and has_page(self.archive.entry(file))
        known = {"method": self.methods, "check": self.checks}.get(what)
        return id in known if known is not None else bool(id)

    def to(self, target: Target | None) -> str:
        """Relative link to a thing; empty where it has no page."""
        if target is None or not self.there(target):
            return ""
        return self.page(address(target))

    def page(self, address: str) -> str:
        """Relative link to an address of the site."""
        return quote(up(self.path) + address, safe="/#")
