"""Edits of a clone judged by the keys that its published branch lists."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.edits import Timeline
from buildsite.archive.signing import (
    LAB,
    believed_commits,
    commits_to_judge,
    commits_to_sign,
    keys_before,
    keys_of,
    signing_flags,
)
from buildsite.history.run import GitRefused, at_revision, git
from buildsite.history.signatures import signatures
from buildsite.history.walk import History
from buildsite.record.commits import Commit, Past, Signature
from buildsite.record.flags import Flag


def published_tip(root: Path, branch: str) -> str:
    """
    Find the published branch: this clone's own, else that of its origin, else HEAD.

    A clone that checks a proposal out has no branch of that name, but its origin's.
    """
    for ref in (f"refs/heads/{branch}", f"refs/remotes/origin/{branch}"):
        try:
            found = git(root, "rev-parse", "--verify", "--quiet", f"{ref}^{{commit}}")
        except GitRefused:
            continue
        return found.decode().strip()
    return "HEAD"


def laboratory_at(root: Path, revision: str) -> Any:
    """Read the laboratory's record at a revision; None where there is none."""
    names, read = at_revision(root, revision)
    return Archive([LAB], read).entry(LAB).record if LAB in names else None


def edits_not_signed(root: Path, past: Past, branch: str) -> list[Flag]:
    """
    Flag every edit that is not signed where lab.yaml demands it.

    Parameters
    ----------
    root
        The archive's folder.
    past
        Its past.
    branch
        Name of the published branch, whose newest lab.yaml is believed.

    Raises
    ------
    EnvironmentFault
        If signatures must be checked and ssh-keygen is not there.
    """
    judged = commits_to_judge(past)
    if not judged:
        return []
    lab = laboratory_at(root, published_tip(root, branch))
    states = signature_states(root, past, judged, lab)
    return signing_flags(past, judged, states, lab)


def signature_states(
    root: Path, past: Past, judged: Sequence[Commit], lab: Any
) -> Mapping[str, Signature]:
    """Say what each signature is worth by the keys that counted before its edit."""
    believed = believed_commits(past)
    groups: dict[str, list[Commit]] = {}
    for commit in commits_to_sign(judged):
        blob = past.blob(believed[commit.id], LAB)
        groups.setdefault(blob, []).append(commit)
    found: dict[str, Signature] = {}
    for commits in groups.values():
        keys = keys_before(past, believed[commits[0].id], lab)
        found |= signatures(root, commits, keys)
    return found


def with_signatures(root: Path, found: Timeline, branch: str) -> Timeline:
    """Say of each edit what its signature is worth, if the laboratory lists keys."""
    keys = keys_of(laboratory_at(root, published_tip(root, branch)))
    if not keys or not found.edits:
        return found
    states = signatures(root, [edit.commit for edit in found.edits], keys)
    edits = (replace(e, signature=states[e.commit.id]) for e in found.edits)
    return replace(found, edits=tuple(edits))


def signatures_of(history: History) -> Mapping[str, Signature]:
    """
    Say of every edit of the past what its signature is worth; nothing without keys.

    The keys are those that the newest commit lists, wherever the published branch of
    this clone stands: one commit gives the same site in every clone.

    Raises
    ------
    EnvironmentFault
        If an edit is signed and ssh-keygen is not there.
    """
    if not history.main:
        return {}
    keys = keys_of(laboratory_at(history.root, history.main[0].id))
    edits = [commit for commit in history.commits if commit.touches]
    return signatures(history.root, edits, keys) if keys else {}


def branch_of(archive: Archive) -> str:
    """Name of the published branch, as the archive's lab.yaml has it."""
    lab = archive.entry(LAB).record if LAB in archive.names else None
    return lab.procedures.published_branch if lab is not None else "main"
