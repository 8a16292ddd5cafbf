"""Signatures and dates of edits, if the laboratory requires signed edits."""

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
"""An item and its chain."""


def signed_faults(
    root: Path, history: History, items: Items, lab: Any, notes: list[Fault]
) -> Iterator[Fault]:
    """
    Yield the faults of signatures and dates; acknowledged ones are added to `notes`.

    `lab` is the laboratory as last published, with its keys and e-mail addresses.
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
            for what in back_dated(history, days, commit, item):
                yield issue_fault(chained, item, commit, what)


def faults_of_doubt(one: DoubtedCommit, brought: Sequence[Brought]) -> Iterator[Fault]:
    """Yield the fault of a commit, at each item it issued, else at the edit."""
    commit, flag = one.commit, one.flag
    what = f"{flag.flag}: found {flag.found}; expected: {flag.expected}"
    faults = [issue_fault(chained, item, commit, what) for chained, item in brought]
    for fault in faults or [edit_fault(flag.file, commit, what, flag.mend)]:
        if one.acknowledged:
            what = f"{fault.what}; {one.acknowledged}"
            yield replace(fault, what=what, mend="none: check the acknowledgement")
        else:
            yield fault


def items_by_commit(items: Items) -> Mapping[str, list[Brought]]:
    """Return the items by the commit that added each."""
    found: dict[str, list[Brought]] = {}
    for chained in items.chains:
        for item in chained.issued.items:
            came = items.line.came.get((chained.test, item.revision), "")
            found.setdefault(came, []).append((chained, item))
    return found


def first_days(history: History) -> Mapping[tuple[str, str], str]:
    """Return the committer's date on which each path first had each content."""
    days: dict[tuple[str, str], str] = {}
    for commit in reversed(history.commits):
        for touch in commit.touches:
            days.setdefault((touch.path, touch.new), commit.day)
    return days


def back_dated(
    history: History,
    days: Mapping[tuple[str, str], str],
    commit: Commit,
    item: Item,
) -> Iterator[str]:
    """Yield inputs first committed after the date of the issue."""
    for name in item.inputs:
        path = name.partition("#")[0]
        known = days.get((path, history.blob(commit.id, path)), "")
        if known and item.issued_on < date.fromisoformat(known) - DAY:
            yield (
                f"back-dated: dated {item.issued_on}, but uses {path} as first "
                f"committed on {known}"
            )


def issue_fault(chained: IssuedChain, item: Item, commit: Commit, what: str) -> Fault:
    """Return the fault of one issue."""
    mend = (
        f"let {item.authorized_by} acknowledge it, if they made it: "
        f"{acknowledge_command(commit)}; else withdraw it or issue it again, and "
        "acknowledge this commit with that reason"
    )
    return Fault(chained.test, item.revision, chained.path, commit.id, what, mend)


def edit_fault(file: str, commit: Commit, what: str, mend: str) -> Fault:
    """Return the fault of an edit that issued nothing."""
    test = name_of(file) if group_of(file) == "test" else ""
    return Fault(test, None, file, commit.id, what, mend)
