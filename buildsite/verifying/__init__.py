"""Prove what was issued and published: offline, from git and the site alone."""

from collections.abc import Sequence
from dataclasses import field
from pathlib import Path

from buildsite import software
from buildsite.archive.signatures import laboratory_at, published_tip
from buildsite.archive.states import at
from buildsite.errors import EnvironmentFault
from buildsite.history import History, read_history
from buildsite.kinds.laboratory.lab import Laboratory, Procedures
from buildsite.record.proof import Fault
from buildsite.values import dataclass
from buildsite.verifying.items import Items
from buildsite.verifying.line import judged
from buildsite.verifying.published import against, report
from buildsite.verifying.signed import signed_faults
from buildsite.verifying.since import issued_since
from buildsite.verifying.site import (
    by_manifest,
    by_rebuild,
    of_known_state,
    read_manifest,
    refuse_other_program,
)

__all__ = ["Asked", "Verdict", "verify"]

LAB = "records/lab.yaml"


@dataclass(frozen=True)
class Asked:
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


def verify(root: Path, asked: Asked) -> Verdict:
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
    chains = judged(root, history, rules.published_branch, asked.onto)
    items = Items(history, chains.line, software.fingerprint())
    faults = [*chains.faults, *chains.line.faults(), *items.faults()]
    tip = published_tip(root, rules.published_branch)
    notes = [*chains.line.cleared(), *items.notes]
    faults += signed_faults(root, history, items, laboratory_at(root, tip), notes)
    if before is not None:
        faults += against(before, history, chains.line)
    doubts = [report(one, chains.line, head) for one in asked.reports]
    faults += [one for one in doubts if one is not None]
    number = sum(len(chain.issued.items) for chain in items.chains)
    verdict = Verdict(head, chains.along, len(items.chains), number, notes=notes)
    if asked.site is not None:
        faults += site_faults(root, asked.site, items, verdict)
    verdict.faults = sorted(set(faults), key=lambda fault: fault.order)
    return verdict


def laboratory(history: History, head: str) -> Laboratory | None:
    """Give the laboratory as committed; None where its record can't be read."""
    archive = at(history, head, [LAB])
    record = archive.entry(LAB).record if LAB in archive.names else None
    return record if isinstance(record, Laboratory) else None


def site_faults(root: Path, site: Path, items: Items, verdict: Verdict) -> list[Fault]:
    """Faults of a site; what keeps it from being rebuilt here goes to the verdict."""
    manifest = read_manifest(site / "manifest.json")
    faults = by_manifest(site, manifest)
    unknown = of_known_state(manifest, items.history)
    if unknown is not None:
        return [*faults.values(), unknown]
    verdict.since = tuple(issued_since(manifest, items.history, items.chains))
    try:
        refuse_other_program(manifest)
    except EnvironmentFault as fault:
        verdict.stopped = fault
        return list(faults.values())
    rebuilt = by_rebuild(root, site, manifest)
    return list({**rebuilt, **faults}.values())
