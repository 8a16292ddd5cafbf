"""Plan of an issue: its tests, and every file to write."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from pathlib import Path

from buildsite.archive.amendments import Amendment
from buildsite.archive.archive import Archive
from buildsite.archive.entries import Shared
from buildsite.archive.inputs_as_issued import Contents, computed_as_issued
from buildsite.archive.issue_item import Order
from buildsite.files import Listing, list_archive
from buildsite.history.commit import head
from buildsite.history.run import at_revision
from buildsite.history.under_way import refuse_while_under_way
from buildsite.history.walk import History, read_history
from buildsite.kinds.outcome import Outcome
from buildsite.record.flags import Flag
from buildsite.record.issued import Item
from buildsite.record.places import SUFFIX
from buildsite.values import dataclass


@dataclass(frozen=True)
class Issue:
    """One revision to be issued, shown to the person who issues it."""

    number: str
    order: Order
    outcome: Outcome
    amendment: Amendment | None
    cautions: tuple[str, ...] = ()  # of who receives it, and of its review


@dataclass
class Plan:
    """
    All that one command issues. `files` are the files to write, by path.

    A report is made from the working tree, whose inputs must be as committed; a
    withdrawal or assessment is made from HEAD, whatever is in the working tree. `head`
    is the commit at which the plan was begun.
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
        """Return the archive with what is planned so far."""
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
        """Return a file's bytes: as planned, else as it is."""
        return self.files[name] if name in self.files else self.stands_now(name)

    def stands_now(self, name: str) -> bytes:
        """Return a file's bytes as they are, before anything is issued."""
        kept = name in self.listing.issued
        return self.listing.read(name) if kept else self.stands(name)

    def working(self, name: str) -> bytes | None:
        """Return a file's bytes in the working tree; None if it is absent."""
        return self.listing.read(name) if (self.root / name).is_file() else None

    @property
    def past(self) -> History:
        """The repository's history, read once if needed."""
        if not self._past:
            self._past.append(read_history(self.root))
        return self._past[0]

    def as_issued(self, item: Item, file: str) -> Outcome | None:
        """Compute the inputs of an item as issued; None if one is lost."""
        return computed_as_issued(Contents(self.past), item, file, self.shared)

    def close(self) -> None:
        """Close git."""
        for past in self._past:
            past.blobs.close()


def begin_plan(root: Path, order: Order) -> Plan:
    """Return an empty plan, from the working tree or from HEAD."""
    tip = head(root)
    refuse_while_under_way(root)
    listing = list_archive(root)
    if order.reports_result:
        return Plan(root, order, listing.names, listing.read, listing, tip)
    names, read = at_revision(root, "HEAD")
    return Plan(root, order, names, read, listing, tip)
