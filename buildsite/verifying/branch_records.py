"""
Issued items, compared with the records that the published branch holds.

An item's inputs may stand on any commit that a merge names. But a report is of what
the branch says. So each item is computed again from the records of the branch when the
item came: as the branch stood before, or as the commit that brought the item left it.
The same where the branch later met a change of the item's records in a merge: git
doesn't say which side of it was published before. Files that changed without changing
a value used are no matter.

Where these records give another report, a later one of the test settles it, or records
that give it now.
"""

from collections.abc import Iterator, Mapping
from dataclasses import field, replace
from functools import cached_property

from buildsite.archive.archive import Archive
from buildsite.archive.drift import differing_results, reported
from buildsite.archive.inputs_as_issued import Contents
from buildsite.archive.records import Shared
from buildsite.archive.states import archive_at, archive_of_files, item_digest_at
from buildsite.history.walk import History
from buildsite.issuing.refused import not_ready, open_errors
from buildsite.kinds.outcome import Outcome
from buildsite.record.commits import Commit
from buildsite.record.issued import issued_name, pins_of, read_issued, whole_digest
from buildsite.record.proof import Fault
from buildsite.values import dataclass
from buildsite.verifying.joined import Joined
from buildsite.verifying.line import JudgedLine
from buildsite.verifying.redrawn import order_of
from buildsite.verifying.three_way import merged_text

STATES_KEPT = 8
"""Archives kept, as several items come with one commit."""
MERGED, PUBLISHED = "as if merged", "published"
"""States of a branch that HEAD is yet to be merged into: after that, and before."""


@dataclass
class BranchRecords:
    """
    Compares items with the records of the branch. `notes`: what was settled later.

    `base` is a commit that was published before.
    """

    history: History
    contents: Contents
    judged: JudgedLine
    base: str = ""
    notes: list[Fault] = field(default_factory=list)
    _shared: Shared = field(default_factory=Shared)
    _states: dict[str, Archive] = field(default_factory=dict)

    def faults(self, joined: Joined, made: Outcome, *, new: bool) -> Iterator[Fault]:
        """Yield that the branch's records don't give an item that reports a result."""
        brought = self._brought(joined, joined.place, new=new)
        if brought is None:
            return
        later = range(joined.place + 1, len(joined.issued.items))
        after = next((n for n in later if joined.issued.items[n].is_report), None)
        if after is not None and self._brought(joined, after, new=new) == brought:
            return  # replaced when it came
        at, why = self._disagreement(joined, made, brought)
        if not why:
            return
        fault = disagreement(joined, at.id, why)
        if after is not None:
            self.notes.append(replace(fault, mend=f"none: r{after} was issued since"))
        elif self._why(joined, made, self._head, self._pins(joined, at)):
            yield fault
        else:
            self.notes.append(replace(fault, mend="none: the records give it now"))

    def _disagreement(
        self, joined: Joined, made: Outcome, brought: Commit
    ) -> tuple[Commit, str]:
        """Return where and why the branch's records don't give an item; else blank."""
        pins = self._pins(joined, brought)
        why = self._why(joined, made, self._after(brought), pins)
        before = self._before(brought) if why else ""
        if why and not (before and not self._why(joined, made, before, pins)):
            return brought, why
        for merge in self._crossed(joined, brought):
            pins = self._pins(joined, merge)
            why = self._why(joined, made, merge.id, pins)
            if why and not self._why(joined, made, merge.parents[0], pins):
                others = self._without(joined, merge)
                if any(self._why(joined, made, one, pins) for one in others):
                    return merge, why
        return brought, ""

    @property
    def _head(self) -> str:
        """The state that the branch has now, or will have."""
        return self._after(self.history.main[0])

    def _after(self, brought: Commit) -> str:
        """Return the state of the branch that a commit leaves."""
        last = self.judged.theirs is not None and brought == self.history.main[0]
        return MERGED if last else brought.id

    def _before(self, brought: Commit) -> str:
        """Return the state of the branch that a commit came upon; empty if none."""
        if self._after(brought) == MERGED:
            return PUBLISHED
        first = brought.parents[0] if brought.parents else ""
        continues = not self._continuing or first in self._continuing
        return first if continues else self.base

    def _brought(self, joined: Joined, place: int, *, new: bool) -> Commit | None:
        """
        Return the commit of the first-parent line that brought an item to the branch.

        What was published before was on the branch. So a new item came with a commit
        that continues it, whichever parent that commit names first.
        """
        line = self.judged.line.came
        came = self.history.by_id.get(line.get((joined.issued.test, place), ""))
        if came is None or not new or came.id in (self._continuing or [came.id]):
            return came
        main = reversed(self.history.main)
        return next((one for one in main if one.id in self._continuing), came)

    @cached_property
    def _continuing(self) -> frozenset[str]:
        """The commits that continue what was published before, and that one itself."""
        found = {self.base} & self.history.by_id.keys()
        for commit in reversed(self.history.commits) if found else ():
            if not found.isdisjoint(commit.parents):
                found.add(commit.id)
        return frozenset(found)

    @cached_property
    def _line(self) -> Mapping[str, int]:
        """The commits of the first-parent line, counted back from the newest."""
        return {commit.id: place for place, commit in enumerate(self.history.main)}

    @cached_property
    def _as_merged(self) -> Mapping[str, bytes]:
        """The files of HEAD as if merged into the published branch."""
        theirs, base = self.judged.theirs, self.judged.base
        return as_merged(self.history, theirs, base) if theirs is not None else {}

    def _crossed(self, joined: Joined, brought: Commit) -> Iterator[Commit]:
        """Yield later merges that changed an item's inputs, of a side without it."""
        newer = self.history.main[: self._line.get(brought.id, 0)]
        files = {name.partition("#")[0] for name in joined.item.inputs}
        for merge in reversed(newer):
            changed = any(one.path in files for one in merge.touches)
            if len(merge.parents) > 1 and changed and self._without(joined, merge):
                yield merge

    def _without(self, joined: Joined, merge: Commit) -> list[str]:
        """Return the parents of a commit that don't have an item."""
        wanted = whole_digest(joined.issued.trees[joined.place])
        names = {joined.path, issued_name(joined.own or joined.record)}
        return [
            one
            for one in merge.parents
            if not any(
                item_digest_at(
                    self.history, self.history.by_id[one], name, joined.place
                )
                == wanted
                for name in names
            )
        ]

    def _pins(self, joined: Joined, at: Commit) -> dict[str, int]:
        """
        Return the reports of other tests that an item may use at a commit, by test.

        Not one that was replaced already on a side that did not have the item.
        """
        pins = pins_of(joined.item.inputs)
        if not pins:
            return {}
        sides = [(self.history, one) for one in self._without(joined, at)]
        if self._after(at) == MERGED and self.judged.theirs is not None:
            sides = [(self.judged.theirs, self.judged.theirs.main[0].id)]
        return {
            test: number
            for test, number in pins.items()
            if all(items_of(*side, test) <= number + 1 for side in sides)
        }

    def _why(
        self, joined: Joined, made: Outcome, state: str, pins: Mapping[str, int]
    ) -> str:
        """Return in what a state of the branch disagrees with an item; else blank."""
        inputs, commit = joined.item.inputs, self.history.by_id.get(state)
        usual = commit is not None and len(commit.parents) < 2
        if usual and pins == pins_of(inputs) and self.contents.holds(state, inputs):
            return ""
        return difference(joined, made, self._archive(state, pins))

    def _archive(self, state: str, pins: Mapping[str, int]) -> Archive:
        """Return the archive in a state of the branch; those without pins are kept."""
        if not pins and state in self._states:
            return self._states[state]
        theirs = self.judged.theirs
        if theirs is None or state not in (MERGED, PUBLISHED):
            archive = archive_at(self.history, state, pins=pins)
        elif state == PUBLISHED:
            archive = archive_at(theirs, theirs.main[0].id, pins=pins)
        else:
            archive = archive_of_files(self._as_merged, pins)
        archive.shared = self._shared
        if not pins:
            if len(self._states) == STATES_KEPT:
                self._states.clear()
            self._states[state] = archive
        return archive


def items_of(history: History, commit: str, test: str) -> int:
    """Return the number of items of a test, by its file, at a commit."""
    name = issued_name(test)
    data = history.read(commit, name)
    issued = read_issued(name, data)[0] if data is not None else None
    return len(issued.items) if issued is not None else 0


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
        if not one or path.endswith(".html"):
            continue
        found[path] = ours.blobs[one]
        if was and other and mine != was != other != mine:
            texts = (ours.blobs[was], ours.blobs[mine], ours.blobs[other])
            found[path] = merged_text(*texts) or found[path]
    return found


def difference(joined: Joined, made: Outcome, archive: Archive) -> str:
    """Return in what an archive disagrees with an item; blank if in nothing."""
    end = f"/{joined.issued.test}.yaml"
    own = next((name for name in archive.names if name.endswith(end)), "")
    now = archive.outcome(own) if own else None
    if now is None:
        return "which don't include a record of the test that can be computed"
    if now.status != made.status:
        return f"by which the test is {now.status}"
    then, texts = reported(made), reported(now)
    if texts != then:
        return (
            f"which give {differing_results(texts, then, now.case.method)}; "
            f"issued: {differing_results(then, texts, made.case.method)}"
        )
    form = joined.item.used_form
    if now.used_in(form) != made.used_in(form):
        return "in which a value used is another one"
    return next((f"by which {one}" for one in new_reasons(joined, made, now)), "")


def new_reasons(joined: Joined, made: Outcome, now: Outcome) -> Iterator[str]:
    """Yield why `issue` would refuse now what it would not have refused."""
    order = order_of(joined.item)
    stood = {*open_errors(made.id, made.flags), *not_ready(made, order)}
    for one in (*open_errors(now.id, now.flags), *not_ready(now, order)):
        if one not in stood:
            yield one


def disagreement(joined: Joined, commit: str, why: str) -> Fault:
    """Return the fault of an item that the branch's records don't give."""
    test = joined.issued.test
    what = f"not issued from the records that the branch holds at this commit, {why}"
    mend = (
        f"see which records are right: `buildsite diff {test}`, and `git log "
        f"--full-history -m -- {joined.record}`; correct them if these are wrong; then "
        f"issue the test again from this branch, `buildsite issue {test}`, or withdraw "
        f"the report, `buildsite issue {test} --withdraw`"
    )
    return replace(joined.fault(what, mend), commit=commit)
