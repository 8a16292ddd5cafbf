"""
The chain of issued revisions: its items, their digests, and the faults of a chain.

An item is a mapping of texts with two digests, of `canonical.canonical` of the item as
written without blanks:

* `content`: the item without `report`, `pdf`, `pdf_drawn_by`, `content` and `previous`.
  The report prints it.
* `previous`: the whole item before it, including `content` and `previous`.

Items are appended as text and never rewritten, so that git shows an issue as added
lines.
"""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from typing import Annotated, Any, Literal

from pydantic import Field as Rules
from pydantic import StringConstraints

from buildsite.record.canonical import canonical, digest
from buildsite.record.flags import Flag
from buildsite.record.kept_shape import shaped
from buildsite.record.meanwhile import Meanwhile
from buildsite.record.places import SUFFIX
from buildsite.record.reading import Code, Count, Day, Id, Model, Text
from buildsite.record.source import Source, read_source
from buildsite.record.typed import read_model
from buildsite.values import dataclass

ITEM_BEGINS = re.compile(rb"^- ", re.MULTILINE)
"""Beginning of an item of an issued file: nothing else starts in column 0."""

KNOWN_LATER = ("report", "pdf", "pdf_drawn_by")
"""Keys of the files drawn of a report, which print its `content`."""

LEFT_OUT = (*KNOWN_LATER, "content", "previous")
"""Keys not covered by an item's `content`."""

Sum = Annotated[str, StringConstraints(pattern=r"^sha256:[0-9a-f]{64}$")]


class Software(Model):
    name: Text
    version: Text
    fingerprint: Text


class Item(Model):
    """
    One issued state of a test's report.

    `used` is a digest in the form `used_form`. `assesses`, `computed` and `breaks` are
    for an assessment: the revision assessed, the results of the newer software, and a
    commit that broke the chain. `pdf` is for a report that is kept as a PDF too, and
    `pdf_drawn_by` says which versions draw the same bytes again.
    """

    revision: Count
    kind: Literal["report", "preliminary", "withdrawal", "assessment"]
    issued_on: Day
    authorized_by: Code
    reason: Text
    issued_to: tuple[Text, ...] = ()
    inputs: dict[Text, Sum] = Rules(default_factory=dict)
    used: Sum
    used_form: Count = 1
    results: dict[Text, Text] = Rules(default_factory=dict)
    software: Software
    assesses: Count | None = None
    computed: dict[Text, Text] | None = None
    breaks: Text | None = None
    result: Sum | None = None
    report: Sum | None = None
    pdf: Sum | None = None
    pdf_drawn_by: Text | None = None
    content: Sum
    previous: Sum | None = None

    @property
    def is_report(self) -> bool:
        """Whether a report was sent: all but an assessment."""
        return self.kind != "assessment"


class Chain(Model):
    """A test's issued file."""

    format: Literal["1"] = "1"
    test: Id
    revisions: tuple[Item, ...]


@dataclass(frozen=True)
class Issued:
    """A chain as read: `items` typed, and `trees` as written (for digests)."""

    source: Source
    test: str
    items: tuple[Item, ...]
    trees: tuple[Mapping[str, Any], ...]

    @cached_property
    def digests(self) -> tuple[str, ...]:
        """Digest of each whole item."""
        return tuple(map(whole_digest, self.trees))

    @property
    def last_report(self) -> Item | None:
        """The last item that sent a report."""
        return next((item for item in reversed(self.items) if item.is_report), None)

    def assessments(self, revision: int) -> tuple[Item, ...]:
        """Return the assessments of one revision."""
        return tuple(item for item in self.items if item.assesses == revision)


def issued_name(test_file: str) -> str:
    """
    Return the name of the issued file beside a test's record.

    >>> issued_name("records/p/tests/HF-0117.yaml")
    'records/p/tests/HF-0117.issued.yaml'
    """
    return test_file.removesuffix(".yaml") + SUFFIX


def kept_name(test_file: str, revision: int, suffix: str) -> str:
    """
    Return the name of a kept report (html, pdf) or result (json).

    >>> kept_name("records/p/tests/HF-0117.yaml", 1, "html")
    'records/p/tests/HF-0117.r1.html'
    """
    return f"{test_file.removesuffix('.yaml')}.r{revision}.{suffix}"


def kept_result(data: bytes | None) -> Mapping[str, Any]:
    """
    Return a kept result; empty if there is none, or it can't be read or drawn.

    >>> kept_result(b'{"used": "sha256:1"}'), kept_result(b"none"), kept_result(None)
    ({'used': 'sha256:1'}, {}, {})
    """
    try:
        found = json.loads(data or b"{}")
    except (ValueError, RecursionError):
        return {}
    return shaped(found)


def content_digest(item: Mapping[str, Any]) -> str:
    """Return the content digest of an item, as printed on its report."""
    return digest(
        canonical({key: value for key, value in item.items() if key not in LEFT_OUT})
    )


CODE_DIGITS, CODE_GROUP = 12, 4
"""Digits of a report code, and how many stand together."""


def report_code(content: str) -> str:
    """
    Return the report code of a content digest, as printed on the report.

    >>> report_code("sha256:" + "0123456789abcdef" * 4)
    '0123 4567 89ab'
    """
    digits = content.removeprefix("sha256:")[:CODE_DIGITS]
    starts = range(0, len(digits), CODE_GROUP)
    return " ".join(digits[start : start + CODE_GROUP] for start in starts)


def whole_digest(item: Mapping[str, Any]) -> str:
    """Return the digest of a whole item: the next item's `previous`."""
    return digest(canonical(dict(item)))


def item_digest(data: bytes, number: str) -> str:
    """Return the digest of one whole item of an issued file; empty if absent."""
    issued, _ = read_issued(f"input{SUFFIX}", data)
    if issued is None or not number.isdecimal() or int(number) >= len(issued.trees):
        return ""
    return whole_digest(issued.trees[int(number)])


def pins_of(inputs: Mapping[str, str]) -> dict[str, int]:
    """
    Return the record and revision of each issued test among the inputs.

    >>> pins_of({"records/p/tests/G-1.issued.yaml#2": "", "records/lab.yaml": ""})
    {'records/p/tests/G-1.yaml': 2}
    """
    parts = (name.partition("#") for name in inputs)
    return {
        f"{path.removesuffix(SUFFIX)}.yaml": int(number)
        for path, mark, number in parts
        if mark and number.isdecimal()
    }


READ: Meanwhile[tuple[Issued | None, tuple[Flag, ...]]] = Meanwhile()


def read_issued(file: str, data: bytes) -> tuple[Issued | None, tuple[Flag, ...]]:
    """Return an issued file, or None and its flags; `READ` may hold them."""

    def made() -> tuple[Issued | None, tuple[Flag, ...]]:
        source = read_source(file, data)
        chain, flags = read_model(source, Chain) if source.whole else (None, [])
        found = (*source.faults, *flags)
        if chain is None or found:
            return None, found
        trees = tuple(source.tree["revisions"])
        return Issued(source, chain.test, chain.revisions, trees), ()

    return READ.get((file, data), made)


@dataclass(frozen=True)
class Break:
    """A fault of a chain: the item's index and revision, and what is wrong."""

    index: int
    revision: int
    what: str


def breaks(trees: Sequence[Mapping[str, Any]]) -> Iterator[Break]:
    """Yield the faults of a chain: wrong numbers, content digests or links."""
    before: Mapping[str, Any] | None = None
    for index, tree in enumerate(trees):
        revision = int(tree["revision"])
        if revision != index:
            yield Break(index, revision, f"numbered {revision} in place of {index}")
        if tree.get("content") != content_digest(tree):
            yield Break(index, revision, "altered: its content digest doesn't match")
        wanted = None if before is None else whole_digest(before)
        if tree.get("previous") != wanted:
            yield Break(index, revision, "does not follow the item before it")
        before = tree


def grown(old: Sequence[Mapping[str, Any]], new: Sequence[Mapping[str, Any]]) -> bool:
    """Whether the old items are the beginning of the new ones, unaltered."""
    return len(old) <= len(new) and all(
        whole_digest(a) == whole_digest(b) for a, b in zip(old, new, strict=False)
    )


def closed(item: Mapping[str, Any], before: Mapping[str, Any] | None) -> dict[str, Any]:
    """Return an item with its `content` and `previous`."""
    done = {key: value for key, value in item.items() if key not in LEFT_OUT}
    done["content"] = content_digest(done)
    done.update({key: item[key] for key in KNOWN_LATER if key in item})
    if before is not None:
        done["previous"] = whole_digest(before)
    return done


def appended(data: bytes | None, test: str, item: Mapping[str, Any]) -> bytes:
    """Return an issued file (None: none yet) with a closed item appended as text."""
    head = f"format: 1\ntest: {test}\nrevisions:\n".encode() if data is None else data
    return head + "".join(_lines(item)).encode()


def quoted(text: str) -> str:
    r"""
    Return a text in double quotes, on one line of YAML.

    >>> print(quoted('a "b"'))
    "a \"b\""
    """
    plain = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return (
        '"'
        + "".join(
            letter if letter.isprintable() else f"\\U{ord(letter):08X}"
            for letter in plain
        )
        + '"'
    )


def _lines(item: Mapping[str, Any]) -> Iterator[str]:
    """Yield the lines of one item: its first key in column 2, after the dash."""
    lead = "- "
    for key, value in item.items():
        if isinstance(value, Mapping):
            yield f"{lead}{key}:\n" if value else f"{lead}{key}: {{}}\n"
            for name, text in value.items():
                yield f"    {quoted(str(name))}: {quoted(str(text))}\n"
        elif isinstance(value, list | tuple):
            inside = ", ".join(quoted(str(text)) for text in value)
            yield f"{lead}{key}: [{inside}]\n"
        else:
            yield f"{lead}{key}: {quoted(str(value))}\n"
        lead = "  "
