"""Warnings to the person who issues, about recipients and review."""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import groupby

from buildsite.archive.archive import Archive
from buildsite.archive.edited_after_review import records_changed
from buildsite.archive.entries import Shared
from buildsite.archive.identity import name_of
from buildsite.archive.issue_item import Order
from buildsite.archive.record_history import RecordHistory
from buildsite.archive.states import archive_at
from buildsite.archive.unpublished import unpublished
from buildsite.history.walk import History
from buildsite.kinds.outcome import Outcome
from buildsite.record.issued import Issued


def customers(archive: Archive) -> Mapping[str, str]:
    """Return the customer of each project; blank if its record can't be read."""
    made = {name_of(file): archive.outcome(file) for file in archive.files("project")}
    return {
        id: str(one.case.record.customer.name or "") if one is not None else ""
        for id, one in made.items()
    }


def project_of(file: str) -> str:
    """Return the project of a test's folder."""
    return file.split("/")[1]


def several_customers(
    archive: Archive, files: Sequence[str], order: Order
) -> Iterator[str]:
    """Yield why tests of several customers can't have one list of recipients."""
    names = customers(archive) if order.to else {}
    projects = sorted({project_of(file) for file in files})
    if not order.to or len({names.get(id) or id for id in projects}) == 1:
        return
    of = {
        id: ", ".join(name_of(file) for file in tests)
        for id, tests in groupby(sorted(files, key=project_of), project_of)
    }
    tests_by_project = "; ".join(f"{of[id]} of {id}" for id in projects)
    yield (
        f"--to names the same recipients for several customers: {tests_by_project}. "
        "Issue the tests of each project separately."
    )


def cautions(
    archive: Archive, outcome: Outcome, issued: Issued | None, order: Order
) -> Iterator[str]:
    """
    Yield recipients who are missing from an issue, and those who should not get it.

    ISO/IEC 17025:2017, 7.8.8: the customer must be told of an amendment; 4.2: results
    are confidential to the customer.
    """
    if order.sort == "assessment":
        return  # not sent to anyone
    items = issued.items if issued is not None else ()
    had = {whom: item.revision for item in items for whom in item.issued_to}
    for whom, revision in had.items():
        if whom not in order.to:
            yield (
                f"{whom} received r{revision} and is not named with --to: everyone who "
                "has the earlier report must be told of this one"
            )
    own = project_of(outcome.file)
    names = customers(archive) if order.to else {}
    for id, name in names.items():
        same = name.casefold() == names.get(own, "").casefold()
        if id != own and name and not same and names_one(order.to, name):
            yield f"{name} is the customer of {id}, not of {own}"


def others_named(
    archive: Archive, outcome: Outcome, order: Order, page: bytes
) -> Iterator[str]:
    """Yield what a report says of other projects, in a remark or a reason."""
    others = unpublished(archive, {project_of(outcome.file)})
    for word in others.told("report.html", page):
        if not any(word in whom for whom in order.to):
            yield (
                f"the report names {word} of another project, {others.project(word)}: "
                "the test stays off the site for clients until that is published too"
            )


def names_one(to: Sequence[str], customer: str) -> bool:
    """Whether a customer is among the recipients, alone or with a person's name."""
    return any(customer.casefold() in whom.casefold() for whom in to)


def since_review(past: History, outcome: Outcome, shared: Shared) -> Iterator[str]:
    """Yield a warning if a value used has changed since the review, in any record."""
    look = RecordHistory(past, partial(archive_at, past), shared=shared)
    changed = ", ".join(records_changed(look, outcome))
    if changed:
        yield (
            f"changed since the review on {outcome.case.record.reviewed.on}: {changed}."
            f" Have it reviewed again: `buildsite review {outcome.id} --by CODE`"
        )
