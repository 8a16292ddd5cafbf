"""What an issued item claims beside its digests: authority, days, what was sent."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta

from buildsite.archive.archive import Archive
from buildsite.archive.states import archive_at
from buildsite.exports.result_json import as_json, envelope
from buildsite.history.walk import History
from buildsite.issuing.refused import without_authority
from buildsite.kinds.outcome import Outcome
from buildsite.record.commits import Commit
from buildsite.record.issued import Item, kept_result

LAB = "records/lab.yaml"
DAY = timedelta(days=1)
"""Allowed between two days, for the hours around midnight in two places."""

SENT = ("id", "kind", "results", "points", "curve", "used")
"""Parts of a kept result that its inputs give again, whatever was said of it since."""


class Authorities:
    """Whose authority the laboratory's record stated, at any commit."""

    def __init__(self, history: History) -> None:
        self.history = history
        self._archives: dict[str, Archive] = {}

    def missing_authority(self, item: Item, commit: str) -> Iterator[str]:
        """Say why a person could not authorize an item, as of the commit it came in."""
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
    """Say how the day of an issue can't be the day it was."""
    before = items[: item.revision]
    if before and item.issued_on < before[-1].issued_on:
        last = before[-1].issued_on
        yield f"back-dated: says {item.issued_on}, after an item of {last}"
    if commit is not None and item.issued_on > date.fromisoformat(commit.day) + DAY:
        yield f"dated ahead: says {item.issued_on}, committed on {commit.day}"


def kept_file_differences(
    item: Item, report: bytes | None, result: bytes | None
) -> Iterator[tuple[str, str]]:
    """
    Say where what was sent does not say what the item says: "report" or "result".

    Read from the kept files alone, whichever program made them.
    """
    texts = dict(item.results)
    if result is not None and (said := results_reported(result)) != texts:
        yield "result", f"the kept result says {said}, and the item {texts}"
    if report is None:
        return
    page = report.decode("utf-8", errors="replace")
    if item.content not in page:
        yield "report", "the kept report does not print the item's content digest"
    if item.kind not in ("report", "preliminary"):
        return
    for text in texts.values():
        if text.partition(" ")[0] not in page:
            yield "report", f"the kept report does not say {text}, as the item does"


def results_reported(result: bytes) -> Mapping[str, str]:
    """Results as reported, in a kept result; none where it can't be read."""
    try:
        found = kept_result(result)["results"]
        return {str(name): str(one["reported"]) for name, one in found.items()}
    except (KeyError, TypeError, AttributeError):
        return {}


def recomputed_difference(made: Outcome, result: bytes) -> str:
    """Say which part of a kept result its inputs don't give; empty where all do."""
    again = kept_result(as_json(envelope(made, {})))
    kept = kept_result(result)
    if not kept:
        return "the kept result is no JSON"
    wrong = [part for part in SENT if kept.get(part) != again.get(part)]
    return f"the kept result differs in {', '.join(wrong)}" if wrong else ""
