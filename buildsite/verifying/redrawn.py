"""
Items of this program, made again from their inputs: item, kept result, kept report.

The same program gives the same bytes. So what `issue` would write is compared with what
stands there, and no other number can be printed on a report than its inputs give.

A report also prints warnings that come from comparing records (a mold's mass since its
last test). They rest on the whole archive at the issue, so that state is looked at too:
always for an item that is new, else where the inputs, with the warnings that the kept
result states, don't give the bytes.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from functools import cache
from typing import Any

from buildsite import software
from buildsite.archive.across import flags_across, traces_of
from buildsite.archive.amendments import Amendment, amendment, earlier_report
from buildsite.archive.archive import Archive
from buildsite.archive.entries import Shared
from buildsite.archive.inputs_as_issued import (
    Contents,
    archive_of,
    computed_as_issued,
    found_inputs,
)
from buildsite.archive.issue_item import Order, new_item, result_to_keep, revision_name
from buildsite.archive.states import archive_at, issue_commit
from buildsite.errors import EnvironmentFault
from buildsite.history.walk import History
from buildsite.issuing.refused import Refused, not_ready, open_errors, unissued
from buildsite.issuing.report_pdf import drawn_here_by, report_pdf
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.traces import Trace
from buildsite.record.issued import Item, kept_name
from buildsite.values import dataclass
from buildsite.verifying.joined import Joined
from buildsite.verifying.stated_flags import stated_flags

UNMADE = "can't be made again from its inputs"
SHOWN = 60
"""Characters shown of a line that differs."""

Found = list[tuple[str, str]]
"""Where an item differs (item, result or report), and in what."""


@dataclass(frozen=True)
class Remade:
    """What `issue` writes from the inputs of an item."""

    tree: Mapping[str, Any]
    report: bytes | None = None
    result: bytes | None = None
    pdf: bytes | None = None


@dataclass
class Redrawing:
    """
    Makes items again.

    `state` is the last whole archive looked at, by its commit; `traces` are those of
    each state of a test, by file and digest. `undrawn`: PDFs that other versions drew
    than this machine has, by file.
    """

    history: History
    contents: Contents
    shared: Shared = field(default_factory=Shared)
    state: dict[str, Archive] = field(default_factory=dict)
    traces: dict[tuple[str, str], list[Trace]] = field(default_factory=dict)
    undrawn: dict[str, str] = field(default_factory=dict)
    asked_for_pdf: bool = False

    def here(self) -> str | None:
        """Return the versions that drew PDFs here; None if there was none to draw."""
        return versions_here() if self.asked_for_pdf else None

    def differences(self, joined: Joined, *, new: bool) -> Found:
        """
        Return where an item differs from what this program writes; none if nowhere.

        `new`: the warnings from comparing records must be those of the archive at the
        issue.
        """
        told: Found = []
        for archive in self._archives(joined, new=new):
            found = self._compared(joined, archive)
            if not found:
                return [*unready(joined, archive, new=new)]
            if not told or severity(found) < severity(told):
                told = found
        return told or [("item", UNMADE)]

    def _archives(self, joined: Joined, *, new: bool) -> Iterator[Archive]:
        """Yield the archives that an item may have been issued from."""
        if not (new and joined.claims):
            found = found_inputs(self.contents, joined.item)
            archive = archive_of(found, joined.item, self.shared)
            if archive is not None:
                yield with_stated(archive, joined)
        if not joined.claims:
            return
        born = issue_commit(self.history, joined.own, joined.item.revision)
        before = [*born.parents, born.id] if born is not None else []
        earlier = [] if new else [joined.commit]
        for at in dict.fromkeys([*before, *earlier]):
            if at in self.history.by_id:
                yield self._state(at)

    def _state(self, commit: str) -> Archive:
        """Return the archive at a commit, its records compared."""
        if commit not in self.state:
            archive = archive_at(self.history, commit)
            archive.shared = self.shared
            traces = [*self._traces(archive)]
            archive.across_flags = flags_across(archive, traces)
            self.state = {commit: archive}
        return self.state[commit]

    def _traces(self, archive: Archive) -> Iterator[Trace]:
        """Yield the trace of each test, read once for each of its states."""
        for file in archive.files("test"):
            key = (file, archive.entry(file).source.sha256)
            if key not in self.traces:
                self.traces[key] = traces_of(archive, [file])
            yield from self.traces[key]

    def _compared(self, joined: Joined, archive: Archive) -> Found:
        """Return where an item differs from what an archive gives; none if nowhere."""
        there = joined.own in archive.names
        made = archive.outcome(joined.own) if there else None
        if made is None:
            return [("item", UNMADE)]
        again = self._remade(joined, archive, made)
        found = []
        if dict(made.inputs) != dict(joined.item.inputs):
            found.append(("item", input_difference(joined.item.inputs, made.inputs)))
        elif dict(again.tree) != dict(joined.tree):
            found.append(("item", tree_difference(joined.tree, again.tree)))
        for key, now in (("result", again.result), ("report", again.report)):
            then = joined.kept.get(key)
            if now is not None and then is not None and now != then:
                found.append((key, f"the kept {key} {line_difference(then, now)}"))
        then = joined.kept.get("pdf")
        if not found and again.pdf is not None and then not in (None, again.pdf):
            found.append(("pdf", "the kept PDF is not the one that its report gives"))
        return found

    def _remade(self, joined: Joined, archive: Archive, made: Outcome) -> Remade:
        """Return what `issue` writes."""
        item, about = joined.item, software.software()
        order = order_of(item)
        reports = order.reports_result
        result = result_to_keep(made, about, item.revision, order) if reports else None
        tree = new_item(made, order, item.revision, about, result)
        if item.kind == "assessment":
            return Remade(tree)
        page = self._page(joined, archive, made, order)
        return Remade(tree, page, result, self._pdf(joined, page, result))

    def _pdf(self, joined: Joined, page: bytes, result: bytes | None) -> bytes | None:
        """Return the PDF drawn again; None without one, or where others drew it."""
        item = joined.item
        if item.pdf is None:
            return None
        self.asked_for_pdf = True
        by = item.pdf_drawn_by or "unknown versions"
        if by != versions_here():
            self.undrawn[kept_name(joined.record, item.revision, "pdf")] = by
            return None
        number = revision_name(joined.issued.test, item.revision)
        try:
            return report_pdf(number, page, result, item.content, item.issued_on)
        except Refused:
            return b""  # none that was issued is like it

    def _page(
        self, joined: Joined, archive: Archive, made: Outcome, order: Order
    ) -> bytes:
        """Return the report drawn again."""
        from buildsite.pages.page import site_of
        from buildsite.pages.revisions.kept_report import ReportDraft, kept_report
        from buildsite.pages.site_sources import Options

        item = joined.item
        amends = self._amends(joined, made)
        draft = ReportDraft(made, order, item.revision, item.content, amends)
        site = site_of(archive, Options(software=software.software(), release=True))
        return kept_report(site, draft)

    def _amends(self, joined: Joined, made: Outcome) -> Amendment | None:
        """Return what a report says of the one before it."""
        issued = joined.before
        if joined.item.kind == "withdrawal":
            last = issued.last_report
            return Amendment(last) if last is not None else None
        earlier = earlier_report(issued)
        if earlier is None:
            return None
        then = computed_as_issued(self.contents, earlier, joined.record, self.shared)
        return amendment(issued, earlier, then, made)


@cache
def versions_here() -> str:
    """Return the versions that draw a PDF here; empty if none can."""
    try:
        return drawn_here_by()
    except EnvironmentFault:
        return ""


def unready(
    joined: Joined, archive: Archive, *, new: bool
) -> Iterator[tuple[str, str]]:
    """
    Yield why `issue` would have refused what an item was made from.

    A changed program can leave its own questions out, and write the same bytes.
    """
    made = archive.outcome(joined.own)
    if made is None or not joined.claims:
        return
    order = order_of(joined.item)
    reasons = [*open_errors(made.id, made.flags), *not_ready(made, order)]
    if new:
        reasons += unissued(archive, made, order)
    for why in reasons:
        yield "item", f"`issue` would have refused it: {why}"


def with_stated(archive: Archive, joined: Joined) -> Archive:
    """Return an archive with the warnings that an item's kept result states."""
    if joined.own in archive.names:
        source = archive.entry(joined.own).source
        flags = stated_flags(joined.kept.get("result"), source)
        archive.across_flags = {joined.own: flags}
    return archive


def severity(found: Found) -> tuple[bool, int]:
    """Return how much differs, to tell of the nearest of several states."""
    return "item" in dict(found), len(found)


def order_of(item: Item) -> Order:
    """Return the order by which an item was issued."""
    return Order(
        item.kind,
        item.issued_on,
        item.authorized_by,
        item.reason,
        item.issued_to,
        item.assesses,
        item.breaks or "",
    )


def input_difference(then: Mapping[str, str], now: Mapping[str, str]) -> str:
    """
    Return which inputs of an item are not those of the records as committed.

    >>> input_difference({"a": "1", "b": "1"}, {"a": "2", "b": "1"})
    'issued from other inputs than the records committed at that time: a'
    """
    names = sorted({*then, *now})
    other = ", ".join(name for name in names if then.get(name) != now.get(name))
    return f"issued from other inputs than the records committed at that time: {other}"


def tree_difference(then: Mapping[str, Any], now: Mapping[str, Any]) -> str:
    """
    Return in which parts an item differs from what this program writes.

    >>> tree_difference({"used": "1", "reason": "a"}, {"used": "2", "reason": "a"})
    'differs from what this program writes from its inputs, in used'
    """
    names = sorted({*then, *now})
    parts = ", ".join(name for name in names if then.get(name) != now.get(name))
    return f"differs from what this program writes from its inputs, in {parts}"


def line_difference(then: bytes, now: bytes) -> str:
    r"""
    Return the first line in which a kept file differs from one made again.

    >>> line_difference(b"<b>118.0</b>\n", b"<b>108.0</b>\n")
    "differs from what its inputs give, in line 1: '<b>118.0</b>', not '<b>108.0</b>'"
    """
    old, new = then.split(b"\n"), now.split(b"\n")
    at = next(
        (i for i, (a, b) in enumerate(zip(old, new, strict=False)) if a != b),
        min(len(old), len(new)),
    )
    was, is_now = excerpt(old, new, at), excerpt(new, old, at)
    return f"differs from what its inputs give, in line {at + 1}: {was}, not {is_now}"


def excerpt(lines: Sequence[bytes], others: Sequence[bytes], at: int) -> str:
    """Return a line from where it begins to differ from another."""
    if at >= len(lines):
        return "the end of the file"
    line, other = lines[at], others[at] if at < len(others) else b""
    pairs = enumerate(zip(line, other, strict=False))
    first = next((i for i, (a, b) in pairs if a != b), min(len(line), len(other)))
    part = line[max(first - SHOWN // 2, 0) :][:SHOWN]
    return repr(part.decode("utf-8", errors="replace"))
