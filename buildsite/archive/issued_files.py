"""
What was issued of a test: its kept files, and the state that was issued.

A page of an issued test shows the state that was issued, not what its records say now.
"""

from collections.abc import Mapping
from dataclasses import field, replace
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.drift import reported
from buildsite.archive.inputs_as_issued import Contents, archive_of, found_inputs
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import Spoken
from buildsite.record.issued import Issued, Item, kept_name, kept_result
from buildsite.values import dataclass

Together = Mapping[str, tuple[tuple[str, int], ...]]
"""Digest pair of a changed input → the tests, with revision, that it amended."""


@dataclass(frozen=True)
class IssuedFiles:
    """
    Kept files, and inputs as issued.

    `contents` finds them, now and in the past; `together` tells which tests one change
    of an input amended.
    """

    contents: Contents = field(default_factory=lambda: Contents(None))
    together: Together = field(default_factory=dict)

    def sent(self, file: str, item: Item, suffix: str) -> bytes | None:
        """
        Return the kept report (html) or result (json) of an item, as it was issued.

        Whatever stands there now, a checkout may have changed its line ends: it is
        what the item names by digest, else what git once held and is, else nothing.
        """
        wanted = item.report if suffix == "html" else item.result
        name = kept_name(file, item.revision, suffix)
        return self.contents.find(name, wanted) if wanted is not None else None

    def result(self, file: str, item: Item) -> Mapping[str, Any]:
        """What the kept result of a revision says; nothing if it isn't as issued."""
        return kept_result(self.sent(file, item, "json"))


@dataclass(frozen=True)
class IssuedState:
    """
    Where an issued test stands.

    `outcome` is that of the inputs as issued: None where they can't be had, or where
    this program computes another result from them than was issued. `archive` is what it
    was computed in. `now` is that of the records as they stand.
    """

    file: str
    issued: Issued
    item: Item
    outcome: Outcome | None
    archive: Archive | None
    now: Outcome | None
    result: Mapping[str, Any]

    @property
    def moved(self) -> bool:
        """Whether the records no longer say what was issued."""
        return self.outcome is not self.now or self.outcome is None

    @property
    def method(self) -> Spoken:
        """The standard whose words are used; none where no record says it any more."""
        made = self.outcome if self.outcome is not None else self.now
        return made.case.method if made is not None else None

    @property
    def reports(self) -> tuple[Item, ...]:
        """Items that sent a result: neither assessments nor notices."""
        return tuple(
            item
            for item in self.issued.items
            if item.is_report and item.kind != "withdrawal"
        )


def without_recipients(issued: Issued) -> Issued:
    """Leave out who received a revision: that stays between the two."""
    items = [item.model_copy(update={"issued_to": ()}) for item in issued.items]
    return replace(issued, items=tuple(items))


def issued_state(
    archive: Archive, file: str, issued_files: IssuedFiles
) -> IssuedState | None:
    """
    Find where a test stands; None if no report of it was issued.

    Parameters
    ----------
    archive
        The records as they stand, with their chains.
    file
        The test's record.
    issued_files
        Kept files and the past.
    """
    issued, _ = archive.chain(file)
    item = issued.last_report if issued is not None else None
    if issued is None or item is None:
        return None
    then = archive_as_issued(archive, file, item, issued_files)
    made = then.outcome(file) if then is not None else None
    return IssuedState(
        file,
        issued,
        item,
        made if made is None or is_as_issued(made, item) else None,
        then,
        archive.outcome(file),
        issued_files.result(file, item),
    )


def archive_as_issued(
    archive: Archive, file: str, item: Item, issued_files: IssuedFiles
) -> Archive | None:
    """Return the archive of the inputs of an item: this one, where it is the same."""
    now = archive.outcome(file)
    if now is not None and now.used == item.used:
        return archive
    if file not in item.inputs:
        return None
    found = found_inputs(issued_files.contents, item)
    return archive_of(found, item, archive.shared)


def is_as_issued(made: Outcome, item: Item) -> bool:
    """Whether this program computes what was issued; a withdrawal states no result."""
    return item.kind == "withdrawal" or reported(made) == dict(item.results)
