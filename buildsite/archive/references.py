"""
Values that one test takes from another: from its last issued report, as kept.

A record may still change, a report does not. So a test that uses another takes the
value from its last report, and names the item among its inputs:
``records/…/HF-0109.issued.yaml#1``. If no report was issued, the record itself is used,
with a flag: no final report may be based on it.
"""

from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import field
from typing import Any

from buildsite.archive.entries import Entry
from buildsite.archive.identity import (
    CYCLE,
    TO_NOTHING,
    WRONG_KIND,
    group_asked,
    in_a_circle,
    name_of,
    to_nothing,
    wrong_kind,
)
from buildsite.archive.records import Records
from buildsite.kinds import kind_named
from buildsite.kinds.kind import Kind, Ref
from buildsite.kinds.outcome import flag_of
from buildsite.record.canonical import digest
from buildsite.record.flags import Doubt, Flag, Known, Severity
from buildsite.record.issued import (
    Item,
    issued_name,
    kept_name,
)
from buildsite.record.source import Source
from buildsite.values import dataclass

RELIED_ON = "ISO/IEC 17025:2017, 7.8.1.2 and 7.5.1: a result uses what was reported"

NOT_ISSUED = Known(
    "reference-not-issued",
    Severity.WARNING,
    RELIED_ON,
    "A test uses another that has no valid final report.",
)
WITHDRAWN = Known(
    "reference-withdrawn",
    Severity.ERROR,
    RELIED_ON,
    "A test uses another that was withdrawn.",
)
KNOWN = (NOT_ISSUED, WITHDRAWN)


@dataclass(frozen=True)
class LastReport:
    """The last report of a test, of any type, with the digest of the whole item."""

    item: Item
    digest: str

    def inputs(self, file: str) -> dict[str, str]:
        """Return the item as an input, with the digest of the whole of it."""
        return {f"{issued_name(file)}#{self.item.revision}": self.digest}


def last_report(records: Records, file: str) -> LastReport | None:
    """Return the last report of a test, or the one that an archive is pinned to."""
    issued, _ = records.chain(file)
    if issued is None:
        return None
    end = records.pins.get(file, len(issued.items) - 1) + 1
    for item, whole in reversed(
        [*zip(issued.items, issued.digests, strict=True)][:end]
    ):
        if item.is_report:
            return LastReport(item, whole)
    return None


def result_of(records: Records, file: str, item: Item) -> Mapping[str, Any]:
    """Return the kept result of an issue; empty if missing or altered."""
    name = kept_name(file, item.revision, "json")
    if records.kept is not None and name not in records.kept_names:
        return {}
    try:
        data = records.read_file(name)
    except LookupError:
        return {}
    return records.shared.result(name, data) if digest(data) == item.result else {}


def why_not_final(records: Records, file: str) -> str:
    """Return why no final report may be based on a test; empty if one may."""
    if file in records.planned:
        return ""
    last = last_report(records, file)
    if last is None:
        return "not issued"
    return "" if last.item.kind == "report" else f"issued as {last.item.kind}"


def is_withdrawn(records: Records, file: str) -> bool:
    """Whether a test is withdrawn."""
    last = last_report(records, file)
    if last is not None:
        return last.item.kind == "withdrawal"
    there = records.find("test", name_of(file)) == file
    return there and records.entry(file).source.tree.get("status") == "withdrawn"


@dataclass(frozen=True)
class Reply:
    """
    Reply to a reference: an answer or None, the inputs it came from, flags.

    `silent` is the kind of a report that stands and does not give that value.
    """

    answer: object | None = None
    inputs: Mapping[str, str] = field(default_factory=dict)
    flags: tuple[Flag, ...] = ()
    silent: Kind[Any, Any] | None = None


def reply_of_report(records: Records, ref: Ref) -> Reply | None:
    """
    Return the reply of the last report of a test; None if the record must be used.

    A withdrawn report gives no answer, nor does one that was not kept as issued, which
    is flagged in its own file. A bare question is about the record itself.
    """
    file = records.home(ref.id) if group_asked(ref) == "test" else None
    if file is None or ref.bare:
        return None
    if file in records.planned:
        return reply_of_result(records.planned[file], ref, {})
    last = last_report(records, file)
    if last is None:
        return Reply() if is_withdrawn(records, file) else None
    if last.item.kind == "withdrawal":
        return Reply(None, last.inputs(file))
    result = result_of(records, file, last.item)
    if not result:
        return Reply(None, last.inputs(file))
    return reply_of_result(result, ref, last.inputs(file))


def reply_of_result(
    result: Mapping[str, Any], ref: Ref, inputs: Mapping[str, str]
) -> Reply | None:
    """Return the reply of a result as kept; None if its kind answers no such thing."""
    kind = kind_named(str(result.get("kind")))
    if kind is None or (ref.kinds and kind.name not in ref.kinds):
        return None
    if kind.answer_from_result is None:
        return None
    answer = kind.answer_from_result(result, ref)
    return Reply(answer, inputs, silent=kind if answer is None else None)


def target_of(
    records: Records, entry: Entry, ref: Ref
) -> tuple[str | None, tuple[Known, Doubt] | None]:
    """Return the file that a reference names, or the doubt about it."""
    group = group_asked(ref)
    file = records.find(group, ref.id)
    if file is None:
        return None, (TO_NOTHING, to_nothing(ref, records.ids(group)))
    other = records.entry(file)
    if other.kind is not None and ref.kinds and other.kind.name not in ref.kinds:
        return None, (WRONG_KIND, wrong_kind(ref, other.kind))
    if not ref.bare and reaches(records, file, entry.file):
        return None, (CYCLE, in_a_circle(ref, entry.file))
    return file, None


def reaches(records: Records, start: str, goal: str) -> bool:
    """Whether references lead from one file to another."""
    waiting, seen = [start], set[str]()
    while waiting:
        file = waiting.pop()
        if file == goal:
            return True
        if file in seen:
            continue
        seen.add(file)
        for ref in records.entry(file).refs:
            found = records.find(group_asked(ref), ref.id)
            if found is not None and not ref.bare:
                waiting.append(found)
    return False


def tests_relied_on(
    records: Records, refs: Iterable[Ref]
) -> Iterator[tuple[Ref, Ref, str]]:
    """
    Return the tests that a record takes values from, directly or through others.

    Each with the record's own reference, the reference to the test, and its file.
    """
    for ref in refs:
        if group_asked(ref) == "test":
            file = records.home(ref.id)
            if file is not None and not ref.bare:
                yield ref, ref, file
        elif not ref.bare:
            for inner in records.refs_to_tests(group_asked(ref), ref.id):
                file = records.home(inner.id)
                if file is not None and not inner.bare:
                    yield ref, inner, file


def flags_of_unissued(
    records: Records, source: Source, refs: Iterable[Ref], answers: Container[Any]
) -> Iterator[Flag]:
    """
    Return the flags of tests used that have no valid final report.

    A reference without an answer (its key is not among `answers`) has a flag already,
    unless the test was withdrawn.
    """
    for ref, inner, file in tests_relied_on(records, refs):
        state = why_not_final(records, file)
        if not state:
            continue
        who = f", named by {ref.id}" if inner is not ref else ""
        gone = is_withdrawn(records, file)
        if not gone and ref.key not in answers:
            continue
        doubt = Doubt(
            ref.field,
            f"{inner.id}{who}, {'withdrawn' if gone else state}",
            "a test with a valid final report",
            "name another test, or state the value with its basis"
            if gone
            else f"issue {inner.id} first: before that this can't be issued as final",
            unasked=not gone,
        )
        yield flag_of(WITHDRAWN if gone else NOT_ISSUED, doubt, source)
