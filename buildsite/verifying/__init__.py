"""Prove what was issued and published: offline, from git and the site alone."""

from collections.abc import Sequence
from dataclasses import field
from pathlib import Path

from buildsite import software
from buildsite.archive.signatures import laboratory_at, published_tip
from buildsite.archive.states import archive_at
from buildsite.errors import EnvironmentFault
from buildsite.history.walk import History, read_history
from buildsite.kinds.laboratory.lab import Laboratory, Procedures
from buildsite.record.proof import Fault
from buildsite.values import dataclass
from buildsite.verifying.items import Items
from buildsite.verifying.line import judge_line
from buildsite.verifying.published import (
    issued_since,
    printed_report_fault,
    published_faults,
)
from buildsite.verifying.signed import signed_faults
from buildsite.verifying.site import (
    manifest_faults,
    read_manifest,
    rebuild_faults,
    refuse_other_program,
    unknown_state_fault,
)

__all__ = ["Scope", "Verdict", "verify"]

LAB = "records/lab.yaml"


@dataclass(frozen=True)
class Scope:
    """
    What is to be verified beside the archive itself.

    `site` is a built site, `against` the manifest published before, `onto` what HEAD
    is to be judged as merged into, `reports` what printed reports say: test, revision
    and digest of each.
    """

    site: Path | None = None
    against: Path | None = None
    onto: str = ""
    reports: Sequence[Sequence[str]] = ()


@dataclass
class Verdict:
    """
    What was found.

    `notes` are what an assessment covers: breaks of the past that were mended, and what
    newer software computes otherwise;
    `since` names what was issued since the site's commit; `stopped` says why a site
    could not be rebuilt here.
    """

    commit: str
    along: str
    tests: int
    items: int
    faults: list[Fault] = field(default_factory=list)
    notes: list[Fault] = field(default_factory=list)
    since: tuple[str, ...] = ()
    stopped: EnvironmentFault | None = None


def verify(root: Path, asked: Scope) -> Verdict:
    """
    Verify an archive, and what else is asked.

    Raises
    ------
    EnvironmentFault
        If the clone is not whole, or a manifest can't be read.
    """
    before = read_manifest(asked.against) if asked.against is not None else None
    history = read_history(root)
    if not history.commits:
        raise EnvironmentFault("There is no commit here.", "Commit the archive first.")
    head = history.main[0].id
    lab = laboratory(history, head)
    rules = lab.procedures if lab is not None else Procedures()
    chains = judge_line(root, history, rules.published_branch, asked.onto)
    items = Items(history, chains.line, software.fingerprint())
    faults = [*chains.faults, *chains.line.faults(), *items.faults()]
    tip = published_tip(root, rules.published_branch)
    notes = [*chains.line.cleared(), *items.notes]
    faults += signed_faults(root, history, items, laboratory_at(root, tip), notes)
    if before is not None:
        faults += published_faults(before, history, chains.line)
    doubts = [printed_report_fault(one, chains.line, head) for one in asked.reports]
    faults += [one for one in doubts if one is not None]
    number = sum(len(chain.issued.items) for chain in items.chains)
    verdict = Verdict(head, chains.along, len(items.chains), number, notes=notes)
    if asked.site is not None:
        faults += site_faults(root, asked.site, items, verdict)
    verdict.faults = sorted(set(faults), key=lambda fault: fault.order)
    return verdict


def laboratory(history: History, head: str) -> Laboratory | None:
    """Return the laboratory as committed; None where its record can't be read."""
    archive = archive_at(history, head, [LAB])
    record = archive.entry(LAB).record if LAB in archive.names else None
    return record if isinstance(record, Laboratory) else None


def site_faults(root: Path, site: Path, items: Items, verdict: Verdict) -> list[Fault]:
    """Faults of a site; what keeps it from being rebuilt here goes to the verdict."""
    manifest = read_manifest(site / "manifest.json")
    faults = manifest_faults(site, manifest)
    unknown = unknown_state_fault(manifest, items.history)
    if unknown is not None:
        return [*faults.values(), unknown]
    verdict.since = tuple(issued_since(manifest, items.history, items.chains))
    try:
        refuse_other_program(manifest)
    except EnvironmentFault as fault:
        verdict.stopped = fault
        return list(faults.values())
    rebuilt = rebuild_faults(root, site, manifest)
    return list({**rebuilt, **faults}.values())
