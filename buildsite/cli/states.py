"""States of a test: a revision, a commit, the working tree."""

import re
from dataclasses import field
from functools import cached_property
from pathlib import Path

import click

from buildsite.archive.archive import Archive
from buildsite.archive.compared_states import ComparedState
from buildsite.archive.differences import why_not_computed
from buildsite.archive.entries import Shared
from buildsite.archive.identity import group_of, name_of
from buildsite.archive.states import archive_at, issue_commit, working_archive
from buildsite.history.run import commit_of
from buildsite.history.walk import History, read_history
from buildsite.record.issued import Issued, Item, pins_of
from buildsite.values import dataclass

REVISION = re.compile(r"r?([0-9]{1,4})")
HERE = "working tree"


def revision_of(state: str | None) -> int | None:
    """
    Return the number of a revision, or None for another state.

    >>> revision_of("r1"), revision_of("0"), revision_of("HEAD")
    (1, 0, None)
    """
    match = REVISION.fullmatch(state or "")
    return int(match[1]) if match else None


@dataclass
class States:
    """An archive at any of its states, each read once."""

    root: Path
    shared: Shared = field(default_factory=Shared)
    _archives: dict[str, Archive] = field(default_factory=dict)

    @cached_property
    def past(self) -> History:
        """The history of what is checked out."""
        return read_history(self.root)

    @cached_property
    def here(self) -> Archive:
        """The working tree."""
        archive = working_archive(self.root)
        archive.shared = self.shared
        return archive

    def archive(self, ref: str | None) -> Archive:
        """Return the archive at a git revision; None is the working tree."""
        if ref is None:
            return self.here
        if ref not in self._archives:
            commit = self.commit(ref)
            known = commit in self.past.by_id
            past = self.past if known else read_history(self.root, commit)
            self._archives[ref] = archive_at(past, commit)
            self._archives[ref].shared = self.shared
        return self._archives[ref]

    def commit(self, ref: str) -> str:
        """Return the id of the commit of a git revision."""
        return commit_of(self.root, ref, ", or an issued revision, such as r0")

    def state(self, test: str, ref: str | None) -> ComparedState:
        """Return a test as it stood at a git revision; None is the working tree."""
        archive, label = self.archive(ref), ref or HERE
        file = archive.find("test", test)
        if file is None:
            return ComparedState(
                label, why=f"there was no {test}" if ref else f"no {test}"
            )
        made = archive.outcome(file)
        why = "" if made is not None else why_not_computed(archive.entry(file).flags)
        return ComparedState(label, archive.entry(file).source.tree, made, why=why)

    def issued_state(self, file: str, issued: Issued, revision: int) -> ComparedState:
        """Return a test as issued in a revision, with its results as reported."""
        item = report_of(issued, revision)
        label = f"r{revision}"
        commit = issue_commit(self.past, file, revision)
        if commit is None:
            why = "the revision is not committed yet, so its inputs are not known"
            return ComparedState(label, item=item, why=why)
        # An input of another test's report is written FILE#revision.
        only = sorted({name.partition("#")[0] for name in item.inputs})
        archive = archive_at(self.past, commit.id, only, pins_of(item.inputs))
        archive.shared = self.shared
        own = [f for f in only if (group_of(f), name_of(f)) == ("test", issued.test)]
        if not own or archive.find("test", issued.test) is None:
            why = "its inputs are not in the commit that issued it"
            return ComparedState(label, item=item, why=why)
        made = archive.outcome(own[0])
        why = "" if made is not None else why_not_computed(archive.entry(own[0]).flags)
        return ComparedState(label, archive.entry(own[0]).source.tree, made, item, why)


def report_of(issued: Issued, revision: int) -> Item:
    """Return the report of that revision; refuse a revision without a report."""
    for item in issued.items:
        if item.revision == revision and item.is_report:
            return item
    reports = [f"r{item.revision}" for item in issued.items if item.is_report]
    raise click.UsageError(
        f"{issued.test} has no report r{revision}. Issued: {', '.join(reports)}."
    )
