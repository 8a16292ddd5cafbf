"""
What a kept PDF may hold: pages, fonts, tags, its outline and one attached result.

It is opened by people who trust the laboratory, and published. So it runs nothing and
loads nothing, whichever program made it. As for a kept report's HTML, what is not
listed is refused, and the reader is stricter than a viewer: it knows the plain form in
which the program's library writes (objects in order, no compression, no encryption, one
table of offsets that fits), so that the two can't read one file differently. Nothing is
hidden in a stream of objects, because there is none.
"""

import re
from collections.abc import Iterator
from dataclasses import field

from buildsite.values import dataclass


def words(text: str) -> frozenset[bytes]:
    """Return the names in a text."""
    return frozenset(word.encode() for word in text.split())


NAMES = words(
    # pages and their resources
    "Type Catalog Pages Page Kids Parent Count Contents Resources MediaBox TrimBox "
    "BleedBox BBox Matrix Tabs S Group CS I K Form Subtype Transparency DeviceRGB "
    "DeviceGray ExtGState XObject Pattern PatternType Shading ShadingType ColorSpace "
    "Lab WhitePoint Range Font ca CA SMask BM Normal Length Size Root Info PaintType "
    "TilingType XStep YStep Coords Domain Function FunctionType Extend C0 C1 N "
    # fonts
    "BaseFont CIDFontType2 CIDSystemInfo CIDToGIDMap CIDSet DescendantFonts Encoding "
    "Identity Identity-H Registry Ordering Supplement ToUnicode W DW Type0 "
    "FontDescriptor FontBBox FontFamily FontFile2 FontName Flags ItalicAngle Ascent "
    "Descent CapHeight StemH StemV Length1 "
    # tags, titles, outline
    "MarkInfo Marked StructTreeRoot StructElem StructParents StructParent ParentTree "
    "ParentTreeNextKey Nums Pg P A Alt ActualText O Layout Table Headers Scope Column "
    "Row Both ColSpan RowSpan ListNumbering List Lang ID Document Part Sect Div Span "
    "NonStruct H1 H2 H3 H4 H5 H6 Caption Figure L LI Lbl LBody TR TH TD THead TBody "
    "TFoot Link Em Strong Code Note Art BlockQuote Title Producer Creator Author "
    "Subject Keywords Metadata XML ViewerPreferences DisplayDocTitle Outlines First "
    "Last Next Prev Dest Dests XYZ Names OBJR Obj Annots Annot Rect Border BS Action "
    # the attached result
    "EmbeddedFiles EmbeddedFile Filespec EF F UF Desc AFRelationship Data AF Params "
    "CheckSum CreationDate ModDate application#2fjson"
)
"""Names that may stand outside of streams."""

OWN_NAMES = re.compile(
    rb"[A-Z]{6}(\+DejaVu-[A-Za-z-]+)?|[aA][0-9][0-9.]*|[xps][0-9]+|lab-d(50|65)"
)
"""Names that the library makes up: fonts, opacities, parts of a figure, colors."""

LINK = re.compile(rb"/S\s*/URI\s*/URI\s*\(\)")
ADDRESS = re.compile(rb"https?://[!-'*-\[\]-~]+")
"""A plain link, its text apart: an address that opens when a person asks."""

HEAD = re.compile(rb"%PDF-1\.7\n%[\x80-\xff]{4}\n")
OBJECT = re.compile(rb"(?P<number>[1-9][0-9]*) 0 obj\n")
LENGTH = re.compile(rb"/Length(?![0-9A-Za-z])(?: ([0-9]+)\s*(?=/|>>))?")
REFERENCE = re.compile(rb"([0-9]+)\s+([0-9]+)\s+R\b")
STREAM, END_STREAM, END = b"\nstream\n", b"\nendstream", b"\nendobj\n"
TAIL = re.compile(
    rb"xref\n0 (?P<size>[0-9]+)\n0000000000 65535 f \n"
    rb"(?P<offsets>(?:[0-9]{10} 00000 n \n)*)"
    rb"trailer\n(?P<trailer><<[^()]*?>>)\nstartxref\n(?P<start>[0-9]+)\n%%EOF\n"
)
TOKEN = re.compile(
    rb"(?P<space>[ \n\t\r]+)|\(\)|/(?P<name>[^ \n\t\r/\[\]<>()%{}]*)|<<|>>|\[|\]"
    rb"|<[0-9A-Fa-f \n]*>|[+-]?[0-9.]+|\b(?:R|true|false|null)\b"
)
DANGEROUS = re.compile(
    rb"/(JavaScript|OpenAction|Launch|GoToR|SubmitForm|ImportData|RichMedia|ObjStm)\b"
)
"""Names refused in streams too, for viewers that look for objects there."""

LIKE_OBJECT = re.compile(rb"[0-9]\s+[0-9]+\s+obj\b")
"""Refused in streams and texts: a viewer that repairs a file takes it for an object."""

TRAILER = [b"Info", b"Root", b"Size"]
"""All that a trailer has, with or without an `ID`: no earlier table of objects."""

FEW = 5
"""Reasons told of one file."""


class Unlike(Exception):
    """The file is not in the plain form."""


@dataclass
class Found:
    """What was read: reasons against, addresses, and the attached files."""

    reasons: list[str] = field(default_factory=list)
    links: set[bytes] = field(default_factory=set)
    references: set[tuple[int, int]] = field(default_factory=set)
    attached: list[bytes] = field(default_factory=list)


def why_refused(data: bytes, address: str = "") -> tuple[str, ...]:
    """
    Return why a file may not be kept as a report's PDF; nothing if it may.

    `address` is where its one link may lead; blank if it may have none.

    >>> why_refused(b"%PDF-1.7")
    ('it is not written as the program writes a PDF: its head',)
    """
    found = read(data)
    for link in sorted(found.links - {address.encode()}):
        found.reasons.append(f"a link to {link.decode()[:60]}")
    if len(found.attached) > 1:
        found.reasons.append("more than one attached file")
    return tuple(dict.fromkeys(found.reasons))[:FEW]


def attached(data: bytes) -> bytes | None:
    """Return the attached result; None if there is none, or the file can't be read."""
    files = read(data).attached
    return files[0] if len(files) == 1 else None


def read(data: bytes) -> Found:
    """Return what stands in a PDF."""
    found = Found()
    try:
        count, last = -1, b""
        for count, (last, stream) in enumerate(objects(data)):  # noqa: B007
            judge(last, stream, found)
        if sorted(names_in(last)) not in (TRAILER, sorted((b"ID", *TRAILER))):
            raise Unlike("its trailer")
        there = {(number, 0) for number in range(1, count + 1)}
        for number, _ in sorted(found.references - there):
            raise Unlike(f"object {number} is not there")
    except Unlike as fault:
        found.reasons.append(
            f"it is not written as the program writes a PDF: {fault}",
        )
    return found


def objects(data: bytes) -> Iterator[tuple[bytes, bytes | None]]:
    """Yield each object and its stream, then the trailer; every byte is accounted."""
    head = HEAD.match(data)
    if head is None:
        raise Unlike("its head")
    at, offsets = head.end(), []
    while start := OBJECT.match(data, at):
        offsets.append(at)
        if int(start["number"]) != len(offsets):
            raise Unlike(f"object {len(offsets)} is not in its place")
        body, stream, at = one_object(data, start.end(), len(offsets))
        yield body, stream
    tail = TAIL.fullmatch(data, at)
    if tail is None:
        raise Unlike(f"what follows object {len(offsets)}")
    table = [int(line.split()[0]) for line in tail["offsets"].splitlines()]
    if table != offsets or int(tail["start"]) != at:
        raise Unlike("its table of offsets")
    if int(tail["size"]) != len(offsets) + 1:
        raise Unlike("its number of objects")
    yield tail["trailer"], None


def one_object(data: bytes, at: int, number: int) -> tuple[bytes, bytes | None, int]:
    """Return an object, its stream, and where the next one begins."""
    end, stream = data.find(END, at), data.find(STREAM, at)
    if end < 0:
        raise Unlike(f"object {number} has no end")
    if not 0 <= stream < end:
        return data[at:end], None, end + len(END)
    body = data[at:stream]
    plain, _ = texts_apart(body)
    stated = list(LENGTH.finditer(plain))
    before = plain[: stated[0].start()] if stated else b""
    own = before.count(b"<<") - before.count(b">>") == 1  # not of a part of it
    if len(stated) != 1 or not stated[0][1] or not own:
        raise Unlike(f"object {number} states no length of its stream")
    start = stream + len(STREAM)
    stop = start + int(stated[0][1])
    after = END_STREAM + END
    if data[stop : stop + len(after)] != after:
        raise Unlike(f"object {number} has a stream of another length")
    return body, data[start:stop], stop + len(after)


def judge(body: bytes, stream: bytes | None, found: Found) -> None:
    """Add what one object holds and may not."""
    plain, texts = texts_apart(body)
    names = set(names_in(without_links(plain, texts, found.links)))
    found.references |= {(int(a), int(b)) for a, b in REFERENCE.findall(plain)}
    if LIKE_OBJECT.search(body):
        found.reasons.append("an object in a text")
    for name in sorted(names - NAMES):
        if not OWN_NAMES.fullmatch(name):
            found.reasons.append(f"/{name.decode('latin-1')[:40]}")
    if stream is None:
        return
    if b"EmbeddedFile" in names:
        found.attached.append(stream)
    if b"F" in names:
        found.reasons.append("a stream in another file")
    inside = DANGEROUS.search(stream) or LIKE_OBJECT.search(stream)
    if inside is not None:
        found.reasons.append(f"{inside[0].decode()} in a stream")


def without_links(plain: bytes, texts: list[bytes], links: set[bytes]) -> bytes:
    """Return an object without its plain links, and add where they lead."""
    rest, at = [], 0
    for link in LINK.finditer(plain):
        address = texts[plain.count(b"()", 0, link.end()) - 1]
        if ADDRESS.fullmatch(address):
            links.add(address)
            rest.append(plain[at : link.start()])
            at = link.end()
    return b" ".join((*rest, plain[at:]))


def texts_apart(body: bytes) -> tuple[bytes, list[bytes]]:
    r"""
    Return an object with empty brackets for its texts, and the texts.

    >>> texts_apart(rb"/Title (a (b\)) c)/Lang (en)")
    (b'/Title ()/Lang ()', [b'a (b\\)) c', b'en'])
    """
    plain, texts, at = [], [], 0
    while (start := body.find(b"(", at)) >= 0:
        plain.append(body[at:start])
        at = end_of_text(body, start)
        texts.append(body[start + 1 : at - 1])
    return b"()".join((*plain, body[at:])), texts


def names_in(plain: bytes) -> Iterator[bytes]:
    """Yield the names in an object without texts."""
    at = 0
    while at < len(plain):
        token = TOKEN.match(plain, at)
        if token is None:
            raise Unlike(repr(plain[at : at + 20].decode("latin-1")))
        if token["name"] is not None:
            yield token["name"]
        at = token.end()


TEXT_MARK = re.compile(rb"\\.|[()]", re.DOTALL)


def end_of_text(body: bytes, at: int) -> int:
    r"""
    Return where a text in brackets ends; brackets may nest.

    >>> end_of_text(rb"(a(b)\)c) 1", 0)
    9
    """
    depth = 0
    for mark in TEXT_MARK.finditer(body, at):
        depth += {b"(": 1, b")": -1}.get(mark[0], 0)
        if not depth:
            return mark.end()
    raise Unlike("a text without an end")
