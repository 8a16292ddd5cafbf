"""The archive in each state of the published branch that an item is compared with."""

from collections.abc import Mapping
from dataclasses import field
from functools import cached_property

from buildsite.archive.archive import Archive
from buildsite.archive.entries import Shared
from buildsite.archive.states import archive_at, archive_of_files
from buildsite.history.walk import History
from buildsite.values import dataclass
from buildsite.verifying.line import JudgedLine
from buildsite.verifying.three_way import merged_text

STATES_KEPT = 8
"""Archives kept, as several items come with one commit."""
MERGED, PUBLISHED = "as if merged", "published"
"""States of a branch that HEAD is yet to be merged into: after that, and before."""


@dataclass
class BranchStates:
    """
    The archive at a commit, or of a branch that HEAD is yet to be merged into.

    A state is named by its commit, or is MERGED or PUBLISHED.
    """

    history: History
    judged: JudgedLine
    shared: Shared = field(default_factory=Shared)
    _kept: dict[str, Archive] = field(default_factory=dict)

    def archive(self, state: str, pins: Mapping[str, int]) -> Archive:
        """Return the archive in a state of the branch; those without pins are kept."""
        if not pins and state in self._kept:
            return self._kept[state]
        theirs = self.judged.theirs
        if theirs is None or state not in (MERGED, PUBLISHED):
            archive = archive_at(self.history, state, pins=pins)
        elif state == PUBLISHED:
            archive = archive_at(theirs, theirs.main[0].id, pins=pins)
        else:
            archive = archive_of_files(self._as_merged, pins)
        archive.shared = self.shared
        if not pins:
            if len(self._kept) == STATES_KEPT:
                self._kept.clear()
            self._kept[state] = archive
        return archive

    @cached_property
    def _as_merged(self) -> Mapping[str, bytes]:
        """The files of HEAD as if merged into the published branch."""
        theirs, base = self.judged.theirs, self.judged.base
        return as_merged(self.history, theirs, base) if theirs is not None else {}


def as_merged(ours: History, theirs: History, base: str) -> dict[str, bytes]:
    """
    Return the files as a merge of two branches would have them.

    Where both changed the same lines, ours stand: git asks a person which, and the
    merge itself is looked at when it is there.
    """
    head, tip = ours.main[0].id, theirs.main[0].id
    found: dict[str, bytes] = {}
    for path in sorted({*ours.paths, *theirs.paths}):
        was, mine = ours.blob(base, path), ours.blob(head, path)
        other = theirs.blob(tip, path)
        one = other if mine == was else mine
        if not one or path.endswith((".html", ".pdf")):
            continue
        found[path] = ours.blobs[one]
        if was and other and mine != was != other != mine:
            texts = (ours.blobs[was], ours.blobs[mine], ours.blobs[other])
            found[path] = merged_text(*texts) or found[path]
    return found
