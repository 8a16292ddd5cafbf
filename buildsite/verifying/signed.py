"""Where the laboratory demands signed edits: who signed each, and its dates."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from buildsite.archive.identity import group_of, name_of
from buildsite.archive.signatures import signature_states
from buildsite.archive.signing import (
    DoubtedCommit,
    acknowledge_command,
    commits_to_judge,
    doubted_commits,
)
from buildsite.history.walk import History
from buildsite.record.commits import Commit
from buildsite.record.issued import Item
from buildsite.record.proof import Fault
from buildsite.verifying.claims import DAY
from buildsite.verifying.items import IssuedChain, Items

Brought = tuple[IssuedChain, Item]
"""An item, and the chain that it stands in."""


def signed_faults(
    root: Path, history: History, items: Items, lab: Any, notes: list[Fault]
) -> Iterator[Fault]:
    """
    Faults of the signatures and dates of edits.

    Parameters
    ----------
    root, history
        The archive, and its past.
    items
        What was issued.
    lab
        The laboratory as last published: its keys and e-mails.
    notes
        Gets what a person acknowledged afterwards.
    """
    judged = commits_to_judge(history)
    if not judged:
        return
    states = signature_states(root, history, judged, lab)
    brought = items_by_commit(items)
    days = first_days(history)
    for one in doubted_commits(history, judged, states, lab):
        faults = [*faults_of_doubt(one, brought.get(one.commit.id, []))]
        if one.acknowledged:
            notes += faults
        else:
            yield from faults
    for commit in judged:
        for chained, item in brought.get(commit.id, []):
            for what in back_dated(history, days, commit, chained, item):
                yield issue_fault(chained, item, commit, what)


def faults_of_doubt(one: DoubtedCommit, brought: Sequence[Brought]) -> Iterator[Fault]:
    """Tell a doubt of a commit at each item that it issued, else at the edit."""
    commit, flag = one.commit, one.flag
    what = f"{flag.flag}: {flag.found}; expected {flag.expected}"
    faults = [issue_fault(chained, item, commit, what) for chained, item in brought]
    for fault in faults or [edit_fault(flag.file, commit, what, flag.mend)]:
        if one.acknowledged:
            what = f"{fault.what}; {one.acknowledged}"
            yield replace(fault, what=what, mend="nothing: read whether it holds")
        else:
            yield fault


def items_by_commit(items: Items) -> Mapping[str, list[Brought]]:
    """Items by the commit that brought each."""
    found: dict[str, list[Brought]] = {}
    for chained in items.chains:
        for item in chained.issued.items:
            came = items.line.came.get((chained.test, item.revision), "")
            found.setdefault(came, []).append((chained, item))
    return found


def first_days(history: History) -> Mapping[tuple[str, str], str]:
    """Day on which each path first held each content, as the committer claims it."""
    days: dict[tuple[str, str], str] = {}
    for commit in reversed(history.commits):
        for touch in commit.touches:
            days.setdefault((touch.path, touch.new), commit.day)
    return days


def back_dated(
    history: History,
    days: Mapping[tuple[str, str], str],
    commit: Commit,
    chained: IssuedChain,
    item: Item,
) -> Iterator[str]:
    """Say that an issue claims a day before its inputs were there."""
    for name in item.inputs:
        path = name.partition("#")[0]
        known = days.get((path, history.blob(commit.id, path)), "")
        if known and item.issued_on < date.fromisoformat(known) - DAY:
            yield (
                f"back-dated: says {item.issued_on}, and rests on {path} "
                f"as first committed on {known}"
            )


def issue_fault(chained: IssuedChain, item: Item, commit: Commit, what: str) -> Fault:
    """Fault one issue."""
    mend = (
        f"{item.authorized_by} signs for it, if it is theirs: "
        f"{acknowledge_command(commit)}; else withdraw it or issue it again, and sign "
        "for this commit with that said"
    )
    return Fault(chained.test, item.revision, chained.path, commit.id, what, mend)


def edit_fault(file: str, commit: Commit, what: str, mend: str) -> Fault:
    """Fault an edit that issued nothing."""
    test = name_of(file) if group_of(file) == "test" else ""
    return Fault(test, None, file, commit.id, what, mend)
