"""All that one command issues: what it is made of, and every file that it writes."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from pathlib import Path

from buildsite.archive.amendments import Amendment
from buildsite.archive.archive import Archive
from buildsite.archive.inputs_as_issued import Contents, computed_as_issued
from buildsite.archive.issue_item import Order
from buildsite.archive.records import Shared
from buildsite.files import Listing, list_archive
from buildsite.history.commit import head
from buildsite.history.run import at_revision
from buildsite.history.walk import History, read_history
from buildsite.kinds.outcome import Outcome
from buildsite.record.flags import Flag
from buildsite.record.issued import (
    SUFFIX,
    Item,
)
from buildsite.values import dataclass


@dataclass(frozen=True)
class Issue:
    """One revision that is about to be: for the eyes of the person who issues it."""

    number: str
    order: Order
    outcome: Outcome
    amendment: Amendment | None
    cautions: tuple[str, ...] = ()  # of who receives it, and of its review


@dataclass
class Plan:
    """
    All that one command issues. `files` is what it writes, by path.

    A report is made of the working tree, whose inputs must stand as committed; what
    claims no result is made of HEAD, so that no half-done work can stand in its way.
    `head` is the commit that stood when it was begun.
    """

    root: Path
    order: Order
    names: Sequence[str]
    stands: Callable[[str], bytes]
    listing: Listing
    head: str
    files: dict[str, bytes] = field(default_factory=dict)
    issues: list[Issue] = field(default_factory=list)
    across_flags: Mapping[str, tuple[Flag, ...]] = field(default_factory=dict)
    shared: Shared = field(default_factory=Shared)
    _past: list[History] = field(default_factory=list)
    _archives: dict[int, Archive] = field(default_factory=dict)

    def archive(self) -> Archive:
        """
        Return the archive as it will stand with what was planned so far.

        The states share what was read and computed: a record is computed again only
        where an answer to it moved.
        """
        planned = len(self.files)
        if planned not in self._archives:
            issued = {name for name in self.files if name.endswith(SUFFIX)}
            self._archives[planned] = Archive(
                self.names,
                self.read,
                issued=sorted({*self.listing.issued, *issued}),
                shared=self.shared,
                across_flags=self.across_flags,
            )
        return self._archives[planned]

    def read(self, name: str) -> bytes:
        """Return a file's bytes: as planned, else as it stands."""
        if name in self.files:
            return self.files[name]
        kept = name in self.listing.issued
        return self.listing.read(name) if kept else self.stands(name)

    def working(self, name: str) -> bytes | None:
        """Return what stands in the working tree; None where nothing does."""
        return self.listing.read(name) if (self.root / name).is_file() else None

    @property
    def past(self) -> History:
        """The repository's past, read once where it is asked for."""
        if not self._past:
            self._past.append(read_history(self.root))
        return self._past[0]

    def as_issued(self, item: Item, file: str) -> Outcome | None:
        """Compute what the inputs of an item come to today; None if one is lost."""
        return computed_as_issued(Contents(self.past), item, file, self.shared)

    def close(self) -> None:
        """Let git go: nothing more of the past is asked for."""
        for past in self._past:
            past.blobs.close()


def begin_plan(root: Path, order: Order) -> Plan:
    """Begin a plan: from the working tree, or from HEAD."""
    stands = head(root)
    listing = list_archive(root)
    if order.claims:
        return Plan(root, order, listing.names, listing.read, listing, stands)
    names, read = at_revision(root, "HEAD")
    return Plan(root, order, names, read, listing, stands)
