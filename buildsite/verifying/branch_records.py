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

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace
from functools import cached_property

from buildsite.archive.archive import Archive
from buildsite.archive.drift import differing_results, reported
from buildsite.archive.identity import name_of
from buildsite.archive.inputs_as_issued import Contents
from buildsite.archive.states import archive_at, item_digest_at
from buildsite.history.walk import History
from buildsite.issuing.refused import not_ready, open_errors
from buildsite.kinds.laboratory.lab import signatory
from buildsite.kinds.outcome import Outcome
from buildsite.record.commits import Commit
from buildsite.record.issued import issued_name, pins_of, read_issued, whole_digest
from buildsite.record.places import LAB
from buildsite.record.proof import Fault
from buildsite.values import dataclass
from buildsite.verifying.branch_states import MERGED, PUBLISHED, BranchStates
from buildsite.verifying.joined import Joined
from buildsite.verifying.line import JudgedLine
from buildsite.verifying.redrawn import order_of


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
    _lags: dict[str, Sequence[Commit]] = field(default_factory=dict)

    def faults(self, joined: Joined, made: Outcome, *, new: bool) -> Iterator[Fault]:
        """Yield that the branch's records don't give a report, or a withdrawal."""
        brought = self._brought(joined, joined.place, new=new)
        if brought is None:
            return
        after = joined.replaced_by
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
            others = [
                one
                for one in (self._without(joined, merge) if why else ())
                if self._why(joined, made, one, pins)
            ]
            if others and not self._why(joined, made, merge.parents[0], pins):
                return merge, why
            if any(self._alike(joined, merge.id, one, pins) for one in others):
                return merge, why
        return brought, ""

    def _alike(
        self, joined: Joined, state: str, other: str, pins: Mapping[str, int]
    ) -> bool:
        """
        Whether two states of the branch give the same results.

        A merge that leaves what a side without the item had may be of that side: there
        it was the item that came, and the other side had taken its readings back.
        """
        made, also = (
            outcome_in(joined, self._states.archive(one, pins))
            for one in (state, other)
        )
        if made is None or also is None:
            return made is also
        return made.status == also.status and reported(made) == reported(also)

    @cached_property
    def _states(self) -> BranchStates:
        """The archive in each state of the branch."""
        return BranchStates(self.history, self.judged)

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
        published = brought.id == self.base or brought.id not in self._continuing
        return first if published or first in self._continuing else self.base

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

    def _crossed(self, joined: Joined, brought: Commit) -> Iterator[Commit]:
        """Yield later merges of a side without an item, where its inputs changed."""
        place = self._line.get(brought.id, 0)
        inputs, names = joined.item.inputs, chain_names(joined)
        files = {name.partition("#")[0] for name in inputs}
        for merge in (one for name in names for one in self._lagging(name)):
            if self._line[merge.id] < place and self._without(joined, merge):
                changed = any(one.path in files for one in merge.touches)
                if changed or not self.contents.holds(merge.id, inputs):
                    yield merge

    def _lagging(self, name: str) -> Sequence[Commit]:
        """Return the merges, oldest first, of a side that had other items of a test."""
        if name not in self._lags:
            self._lags[name] = tuple(
                merge
                for merge in reversed(self._merges)
                if any(
                    self.history.blob(one, name) != self.history.blob(merge.id, name)
                    for one in merge.parents[1:]
                )
            )
        return self._lags[name]

    @cached_property
    def _merges(self) -> Sequence[Commit]:
        """The merges of the first-parent line, newest first."""
        return [one for one in self.history.main if len(one.parents) > 1]

    def _without(self, joined: Joined, merge: Commit) -> list[str]:
        """Return the parents of a commit that don't have an item."""
        wanted = whole_digest(joined.issued.trees[joined.place])
        names = chain_names(joined)
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
        why = ""
        if commit is not None:  # the same files usually give the same, soon
            files = {LAB, *(name.partition("#")[0] for name in inputs)}
            few = archive_at(self.history, state, sorted(files), pins)
            why = self._difference(joined, made, few)
        if why or commit is None:
            why = self._difference(joined, made, self._states.archive(state, pins))
        return why

    def _difference(self, joined: Joined, made: Outcome, archive: Archive) -> str:
        """Return in what an archive disagrees with an item; blank if in nothing."""
        archive.shared = self._states.shared
        why = difference(joined, made, archive)
        return why or self._signed_otherwise(joined, archive)

    def _signed_otherwise(self, joined: Joined, archive: Archive) -> str:
        """Return by whom a report would be authorized now, if it states otherwise."""
        by, on = joined.item.authorized_by, joined.item.issued_on
        inputs = archive_at(self.history, joined.commit, [LAB])
        inputs.shared = archive.shared
        then, now = (signatory(at.laboratory, by, on) for at in (inputs, archive))
        return f"by which {by} is {now}, not {then}" if now != then else ""


def chain_names(joined: Joined) -> list[str]:
    """Return where an item stands, and where it stood when it was issued."""
    return sorted({joined.path, issued_name(joined.own or joined.record)})


def items_of(history: History, commit: str, test: str) -> int:
    """Return the number of items of a test, by its file, at a commit."""
    name = issued_name(test)
    data = history.read(commit, name)
    issued = read_issued(name, data)[0] if data is not None else None
    return len(issued.items) if issued is not None else 0


def difference(joined: Joined, made: Outcome, archive: Archive) -> str:
    """Return in what an archive disagrees with an item; blank if in nothing."""
    now = outcome_in(joined, archive)
    if now is None:
        return "which don't include one record of the test, which can be computed"
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


def outcome_in(joined: Joined, archive: Archive) -> Outcome | None:
    """Return what an archive gives for an item's test; None if that is not one."""
    id = joined.issued.test
    own = [
        file for file in archive.files("test") if name_of(file).lower() == id.lower()
    ]
    return archive.outcome(own[0]) if [*map(name_of, own)] == [id] else None


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
