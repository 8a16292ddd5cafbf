"""Signatures of edits, checked against the keys on the published branch."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.edits import Timeline
from buildsite.archive.signing import (
    believed_commits,
    commits_to_judge,
    commits_to_sign,
    keys_before,
    keys_of,
    signing_flags,
)
from buildsite.history.run import at_revision, bytes_of, commit_at
from buildsite.history.signatures import signatures
from buildsite.history.walk import History
from buildsite.record.commits import Commit, Past, Signature
from buildsite.record.flags import Flag
from buildsite.record.places import LAB


def published_tip(root: Path, branch: str) -> str:
    """
    Return the published branch: of this clone, else of its origin, else HEAD.

    A clone with a proposal checked out has only its origin's branch of that name.
    """
    for ref in (f"refs/heads/{branch}", f"refs/remotes/origin/{branch}"):
        tip = commit_at(root, ref)
        if tip:
            return tip
    return "HEAD"


def laboratory_at(root: Path, revision: str) -> Any:
    """Return the laboratory's record at a revision; None if there is none."""
    names, read = at_revision(root, revision)
    return Archive([LAB], read).entry(LAB).record if LAB in names else None


def laboratory_in(history: History) -> Any:
    """Return the laboratory's record at the newest commit; None if there is none."""
    touches = (one for commit in history.main for one in commit.touches)
    last = next((one for one in touches if one.path == LAB), None)
    if last is None or not last.new:
        return None
    data = bytes_of(history.root, last.new)
    return Archive([LAB], lambda _: data).entry(LAB).record


def edits_not_signed(root: Path, past: Past, branch: str) -> list[Flag]:
    """
    Return the flags of edits not signed although lab.yaml requires it.

    The newest lab.yaml on the published branch, `branch`, counts.

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
    """Return the state of each signature, by the keys valid before its edit."""
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
    """Return a timeline with the state of each signature, if there are keys."""
    keys = keys_of(laboratory_at(root, published_tip(root, branch)))
    if not keys or not found.edits:
        return found
    states = signatures(root, [edit.commit for edit in found.edits], keys)
    edits = (replace(e, signature=states[e.commit.id]) for e in found.edits)
    return replace(found, edits=tuple(edits))


def signatures_of(history: History) -> Mapping[str, Signature]:
    """
    Return the state of the signature of every edit; empty without keys.

    The keys are those at the newest commit, wherever the published branch of this clone
    is: one commit gives the same site in every clone.

    Raises
    ------
    EnvironmentFault
        If an edit is signed and ssh-keygen is not there.
    """
    keys = keys_of(laboratory_in(history))
    edits = [commit for commit in history.commits if commit.touches]
    return signatures(history.root, edits, keys) if keys else {}


def branch_of(archive: Archive) -> str:
    """Return the name of the published branch, from lab.yaml."""
    lab = archive.entry(LAB).record if LAB in archive.names else None
    return lab.procedures.published_branch if lab is not None else "main"
