"""
Kept files and issued state of a test.

The page of an issued test shows the issued state, not the present state of its records.
"""

from collections.abc import Mapping
from dataclasses import field, replace
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.drift import reported, same_used
from buildsite.archive.entries import Shared
from buildsite.archive.inputs_as_issued import Contents, archive_of, found_inputs
from buildsite.kinds.laboratory.lab import Laboratory, signatory
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import Spoken
from buildsite.record.issued import Issued, Item, kept_name, kept_result
from buildsite.record.kept_files import why_refused
from buildsite.record.places import LAB
from buildsite.record.report_address import page_address, stated_address
from buildsite.values import dataclass

Together = Mapping[str, tuple[tuple[str, int], ...]]
"""Change of an input → the tests, with revision, amended after it."""


@dataclass(frozen=True)
class IssuedFiles:
    """
    Kept files, and inputs as issued.

    `contents` finds them, now and in the git history; `together` gives the tests
    amended after one change of an input.
    """

    contents: Contents = field(default_factory=lambda: Contents(None))
    together: Together = field(default_factory=dict)

    def sent(self, file: str, item: Item, suffix: str) -> bytes | None:
        """
        Return the kept report (html, pdf) or result (json) of an item, as issued.

        It is found by the digest in the item, else in the git history, else None: a
        checkout may have changed line endings.
        """
        kept = {"html": item.report, "json": item.result, "pdf": item.pdf}
        wanted = kept[suffix]
        name = kept_name(file, item.revision, suffix)
        return self.contents.find(name, wanted) if wanted is not None else None

    def result(self, file: str, item: Item) -> Mapping[str, Any]:
        """Return the kept result of a revision; empty if it isn't as issued."""
        return kept_result(self.sent(file, item, "json"))


@dataclass(frozen=True)
class IssuedState:
    """
    State of an issued test.

    `outcome` is computed from the inputs as issued: None if they are not available, or
    if this program computes another result from them. `archive` holds these inputs.
    `now` is the outcome of the present records. `authorized_by` says who authorized the
    issue, with the function of that day.
    """

    file: str
    issued: Issued
    item: Item
    outcome: Outcome | None
    archive: Archive | None
    now: Outcome | None
    result: Mapping[str, Any]
    authorized_by: str = ""

    @property
    def moved(self) -> bool:
        """Whether the records have changed since issue."""
        if self.outcome is None or self.now is None:
            return True
        return self.outcome is not self.now and not same_used(self.now, self.item)

    @property
    def method(self) -> Spoken:
        """The standard whose terms are used; None if no record states it."""
        made = self.outcome if self.outcome is not None else self.now
        return made.case.method if made is not None else None

    @property
    def reports(self) -> tuple[Item, ...]:
        """Items that reported a result: no assessments or withdrawals."""
        return tuple(
            item
            for item in self.issued.items
            if item.is_report and item.kind != "withdrawal"
        )


def without_recipients(issued: Issued) -> Issued:
    """Return the issued items without the recipients."""
    items = [item.model_copy(update={"issued_to": ()}) for item in issued.items]
    return replace(issued, items=tuple(items))


def issued_state(
    archive: Archive, file: str, issued_files: IssuedFiles
) -> IssuedState | None:
    """Return the state of an issued test; None if no report was issued."""
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
        authorizer(archive, item, issued_files),
    )


def authorizer(archive: Archive, item: Item, issued_files: IssuedFiles) -> str:
    """Return who authorized an item, as in lab.yaml as it was issued from."""
    lab = laboratory_as_issued(issued_files.contents, item, archive.shared)
    return signatory(lab, item.authorized_by, item.issued_on)


def laboratory_as_issued(
    contents: Contents, item: Item, shared: Shared
) -> Laboratory | None:
    """Return lab.yaml as an item was issued from; None if it is not available."""
    wanted = item.inputs.get(LAB)
    data = contents.find(LAB, wanted) if wanted is not None else None
    record = shared.entry(LAB, data).record if data is not None else None
    return record if isinstance(record, Laboratory) else None


def unfit_report(
    name: str, data: bytes, item: Item, contents: Contents, shared: Shared
) -> tuple[str, ...]:
    """
    Return what a kept report of an item holds that none may: HTML or PDF.

    Its one link leads to its test below `published_at`, as lab.yaml said at the issue.
    Without history that lab.yaml may be past finding: then the page of its test, on
    whichever site, is where it may lead, and which site is left to `verify`.
    """
    asks = b"<a" in data or b"/URI" in data
    lab = laboratory_as_issued(contents, item, shared) if asks else None
    test = name.rpartition("/")[2].rpartition(".r")[0]
    if asks and lab is None and contents.past is None and LAB in item.inputs:
        return why_refused(name, data, stated_address(data, test))
    return why_refused(name, data, link_of_report(lab, test))


def link_of_report(lab: Laboratory | None, test: str) -> str:
    """Return the address that a report of a test leads to; blank if it has none."""
    return page_address(lab.procedures.published_at or "", test) if lab else ""


def address_on_report(
    archive: Archive, outcome: Outcome, lab: Laboratory | None
) -> str:
    """
    Return the address that a report prints: none if its project is not published.

    There the address would lead to no page. What the project says is taken from the
    inputs alone, so that `verify` draws the same report again.
    """
    project = f"records/{outcome.file.split('/')[1]}/project.yaml"
    made = archive.outcome(project) if project in outcome.inputs else None
    published = made is not None and made.case.record.publish
    return link_of_report(lab, outcome.id) if published else ""


def archive_as_issued(
    archive: Archive, file: str, item: Item, issued_files: IssuedFiles
) -> Archive | None:
    """Return the archive of the inputs of an item: this one if it is the same."""
    now = archive.outcome(file)
    if now is not None and now.used == item.used:
        return archive
    # The same values by the item's own form are not enough: the page would show what a
    # later program hands over, as it is now.
    if file not in item.inputs:
        return None
    found = found_inputs(issued_files.contents, item)
    return archive_of(found, item, archive.shared)


def is_as_issued(made: Outcome, item: Item) -> bool:
    """Whether this program computes what was issued; a withdrawal has no result."""
    return item.kind == "withdrawal" or reported(made) == dict(item.results)
