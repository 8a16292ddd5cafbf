"""Claims of an issued item besides its digests: authority, dates, kept files."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.states import archive_at
from buildsite.history.walk import History
from buildsite.issuing.refused import without_authority
from buildsite.kinds.reporting import MINUS
from buildsite.record.commits import Commit
from buildsite.record.issued import Item, kept_result
from buildsite.record.kept_pdf import attached
from buildsite.record.places import LAB

DAY = timedelta(days=1)
"""Allowed between two dates, for time zones."""


class Authorities:
    """Authorizations in the laboratory's record, at any commit."""

    def __init__(self, history: History) -> None:
        self.history = history
        self._archives: dict[str, Archive] = {}

    def missing_authority(self, item: Item, commit: str) -> Iterator[str]:
        """Yield why a person had no authority to issue an item, as of its commit."""
        blob = self.history.blob(commit, LAB)
        if blob not in self._archives:
            names = [LAB] if blob else []
            self._archives[blob] = archive_at(self.history, commit, names)
        archive = self._archives[blob]
        for why in without_authority(
            archive, item.authorized_by, "authorize", item.issued_on
        ):
            yield f"issued without authority: {why}"


def impossible_days(
    items: Sequence[Item], item: Item, commit: Commit | None
) -> Iterator[str]:
    """Yield why the date of an issue can't be right."""
    before = items[: item.revision]
    if before and item.issued_on < before[-1].issued_on:
        last = before[-1].issued_on
        yield f"back-dated: dated {item.issued_on}, after an item of {last}"
    if commit is not None and item.issued_on - date.fromisoformat(commit.day) > DAY:
        yield f"dated ahead: dated {item.issued_on}, committed on {commit.day}"


def kept_file_differences(
    item: Item, kept: Mapping[str, bytes | None]
) -> Iterator[tuple[str, str]]:
    """
    Yield where a kept "report", "result" or "pdf" disagrees with the item.

    Reads only the kept files, whichever program made them.
    """
    report, result, pdf = kept.get("report"), kept.get("result"), kept.get("pdf")
    if pdf is not None:
        yield from (("pdf", what) for what in pdf_differences(item, pdf, result))
    if result is not None:
        yield from (("result", what) for what in result_differences(item, result))
    if report is not None:
        yield from (("report", what) for what in report_differences(item, report))


def result_differences(item: Item, result: bytes) -> Iterator[str]:
    """Yield where a kept result disagrees with the item."""
    if not kept_result(result):
        yield "the kept result can't be read as one"
        return
    texts = dict(item.results)
    kept = results_reported(result)
    if kept != texts:
        yield f"the kept result states {kept}, the item {texts}"
    for name in parts_stated_otherwise(item, kept_result(result)):
        yield f"the kept result differs from the item in {name}"


def pdf_differences(item: Item, pdf: bytes, result: bytes | None) -> Iterator[str]:
    """Yield where a kept PDF disagrees with the item and the kept result."""
    if item.content.encode() not in pdf:
        yield "the kept PDF does not state the item's content digest"
    if attached(pdf) != result:
        yield "the kept PDF does not have the kept result attached"


def report_differences(item: Item, report: bytes) -> Iterator[str]:
    """Yield where a kept report disagrees with the item."""
    page = report.decode("utf-8", errors="replace")
    if item.content not in page:
        yield "the kept report does not print the item's content digest"
    if item.kind not in ("report", "preliminary"):
        return
    for text in item.results.values():
        number = text.partition(" ")[0]
        # As in the item, or as printed: with a minus for its hyphen.
        if number not in page and number.replace("-", MINUS) not in page:
            yield f"the kept report does not state {text}, as the item does"


def parts_stated_otherwise(item: Item, kept: Mapping[str, Any]) -> Iterator[str]:
    """Yield the parts that item and kept result both state, and state differently."""
    about = item.software
    both: Mapping[str, object] = {
        "revision": item.revision,
        "issued_as": item.kind,
        "used": item.used,
        "inputs": dict(item.inputs),
        "software": {
            "name": about.name,
            "version": about.version,
            "fingerprint": about.fingerprint,
        },
    }
    for name, stated in both.items():
        if kept.get(name) != stated:
            yield name


def results_reported(result: bytes) -> Mapping[str, str]:
    """Return the reported results of a kept result; none if it can't be read."""
    try:
        found = kept_result(result)["results"]
        return {str(name): str(one["reported"]) for name, one in found.items()}
    except (KeyError, TypeError, AttributeError):
        return {}
