"""Verification of what was issued and published, from git and the site alone."""

from collections.abc import Iterator, Sequence
from dataclasses import field
from pathlib import Path

from buildsite import software
from buildsite.archive.signatures import laboratory_at, published_tip
from buildsite.archive.states import archive_at
from buildsite.errors import EnvironmentFault
from buildsite.history.completeness import whole_clone
from buildsite.history.integrity import Damage, damages
from buildsite.history.run import git
from buildsite.history.walk import History, history_of, read_history
from buildsite.kinds.laboratory.lab import Laboratory, Procedures
from buildsite.progress import SILENT, Progress
from buildsite.record.issued import READ
from buildsite.record.messages import counted
from buildsite.record.places import LAB
from buildsite.record.proof import Fault, Line
from buildsite.values import dataclass
from buildsite.verifying.committed import (
    refuse_uncommitted,
    uncommitted_items,
    unreadable_laboratory,
)
from buildsite.verifying.damage import damage_faults
from buildsite.verifying.diverged import compare_remotes
from buildsite.verifying.gone import what_is_gone
from buildsite.verifying.items import Items
from buildsite.verifying.line import JudgedLine, commit_named, judge_line
from buildsite.verifying.other_kind import of_another_kind
from buildsite.verifying.programs import Base, Programs
from buildsite.verifying.proved import proof_of
from buildsite.verifying.published import (
    issued_since,
    items_at,
    printed_report_fault,
    published_faults,
)
from buildsite.verifying.signed import signed_faults
from buildsite.verifying.site import (
    Manifest,
    files_with_digests,
    manifest_faults,
    manifest_of,
    read_manifest,
    rebuild_faults,
    refuse_other_program,
    unknown_state_fault,
)
from buildsite.verifying.site_items import cut_faults, kept_file_faults, merged_faults
from buildsite.verifying.strays import stray_faults

__all__ = ["Scope", "Verdict", "verify"]


@dataclass(frozen=True)
class Scope:
    """
    What to verify besides the archive itself.

    `site`: a built site; `against`: the manifest published before; `onto`: the branch
    into which HEAD would be merged; `reports`: test, revision and digest of printed
    reports; `believes`: of what was proved in this clone before, if `against` is given.
    """

    site: Path | None = None
    against: Path | None = None
    onto: str = ""
    reports: Sequence[Sequence[str]] = ()
    believes: bool = False


@dataclass
class Verdict:
    """
    The result of a verification.

    `notes`: what an assessment covers, breaks that were restored and results that newer
    software changes; `since`: revisions issued since the site's commit; `stopped`: why
    a site could not be rebuilt here; `ended`: why nothing more was verified;
    `remarks`: what was not verified here; `nothing_yet`: no item is anywhere.
    """

    commit: str
    along: str
    tests: int
    items: int
    faults: list[Fault] = field(default_factory=list)
    notes: list[Fault] = field(default_factory=list)
    since: tuple[str, ...] = ()
    stopped: EnvironmentFault | None = None
    ended: str = ""
    remarks: tuple[str, ...] = ()
    nothing_yet: bool = False


def verify(root: Path, scope: Scope, progress: Progress = SILENT) -> Verdict:
    """Verify an archive, and what else is in the scope."""
    with READ.held():  # each issued file is met several times
        return _verify(root, scope, progress)


def _verify(root: Path, scope: Scope, progress: Progress) -> Verdict:
    before = read_manifest(scope.against) if scope.against is not None else None
    progress.stage("asking git whether the clone is whole")
    clone = whole_clone(root, "HEAD")
    found = damages(root)
    if found:
        return damaged_verdict(root, found)
    progress.stage("reading the history")
    history = history_of(root, clone)
    refuse_uncommitted(root, history)
    head = history.main[0].id
    lab = laboratory(history, head)
    rules = lab.procedures if lab is not None else Procedures()
    chains = judge_line(root, history, rules.published_branch, scope.onto)
    programs = Programs(root, history, software.fingerprint())
    base = base_of(root, scope, before, programs)
    items = Items(history, chains, programs, base)
    proof = proof_of(root, items, chains)
    believes = scope.believes and before is not None
    faults = [*chains.faults, *chains.line.faults()]
    faults += proof.faults(progress, believes=believes)
    progress.stage("comparing what else was committed")
    faults += stray_faults(items)
    gone = what_is_gone(history, chains.line, chains.along)
    faults += [*gone.faults, *of_another_kind(history, chains.along)]
    tip = published_tip(root, rules.published_branch)
    notes = [*chains.line.cleared(), *items.notes]
    published = lab if tip == head else laboratory_at(root, tip)
    faults += signed_faults(root, history, items, published, notes)
    if before is not None:
        faults += manifest_against(before, items, chains.line)
    doubts = [printed_report_fault(one, chains.line, head) for one in scope.reports]
    faults += [one for one in doubts if one is not None]
    if lab is None:
        faults.append(unreadable_laboratory(history))
    remotes = compare_remotes(root, rules.published_branch, head)
    faults += remotes.faults
    number = sum(len(chain.issued.items) for chain in items.chains)
    verdict = Verdict(head, chains.along, len(items.chains), number, notes=notes)
    not_here = [*remotes.remarks, *items_elsewhere(chains, number)]
    verdict.nothing_yet = not number and not not_here
    verdict.remarks = (
        *not_here,
        *uncommitted_items(root, history, number),
        *items.recomputing.remarks(),
        *gone.remarks,
    )
    verdict.stopped = items.recomputing.stopped
    if scope.site is not None:
        faults += site_faults(root, scope.site, items, verdict, progress)
    verdict.faults = sorted(set(faults), key=lambda fault: fault.order)
    return verdict


def base_of(
    root: Path, scope: Scope, before: Manifest | None, programs: Programs
) -> Base | None:
    """Return what was published before, where it is to be compared with."""
    if scope.onto:
        tip = commit_named(root, scope.onto)
        theirs = programs.history if tip in programs.history.by_id else None
        before_it = items_at(theirs or read_history(root, tip), tip)
        return Base(dict(before_it), programs.named_at(tip))
    if before is not None and before.commit in programs.history.by_id:
        there = dict(items_at(programs.history, before.commit))
        return Base(there, commit=before.commit)
    return None


def manifest_against(before: Manifest, items: Items, line: Line) -> Iterator[Fault]:
    """Yield the faults of the manifest published before and of what followed it."""
    yield from published_faults(before, items.history, line)
    yield from cut_faults(before, items.history, str(before.path))
    kept = kept_file_faults(before, before.files, items.chains, whole=False)
    yield from kept.values()


def items_elsewhere(chains: JudgedLine, number: int) -> Iterator[str]:
    """Yield a remark on items of the branch, if the commit checked out has none."""
    there = sum(map(len, chains.line.stands.values()))
    if there and not number:
        issued = counted(there, "issued item")
        yield f"{chains.along} has {issued}, the commit checked out has none of them"


def damaged_verdict(root: Path, found: Sequence[Damage]) -> Verdict:
    """Return the verdict on a damaged clone: its faults and nothing else."""
    head = git(root, "rev-parse", "--verify", "HEAD").decode().strip()
    faults = sorted(damage_faults(root, found, head), key=lambda fault: fault.order)
    ended = "this clone is damaged, so nothing else in it was verified"
    return Verdict(head, "", 0, 0, faults=faults, ended=ended)


def laboratory(history: History, head: str) -> Laboratory | None:
    """Return the laboratory as committed; None if its record can't be read."""
    archive = archive_at(history, head, [LAB])
    record = archive.entry(LAB).record if LAB in archive.names else None
    return record if isinstance(record, Laboratory) else None


def site_faults(
    root: Path, site: Path, items: Items, verdict: Verdict, progress: Progress
) -> list[Fault]:
    """Return the faults of a site; complete the verdict."""
    manifest = manifest_of(site)
    faults = manifest_faults(site, manifest)
    unknown = unknown_state_fault(manifest, items.history)
    if unknown is not None:
        return [*faults.values(), unknown]
    there = dict(files_with_digests(site))
    kept = kept_file_faults(manifest, there, items.chains, whole=True)
    cut = [*cut_faults(manifest, items.history)]
    verdict.since = tuple(issued_since(manifest, items.history, items.chains))
    try:
        refuse_other_program(manifest)
        rebuilt = rebuild_faults(root, site, manifest, progress)
    except EnvironmentFault as fault:
        verdict.stopped = verdict.stopped or fault
        return [*merged_faults(faults, kept).values(), *cut]
    return [*merged_faults({**rebuilt, **faults}, kept).values(), *cut]
