"""
What one test takes from another: out of its last issued report, as that was kept.

A report is what others may rely on; a record may change under their hands. So a test
that rests on another takes the value its last report states, and names the item among
its inputs: ``records/…/HF-0109.issued.yaml#1``. Where no report was issued the record
itself is asked, and a flag says so, for nothing final may rest on it.
"""

import json
from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import field
from typing import TYPE_CHECKING, Any

from buildsite.archive.identity import group_asked, name_of
from buildsite.kinds import kind_named
from buildsite.kinds.kind import Ref
from buildsite.kinds.outcome import placed
from buildsite.record.canonical import digest
from buildsite.record.flags import Doubt, Flag, Known, Severity
from buildsite.record.issued import Item, issued_name, kept_name, whole_digest
from buildsite.record.source import Source
from buildsite.values import dataclass

if TYPE_CHECKING:
    from buildsite.archive.archive import Archive

RELIED_ON = "ISO/IEC 17025:2017, 7.8.1.2 and 7.5.1: a result rests on what was reported"

NOT_ISSUED = Known(
    "reference-not-issued",
    Severity.WARNING,
    RELIED_ON,
    "A test rests on another of which no final report stands.",
)
WITHDRAWN = Known(
    "reference-withdrawn",
    Severity.ERROR,
    RELIED_ON,
    "A test rests on another that was withdrawn.",
)
KNOWN = (NOT_ISSUED, WITHDRAWN)


@dataclass(frozen=True)
class LastReport:
    """The last report of a test, of whatever sort, as written and as read."""

    item: Item
    tree: Mapping[str, Any]

    def inputs(self, file: str) -> dict[str, str]:
        """Name the item as an input, with the digest of the whole of it."""
        name = f"{issued_name(file)}#{self.item.revision}"
        return {name: whole_digest(self.tree)}


def last_report(archive: "Archive", file: str) -> LastReport | None:
    """Find the last report of a test, or the one that an archive is pinned to."""
    issued, _ = archive.chain(file)
    if issued is None:
        return None
    end = archive.pins.get(file, len(issued.items) - 1) + 1
    for item, tree in reversed([*zip(issued.items, issued.trees, strict=True)][:end]):
        if item.is_report:
            return LastReport(item, tree)
    return None


def kept_result(archive: "Archive", file: str, item: Item) -> Mapping[str, Any] | None:
    """Read what was kept of an issue; None if it is not there as it was issued."""
    name = kept_name(file, item.revision, "json")
    if archive.kept is not None and name not in archive.kept:
        return None
    try:
        data = archive.read_file(name)
    except LookupError:
        return None
    if digest(data) != item.result:
        return None
    said: Mapping[str, Any] = json.loads(data)
    return said


def why_not_final(archive: "Archive", file: str) -> str:
    """Say in words why nothing final may rest on a test; empty where it may."""
    last = last_report(archive, file)
    if last is None:
        return "not issued"
    return "" if last.item.kind == "report" else f"issued as {last.item.kind}"


def is_withdrawn(archive: "Archive", file: str) -> bool:
    """Whether the last word on a test is that it does not stand."""
    last = last_report(archive, file)
    if last is not None:
        return last.item.kind == "withdrawal"
    there = archive.find("test", name_of(file)) == file
    return there and archive.entry(file).source.tree.get("status") == "withdrawn"


@dataclass(frozen=True)
class Reply:
    """What a question brought: an answer or none, the inputs it came from, flags."""

    answer: object | None = None
    inputs: Mapping[str, str] = field(default_factory=dict)
    flags: tuple[Flag, ...] = ()


def answer_from_report(archive: "Archive", file: str, ref: Ref) -> Reply | None:
    """
    Ask the last report of a test; None where the record itself must be asked.

    A withdrawn report tells nothing, and one that was not kept as it was issued
    neither: that is flagged where it stands.
    """
    last = last_report(archive, file)
    if last is None:
        return Reply() if is_withdrawn(archive, file) else None
    if last.item.kind == "withdrawal":
        return Reply(None, last.inputs(file))
    result = kept_result(archive, file, last.item)
    if result is None:
        return Reply(None, last.inputs(file))
    kind = kind_named(str(result.get("kind")))
    if (
        kind is None
        or kind.answer_from_result is None
        or (ref.kinds and kind.name not in ref.kinds)
    ):
        return None
    return Reply(kind.answer_from_result(result, ref), last.inputs(file))


def tests_relied_on(
    archive: "Archive", refs: Iterable[Ref]
) -> Iterator[tuple[Ref, Ref, str]]:
    """
    Tests that a record takes values from, itself or through what it names.

    Each with the record's own question, the question to the test, and its file.
    """
    for ref in refs:
        if group_asked(ref) == "test":
            file = archive.home(ref.id)
            if file is not None:
                yield ref, ref, file
        elif not ref.bare:
            for inner in archive.named_tests(group_asked(ref), ref.id):
                file = archive.home(inner.id)
                if file is not None:
                    yield ref, inner, file


def flags_of_unissued(
    archive: "Archive", source: Source, refs: Iterable[Ref], answers: Container[Any]
) -> Iterator[Flag]:
    """
    Flag each test that a record rests on and of which no final report stands.

    Of a question without an answer (its key is not among `answers`) that is told
    already, but for a test that was withdrawn.
    """
    for ref, inner, file in tests_relied_on(archive, refs):
        state = why_not_final(archive, file)
        if not state:
            continue
        who = f", which {ref.id} names" if inner is not ref else ""
        gone = is_withdrawn(archive, file)
        if not gone and ref.key not in answers:
            continue
        doubt = Doubt(
            ref.field,
            f"{inner.id}{who}, {'withdrawn' if gone else state}",
            "a test whose final report stands",
            "name another test, or state the value with its basis"
            if gone
            else f"issue {inner.id} first: until then this can't be issued as final",
        )
        yield placed(WITHDRAWN if gone else NOT_ISSUED, doubt, source)
