"""Every link and address of a built site, and what is wrong with it."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache, cached_property
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath
from posixpath import normpath
from urllib.parse import unquote, urlsplit
from xml.etree import ElementTree

# Attributes whose address the browser opens by itself; an <a> waits for a person.
LOADED = {("link", "href"), ("img", "src"), ("script", "src"), ("iframe", "src")}
FOLLOWED = {("a", "href"), ("area", "href"), ("form", "action")}
UNKNOWN = ("srcset", "poster", "data", "formaction", "background")
POINTING = ("for", "aria-labelledby", "aria-describedby", "aria-controls", "headers")


@dataclass
class Page(HTMLParser):
    """The addresses, the ids and the references to ids of one page."""

    loaded: list[str] = field(default_factory=list)
    followed: list[str] = field(default_factory=list)
    ids: list[str] = field(default_factory=list)
    pointed: list[str] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        HTMLParser.__init__(self)

    @cached_property
    def places(self) -> frozenset[str]:
        """The ids, when all are read."""
        return frozenset(self.ids)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            text = value or ""
            if (tag, name) in LOADED:
                self.loaded.append(text)
            elif (tag, name) in FOLLOWED:
                self.followed.append(text)
            elif name == "id":
                self.ids.append(text)
            elif name in POINTING:
                self.pointed.extend(text.split())
            elif name in UNKNOWN or name in ("href", "src"):
                self.unknown.append(f"{tag} {name}")


def read_page(text: str) -> Page:
    page = Page()
    page.feed(text)
    page.close()
    return page


def read_site(site: Path) -> dict[str, Page]:
    """Each HTML page by its address below the site."""
    return {
        path.relative_to(site).as_posix(): read_page(path.read_text("utf-8"))
        for path in sorted(site.rglob("*.html"))
    }


def target(page: str, link: str) -> str:
    """Address below the site of what a relative link of a page names."""
    path = unquote(urlsplit(link).path)
    if not path:
        return page
    return normpath(str(PurePosixPath(page).parent / path))


def link_fault(site: Path, pages: dict[str, Page], page: str, link: str) -> str | None:
    """What is wrong with one link that stays on the site, if anything."""
    parts = urlsplit(link)
    if parts.path.startswith("/"):
        return "not relative: it breaks below a folder"
    if parts.path.endswith("/") or parts.path in (".", ".."):
        return "a folder: name its index.html, or it fails from the disk"
    named = target(page, link)
    if named.startswith(".."):
        return "leads out of the site"
    # Each part of the name is compared, for disks that do not tell A from a.
    if not all(
        part in names_in(site / above)
        for above, part in zip(
            ("", *_above(named)), PurePosixPath(named).parts, strict=True
        )
    ):
        return "no such file"
    if parts.fragment and unquote(parts.fragment) not in pages[named].places:
        return "no such place on that page"
    return None


def names_in(folder: Path) -> frozenset[str]:
    """What stands in a folder: thousands of links lead into the same."""
    return _names(folder, folder.stat().st_mtime_ns)


@cache
def _names(folder: Path, _changed: int) -> frozenset[str]:
    return frozenset(child.name for child in folder.iterdir())


def _above(named: str) -> Iterator[str]:
    parts = PurePosixPath(named).parts
    for n in range(1, len(parts)):
        yield "/".join(parts[:n])


def address_fault(
    site: Path, pages: dict[str, Page], page: str, link: str
) -> str | None:
    """What is wrong with one address of a page, here or elsewhere."""
    scheme, host = urlsplit(link)[:2]
    if scheme in ("data", "mailto"):
        return None
    if scheme or host:
        return "loaded from another host" if link in pages[page].loaded else None
    if page == "404.html":  # served at any depth: its links cannot be relative
        return None
    return link_fault(site, pages, page, link)


def page_faults(site: Path, pages: dict[str, Page], name: str) -> Iterator[str]:
    """Everything wrong with the addresses and ids of one page."""
    page = pages[name]
    for link in dict.fromkeys(page.loaded + page.followed):
        fault = address_fault(site, pages, name, link)
        if fault:
            yield f"{name}: {link}: {fault}"
    for what in page.unknown:
        yield f"{name}: {what}: an address that this check does not know"
    for twice in sorted(i for i, times in Counter(page.ids).items() if times > 1):
        yield f"{name}: id {twice} stands twice"
    for lost in sorted(set(page.pointed) - page.places):
        yield f"{name}: points to the id {lost}, which is not there"


def style_faults(site: Path) -> Iterator[str]:
    """Addresses in style sheets that name no file of the site."""
    for path in sorted(site.rglob("*.css")):
        for link in re.findall(r"""url\(\s*["']?([^"')]+)""", path.read_text("utf-8")):
            if not link.startswith("data:") and not (path.parent / link).is_file():
                yield f"{path.relative_to(site).as_posix()}: {link}: no such file"


def drawing_faults(site: Path) -> Iterator[str]:
    """Drawings that are not well-formed, or that fetch something."""
    for path in sorted(site.rglob("*.svg")):
        name = path.relative_to(site).as_posix()
        for element in ElementTree.parse(path).iter():  # noqa: S314 (our own files)
            for key, value in element.attrib.items():
                if key.rpartition("}")[2] == "href" and not value.startswith("#"):
                    yield f"{name}: {value}: fetched by a drawing"


def unreached(pages: dict[str, Page]) -> list[str]:
    """Pages that nobody gets to by following links from the first one."""
    seen, waiting = {"index.html"}, ["index.html"]
    while waiting:
        page = waiting.pop()
        for link in pages[page].followed:
            named = "" if urlsplit(link).scheme else target(page, link)
            if named in pages and named not in seen:
                seen.add(named)
                waiting.append(named)
    return sorted(pages.keys() - seen - {"404.html"})
