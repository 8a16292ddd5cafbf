"""
Names that no file for clients may hold: those of projects that are not published.

Free text can name anything: a remark "same soil as AQ-S02" is printed on the report
of another customer. So every file of a released site is searched for them.
"""

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import field
from html import unescape

from buildsite.archive.identity import name_of
from buildsite.archive.other_projects import project_of
from buildsite.archive.records import Records
from buildsite.record.issued import Item, kept_name
from buildsite.values import dataclass

TOKEN = re.compile(r"[a-z0-9_][a-z0-9._-]*")
ATTRIBUTE = re.compile(r"""\s(?:href|title|alt|src|content|aria-label)="([^"]*)\"""")
TAG = re.compile(r"<[^>]*>")
IN_BRACKETS = re.compile(r"\s*\([^()]*\)\s*$")


@dataclass(frozen=True)
class Unpublished:
    """
    Ids in lower case and names as written, each with the project that it belongs to.

    `words` are names and ids of one plain word, as "Clay": found in a text they are
    for a person to judge.
    """

    ids: Mapping[str, str] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)

    def told(self, file: str, data: bytes) -> tuple[str, ...]:
        """Return the ids and names that a file holds, sorted."""
        text = text_of(file, data)
        ids = self.ids.keys() & tokens(text)
        return (*sorted(ids), *sorted(name for name in self.names if name in text))

    def perhaps(self, file: str, data: bytes) -> tuple[str, ...]:
        """Return the plain words that a file holds and that may be meant, sorted."""
        words = set(re.findall(r"\w+", text_of(file, data)))
        return tuple(sorted(self.words.keys() & words))

    def project(self, word: str) -> str:
        """Return the project that an id or a name belongs to."""
        return {**self.words, **self.names, **self.ids}[word]


def text_of(file: str, data: bytes) -> str:
    r"""
    Return what a person can read in a file, in one line; links and titles with it.

    >>> text_of("a.html", b'<a href="x">Alder\n<b>Quay</b></a> &amp; Son')
    'x Alder Quay & Son'
    """
    text = data.decode("utf-8", errors="replace")
    if file.endswith((".html", ".svg", ".xml")):
        text = " ".join((*ATTRIBUTE.findall(text), TAG.sub(" ", text)))
    return " ".join(unescape(text).replace('\\"', '"').split())


def tokens(text: str) -> Iterator[str]:
    """
    Return the ids that a text may hold, in lower case.

    >>> sorted(set(tokens("see AQ-S02, AQ-0019.issued.yaml.")))
    ['aq-0019', 'aq-0019.issued', 'aq-0019.issued.yaml', 'aq-s02', 'see']
    """
    for found in set(TOKEN.findall(text.lower())):
        token = found.rstrip("._-")
        while token:
            yield token
            token = token.rpartition(".")[0]


def unpublished(archive: Records, published: Collection[str]) -> Unpublished:
    """Return the ids and names of projects that are not among those published."""
    ids: dict[str, str] = {}
    names: dict[str, str] = {}
    shown = set[str]()
    for file in archive.names:
        project = project_of(file)
        if project and project not in published:
            ids.setdefault(name_of(file).lower(), project)
            ids.setdefault(project.lower(), project)
        elif project:
            shown.add(name_of(file).lower())
    said = set(said_openly(archive, published))
    for file in archive.files("project"):
        project = name_of(file)
        if project not in published:
            for name in names_of(archive, file):
                if not any(name in one for one in said):
                    names.setdefault(name, project)
    ids = {id: whose for id, whose in ids.items() if id not in shown}
    plain = {name: whose for name, whose in names.items() if name.isalnum()}
    return Unpublished(
        {id: whose for id, whose in ids.items() if not id.isalnum() or mixed(id)},
        {name: whose for name, whose in names.items() if name not in plain},
        plain,
    )


def mixed(id: str) -> bool:
    """Whether an id has letters and digits; a number alone stands everywhere."""
    return not (id.isalpha() or id.isdecimal())


def names_of(archive: Records, file: str) -> Iterator[str]:
    """Yield the names in a project's record, without a remark in brackets."""
    record = archive.entry(file).record
    customer = getattr(record, "customer", None)
    for name in (getattr(record, "name", None), getattr(customer, "name", None)):
        if name:
            yield " ".join(IN_BRACKETS.sub("", str(name)).split())


def said_openly(archive: Records, published: Collection[str]) -> Iterator[str]:
    """Yield names that stand on the site in any case: laboratory, projects, to whom."""
    lab = archive.laboratory
    if lab is not None:
        yield from (str(lab.name), str(lab.place or ""))
    for file in archive.files("project"):
        if name_of(file) in published:
            yield from names_of(archive, file)
    for file in archive.files("test"):
        issued, _ = archive.chain(file) if project_of(file) in published else (None, ())
        for item in issued.items if issued is not None else ():
            yield from item.issued_to


def told_of(archive: Records, file: str, item: Item) -> Iterator[tuple[str, bytes]]:
    """Yield what clients see of an item: kept report and result, and the reason."""
    yield from kept_files(archive, file, item)
    yield "reason", (item.reason or "").encode()


def kept_files(archive: Records, file: str, item: Item) -> Iterator[tuple[str, bytes]]:
    """Yield the kept report and result of an item, as far as they are there."""
    for suffix, sum in (("html", item.report), ("json", item.result)):
        name = kept_name(file, item.revision, suffix)
        if sum is None or (archive.kept is not None and name not in archive.kept_names):
            continue
        try:
            yield name, archive.read_file(name)
        except LookupError:
            continue  # flagged in its own place: kept-report-missing
