"""
Issued items, compared with what their inputs give, and with the program they name.

By the program in use, an item and its kept files are made again and compared byte for
byte. By another one, what its inputs give is compared: results, and values used. A
known program may have computed other results: of the last report of a test that is a
fault until it is assessed, of a replaced one it is told. Nothing excuses other values
used, or what an invented program gives.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from buildsite.archive.drift import differing_results, reported, same_used
from buildsite.archive.inputs_as_issued import Contents
from buildsite.archive.states import archive_at, issue_commit
from buildsite.errors import EnvironmentFault
from buildsite.exports.result_json import result_json
from buildsite.history.walk import History
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.used_form import current_form
from buildsite.record.commits import Past
from buildsite.record.issued import Item, kept_result, pins_of
from buildsite.record.messages import counted
from buildsite.record.proof import Fault
from buildsite.verifying.branch_records import BranchRecords
from buildsite.verifying.joined import Joined
from buildsite.verifying.programs import NAMED_IN, UNREADABLE, Base, Programs
from buildsite.verifying.redrawn import Redrawing

RIGHT = (
    "ask who committed this item, and restore the state before: it was not written by "
    "`buildsite issue`, or was changed later"
)
WITH_ITS_PROGRAM = (
    "verify with the program that issued it; an assessment excuses no difference of a "
    "program that is unknown or of a new item"
)
ANSWERED = (
    *("id", "kind", "status", "sieve", "passing", "external"),
    *("project", "sample", "soil", "standard", "effort", "gravity", "oversize"),
)
"""Parts of a kept result, beside its results, of which a test that uses it is told."""
REPLACED = "none if an earlier version computed so: a later report replaced it"


class Recomputing:
    """Compares items with their inputs. `notes`: what is told, but no fault."""

    def __init__(
        self,
        history: History,
        contents: Contents,
        programs: Programs,
        branch: BranchRecords,
        base: Base | None = None,
    ) -> None:
        self.history = history
        self.programs = programs
        self.base = base
        self.redrawing = Redrawing(history, contents)
        self.branch = branch
        self.notes = branch.notes
        self.stopped: EnvironmentFault | None = None
        """Why new items can't be judged here: another program made them."""
        self.elsewhere = 0
        """Number of items of other programs."""
        self.believed = ""
        """What was proved before and is believed."""

    def faults(self, joined: Joined) -> Iterator[Fault]:
        """Yield the faults of one item, whose inputs all stand at its commit."""
        item = joined.item
        new = self._is_new(joined)
        yield from self._new(joined) if new else self._old(joined)
        test, given = joined.issued.test, item.software.fingerprint
        made = None
        if item.is_report:
            made = recomputed(self.history, test, item, joined.commit)
        if made is not None:
            yield from self.branch.faults(joined, made, new=new)
        if given != self.programs.running:
            self.elsewhere += 1
            yield from self._by_another(joined, made, new=new)
            return
        what = item_difference(made, item) if joined.claims else ""
        if what:
            mend = "issue an amendment: the item disagrees with its inputs"
            yield replace(joined.fault(what, mend), commit=joined.commit)
            return
        for key, what in self.redrawing.differences(joined, new=new):
            yield joined.fault(what, RIGHT, of=key)

    def remarks(self) -> Iterator[str]:
        """Yield what was not verified here."""
        if self.believed:
            yield self.believed
        if self.elsewhere:
            number = counted(self.elsewhere, "issued item")
            yield (
                f"{number} of other programs: their digests, results and values used "
                "were compared, but their reports can't be drawn again here"
            )
        by = sorted(set(self.redrawing.undrawn.values()))
        if by:
            number = counted(len(self.redrawing.undrawn), "PDF")
            yield (
                f"{number} drawn by {'; '.join(by)}, which is not here: their digests "
                "and attached results were compared, but they can't be drawn again"
            )

    def _is_new(self, joined: Joined) -> bool:
        """Whether an item was not published before."""
        number = joined.item.revision
        return self.base is not None and self.base.is_new(joined.issued.test, number)

    def _new(self, joined: Joined) -> Iterator[Fault]:
        """Yield why a new item may not carry its program; say if it can't be judged."""
        given, running = joined.item.software.fingerprint, self.programs.running
        named = self.base.program if self.base is not None else None
        if named is None:
            named = self.programs.named_before(joined.came)
        if named and (given != named or named == UNREADABLE):
            yield joined.fault(
                f"new, and issued by a program with fingerprint {given}; the published "
                f"branch names {named}",
                "publish the items already issued, then the new program in a push of "
                "its own; then issue this one again, with that program",
            )
        elif not named and not self.programs.vouched(given, joined.came):
            yield joined.fault(
                f"new, and issued by an unknown program, with fingerprint {given}",
                f"name the program in {NAMED_IN}, and issue again with it",
            )
        elif given != running:
            self.stopped = self.stopped or EnvironmentFault(
                f"{joined.issued.test} r{joined.item.revision} is new, and issued by "
                f"the program with fingerprint {given}; this is {running}: its report "
                "can't be drawn again here.",
                "Install the program with that fingerprint, and verify with it: see "
                f"program/source.txt, or the code, at commit {joined.came} or before.",
            )

    def _old(self, joined: Joined) -> Iterator[Fault]:
        """Yield, or note, that an item names a program that nobody knows."""
        item = joined.item
        given = item.software.fingerprint
        if self._vouched(joined):
            self.notes += self._not_named(joined)
            return
        named = self.programs.named_before(joined.came)
        what = f"issued by an unknown program, with fingerprint {given}"
        if not named:
            mend = f"none needed; name the program in {NAMED_IN}"
            self.notes.append(joined.fault(what, mend))
            return
        what = f"{what}; the branch named {named}"
        test, number = joined.issued.test, item.revision
        mend = (
            "ask who issued it and with what; then issue it again, or record why it "
            f"stands: `buildsite issue {test} --assess {number}`"
        )
        yield from self._unless_assessed(joined, joined.fault(what, mend), item.results)

    def _not_named(self, joined: Joined) -> Iterator[Fault]:
        """
        Yield that an item is of a release, but not of the one that the archive named.

        Nobody can tell here whether that release made it: its report can't be drawn.
        """
        given = joined.item.software.fingerprint
        if given == self.programs.running:
            return
        names = [*map(self.programs.pinned_before, self._commits(joined))]
        if any(names) and given not in names:
            yield joined.fault(
                f"issued by another release, with fingerprint {given}; the archive "
                f"named {names[0] or names[-1]}",
                "ask who issued it and with what, and compare its report with its item",
            )

    def _vouched(self, joined: Joined) -> bool:
        """Whether an item names a program that there is."""
        given = joined.item.software.fingerprint
        return any(self.programs.vouched(given, at) for at in self._commits(joined))

    def _commits(self, joined: Joined) -> Iterator[str]:
        """
        Yield the commits before which an item's program may have been named.

        The one that wrote it counts too: a merge may bring an item issued by the
        program that the branch began with.
        """
        yield joined.came
        file = joined.own or joined.record
        born = issue_commit(self.history, file, joined.item.revision)
        if born is not None:
            yield born.id

    def _by_another(
        self, joined: Joined, made: Outcome | None, *, new: bool
    ) -> Iterator[Fault]:
        """Yield how an item of another program differs from what its inputs give."""
        item = joined.item
        if not joined.claims:
            return
        if made is not None:
            for name in other_answers(made, joined.kept.get("result")):
                what = f"the kept result states another {name} than its inputs give"
                yield joined.fault(what, RIGHT, of="result")
        what = item_difference(made, item)
        if not what:
            return
        known = not new and self._vouched(joined)
        computed = known and made is not None and not other_values(made, item)
        what = f"{what} (issued by other software, {item.software.version})"
        if not computed or made is None:
            fault = joined.fault(what, RIGHT if known else WITH_ITS_PROGRAM)
            yield replace(fault, commit=joined.commit)
            return
        mend = (
            "issue again, or record why the report stays valid: `buildsite issue "
            f"{joined.issued.test} --assess {item.revision}`"
        )
        fault = replace(joined.fault(what, mend), commit=joined.commit)
        for one in self._unless_assessed(joined, fault, reported(made)):
            if joined.last:
                yield one
            else:
                self.notes.append(replace(one, mend=REPLACED))

    def _unless_assessed(
        self, joined: Joined, fault: Fault, texts: Mapping[str, str]
    ) -> Iterator[Fault]:
        """Yield a fault; only note it if a person assessed these results."""
        covers = [
            one
            for one in joined.issued.assessments(joined.item.revision)
            if one.computed == dict(texts)
            and self.programs.vouched(one.software.fingerprint, joined.came)
        ]
        if not covers:
            yield fault
            return
        one = covers[-1]
        who = f"r{one.revision}, by {one.authorized_by}: {one.reason}"
        self.notes.append(replace(fault, mend=f"assessed in {who}"))


def recomputed(past: Past, test: str, item: Item, commit: str) -> Outcome | None:
    """Compute a test from the inputs of an item, at a commit."""
    files = sorted({name.partition("#")[0] for name in item.inputs})
    file = next((name for name in files if name.endswith(f"/{test}.yaml")), "")
    archive = archive_at(past, commit, files, pins_of(item.inputs))
    return archive.outcome(file) if file in archive.names else None


def item_difference(made: Outcome | None, item: Item) -> str:
    """Return how a recomputation differs from an item; blank if it doesn't."""
    if made is None:
        return "can't be recomputed from its inputs"
    if item.used_form > current_form():
        return f"its form of `used`, {item.used_form}, is newer than this program"
    texts, method = reported(made), made.case.method
    others = (
        "other values used than the item states" if other_values(made, item) else ""
    )
    if texts == dict(item.results):
        return f"recomputed from its inputs: {others}" if others else ""
    parts = (
        differing_results(texts, item.results, method),
        f"issued: {differing_results(item.results, texts, method)}",
        others,
    )
    return f"recomputed from its inputs: {'; '.join(part for part in parts if part)}"


def other_answers(made: Outcome, result: bytes | None) -> Iterator[str]:
    """
    Yield what a kept result tells other tests, beside its results, and not as it is.

    Other tests rest on it, and a program that is known can't draw it again here.
    """
    stated = kept_result(result)
    now = kept_result(result_json(made, {}))
    for name in ANSWERED:
        if name in stated and stated[name] != now.get(name):
            yield name


def other_values(made: Outcome, item: Item) -> bool:
    """Whether an item states other values used, in a form that this program knows."""
    return item.used_form <= current_form() and not same_used(made, item)
