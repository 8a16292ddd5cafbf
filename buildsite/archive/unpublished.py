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
from buildsite.kinds.methods import designations
from buildsite.record.issued import Item, kept_name
from buildsite.record.kept_pdf import attached
from buildsite.values import dataclass

TOKEN = re.compile(r"[a-z0-9]+(?:[._-]+[a-z0-9]+)*")
WORD = re.compile(r"\w+(?:-\w+)*")
BETWEEN = re.compile(r"[._-]")
DASHES = str.maketrans(dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-"))
SOIL_GROUP = re.compile(r"A-[1-8](-[0-9A-Z]+)?")
SHORT = 5
"""A shorter id may stand for anything: a sieve, a soil, a standard."""
MOST_PARTS = 8
"""Most parts of an id that is looked for within a word."""
ATTRIBUTE = re.compile(r"""\s(?:href|title|alt|src|content|aria-label)="([^"]*)\"""")
TAG = re.compile(r"<[^>]*>")
IN_BRACKETS = re.compile(r"\s*\([^()]*\)\s*$")


@dataclass(frozen=True)
class Unpublished:
    """
    Ids in lower case and names as written, each with the project that it belongs to.

    `words` are names of one plain word, as "Clay", and ids that mean something else as
    well, as A-6: found in a text they are for a person to judge. `shown` are the ids of
    what is published, which may begin or end as others do.
    """

    ids: Mapping[str, str] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)
    shown: Collection[str] = ()

    def told(self, file: str, data: bytes) -> tuple[str, ...]:
        """Return the ids and names that a file holds, sorted."""
        if not self.ids and not self.names:
            return ()
        text = text_of(file, data)
        ids = {
            part
            for token in set(TOKEN.findall(text.lower().translate(DASHES)))
            if not is_number(token)  # a figure has thousands
            for part in self.parts(token)
            if part in self.ids
        }
        names = (n for n in self.names if n in text or n.upper() in text)
        return (*sorted(ids), *sorted(names))

    def parts(self, token: str) -> Iterator[str]:
        """
        Yield every id that may stand in a word: of X-1-bench.pdf also X-1 and bench.

        >>> sorted(Unpublished(shown={"x-1-b"}).parts("x-1-b.pdf"))
        ['', 'pdf', 'x-1-b', 'x-1-b.pdf']
        """
        if token.isalnum():
            yield token
            return
        cuts = [0, *(found.end() for found in BETWEEN.finditer(token)), len(token) + 1]
        for size in range(min(len(cuts) - 1, MOST_PARTS), 0, -1):
            for start, end in zip(cuts, cuts[size:], strict=False):
                part = token[start : end - 1]
                yield part
                if part in self.shown:
                    yield from self.parts(token[: max(start - 1, 0)])
                    yield from self.parts(token[end:])
                    return

    def perhaps(self, file: str, data: bytes) -> tuple[str, ...]:
        """Return the plain words that a file holds and that may be meant, sorted."""
        words = set(WORD.findall(text_of(file, data)))
        return tuple(sorted(self.words.keys() & words))

    def project(self, word: str) -> str:
        """Return the project that an id or a name belongs to."""
        return {**self.words, **self.names, **self.ids}[word]


def text_of(file: str, data: bytes) -> str:
    r"""
    Return what a person can read in a file, in one line; links and titles with it.

    >>> text_of("a.html", b'<a href="x">Alder\n<b>Quay</b></a> &amp; Son')
    'x Alder Quay & Son'

    A PDF is the sheet of a kept report that is read beside it, and has glyphs for
    letters: of it the attached result is read.
    """
    if file.endswith(".pdf"):
        data = attached(data) or b""
    text = data.decode("utf-8", errors="replace")
    if file.endswith((".html", ".svg", ".xml")):
        text = " ".join((*ATTRIBUTE.findall(text), TAG.sub(" ", text)))
    return " ".join(unescape(text).replace('\\"', '"').split())


def unpublished(archive: Records, published: Collection[str]) -> Unpublished:
    """Return the ids and names of projects that are not among those published."""
    ids: dict[str, str] = {}
    shown = {id.lower() for id in archive.ids("equipment")}
    for file in archive.names:
        project = project_of(file)
        if project and project not in published:
            ids.setdefault(name_of(file), project)
            ids.setdefault(project, project)
        elif project:
            shown |= {name_of(file).lower(), project.lower()}
    ids = {id: whose for id, whose in ids.items() if id.lower() not in shown}
    names = dict(names_unpublished(archive, published))
    distinct = {id for id in ids if is_distinct(id)}
    plain = {name for name in names if name.isalnum()}
    return Unpublished(
        {id.lower(): ids[id] for id in distinct},
        {name: whose for name, whose in names.items() if name not in plain},
        {name: names[name] for name in plain}
        | {id: ids[id] for id in ids.keys() - distinct if not is_number(id)},
        shown,
    )


def is_distinct(id: str) -> bool:
    """
    Whether an id can mean nothing else: A-6 is a class of soil, Clay is one, 12 any.

    >>> [is_distinct(one) for one in ("AQ-S02", "A-6", "A-7-6", "D1557", "clay", "12")]
    [True, False, False, False, False, False]
    """
    whole = id.upper().replace("-", " ")
    used = any(f" {whole} " in f" {name} " for name in designations())
    plain = (
        id.isalpha()
        or id.replace(".", "").isdecimal()
        or SOIL_GROUP.fullmatch(id.upper())
    )
    return not (used or plain or len(id) < SHORT)


def is_number(text: str) -> bool:
    """Whether a text is a number, as 12 or 7.74."""
    return text.replace(".", "").isdecimal()


def names_unpublished(
    archive: Records, published: Collection[str]
) -> Iterator[tuple[str, str]]:
    """Yield names of projects and customers that stand nowhere on the site openly."""
    said = set(said_openly(archive, published))
    for file in archive.files("project"):
        if name_of(file) in published:
            continue
        short = name_of(file).replace("-", " ").title()  # as people say it
        for name in (*names_of(archive, file), *([short] if " " in short else ())):
            if not any(name in one for one in said):
                yield name, name_of(file)


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
