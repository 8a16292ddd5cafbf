"""
An edit: who made it and why, what it changed, and the effect on a test.

Plain data for pages and commands, without e-mail addresses.
"""

import re
from collections.abc import Iterable, Mapping
from typing import Any

from buildsite.archive.differences import FieldChange, ResultChange, why_not_computed
from buildsite.archive.entries import Entry
from buildsite.archive.identity import group_of, name_of
from buildsite.kinds.follows import Follow
from buildsite.kinds.laboratory.lab import Laboratory
from buildsite.kinds.outcome import Outcome, same_used
from buildsite.record.commits import Commit, Signature
from buildsite.record.flags import Flag
from buildsite.record.places import SUFFIX
from buildsite.values import dataclass

STRANGER = "not on the staff list"


NOT_CHECKED = Signature("not checked")


SIGNED_OFF = re.compile(r"[A-Za-z-]+-by: ")


BY = ("entered-by", "reviewed-by", "authorized-by")
"""Trailers that name the person who made an edit."""


ADDRESS = re.compile(r"<?[^\s<>]+@[^\s<>]+>?")


@dataclass(frozen=True)
class Edit:
    """
    One commit, as an edit of one record.

    `who` is a staff code or "not on the staff list"; `reason` the commit message,
    without addresses. `files` were changed by it; `placed` tells that the record was
    created, moved or removed; `moved` that a value used changed. `unread` is why the
    record could not be read, and `text` its text. `joins` marks a merge with values
    that neither line of edits had. `place` counts back from the newest commit.
    `verdict` is what became of the verdict, of a kind that gives one.
    """

    commit: Commit
    who: str
    reason: str
    files: tuple[str, ...] = ()
    placed: str = ""
    fields: tuple[FieldChange, ...] = ()
    results: tuple[ResultChange, ...] = ()
    came: tuple[Flag, ...] = ()
    went: tuple[Flag, ...] = ()
    moved: bool = False
    unread: str = ""
    text: str = ""
    joins: bool = False
    signature: Signature = NOT_CHECKED
    place: int = 0
    verdict: Follow | None = None

    @property
    def turns(self) -> bool:
        """Whether it changed the verdict, or took a failure out of those that count."""
        one = self.verdict
        return one is not None and (one.flipped or one.vanished)

    @property
    def has_effect(self) -> bool:
        """Whether it changed results, values used or flags."""
        found = self.moved or self.results or self.came or self.went or self.unread
        return bool(found or self.turns)


@dataclass(frozen=True)
class Timeline:
    """
    Every edit that could have changed a test's results, newest first.

    `issued` gives the place of the commit of each issued item, in order; places count
    back from the newest commit.
    """

    test: str
    file: str
    edits: tuple[Edit, ...]
    issued: tuple[int, ...] = ()

    def place(self, index: int) -> int:
        """Return the place of the commit that issued an item; -1 if not committed."""
        return self.issued[index] if index < len(self.issued) else -1


@dataclass(frozen=True)
class HistoricState:
    """A record as it was at a commit; `file` is empty if it did not exist."""

    file: str = ""
    entry: Entry | None = None
    outcome: Outcome | None = None
    flags: tuple[Flag, ...] = ()

    @property
    def used(self) -> str:
        """Digest of the values used; empty if nothing was computed."""
        return self.outcome.used if self.outcome is not None else ""

    def uses_as(self, other: "HistoricState") -> bool:
        """Whether the values used are those of another state."""
        if self.outcome is None or other.outcome is None:
            return self.outcome is other.outcome
        return same_used(self.outcome, other.outcome)

    @property
    def unread(self) -> str:
        """Why an existing record could not be read."""
        if self.entry is None or self.outcome is not None:
            return ""
        return why_not_computed(self.flags)


NOWHERE = HistoricState()


def is_written(path: str) -> bool:
    """Whether a path is of a record, not of issued revisions."""
    return path.endswith(".yaml") and not path.endswith(SUFFIX)


KEPT_AS = (".html", ".json", ".pdf")
"""Suffixes of kept files."""


def homes_of(paths: Iterable[str]) -> dict[tuple[str, str], list[str]]:
    """
    Return the paths that held each record or its issued files, by group and id.

    >>> homes_of(["records/p/tests/HF-0117.yaml"])
    {('test', 'hf-0117'): ['records/p/tests/HF-0117.yaml']}
    """
    found: dict[tuple[str, str], list[str]] = {}
    for path in sorted(paths):
        found.setdefault((group_of(path), record_id(path).lower()), []).append(path)
    return found


def record_id(path: str) -> str:
    """
    Return the id of the record that a file is of, or was issued for.

    >>> record_id("records/p/tests/HF-0117.issued.yaml")
    'HF-0117'
    >>> record_id("records/p/tests/HF-0117.r1.json")
    'HF-0117'
    """
    if path.endswith(SUFFIX):
        return name_of(path.removesuffix(SUFFIX) + ".yaml")
    stem, _, last = name_of(path).rpartition(".")
    kept = path.endswith(KEPT_AS) and last[:1] == "r" and last[1:].isdigit()
    return stem if kept else name_of(path)


def change_of_place(old: str, new: str) -> str:
    """Return whether the file was created, moved or removed; empty if not."""
    if old == new:
        return ""
    if not old:
        return f"created: {new}"
    return f"moved from {old} to {new}" if new else f"removed: {old}"


def codes_by_email(lab: Any) -> Mapping[str, str]:
    """
    Return the staff code of each e-mail address, in lower case.

    Staff who leave get an `until` and are never deleted, so the newest lab.yaml has
    them all. An address of two people counts for neither.
    """
    found: dict[str, str] = {}
    staff = lab.staff.items() if isinstance(lab, Laboratory) else ()
    for code, who in staff:
        for email in who.emails:
            known = found.setdefault(email.casefold(), code)
            if known != code:
                found[email.casefold()] = ""
    return found


def committer_code(commit: Commit, emails: Mapping[str, str]) -> str:
    """Return the code of the committer; of the author, if a hosting site committed."""
    for email in (commit.email, commit.author_email):
        code = emails.get(email.casefold())
        if code:
            return code
    return ""


def editor(commit: Commit, lab: Any, emails: Mapping[str, str]) -> str:
    """
    Return who made an edit: the code in its trailer, else the committer's.

    A trailer counts if lab.yaml has the code; if another person committed, both are
    named.
    """
    staff = lab.staff if isinstance(lab, Laboratory) else {}
    by = committer_code(commit, emails)
    named = next((commit.trailers[by] for by in BY if by in commit.trailers), "")
    if named in staff and by and named != by:
        return f"{named}, committed by {by}"
    return (named if named in staff else by) or STRANGER


def reason_of(commit: Commit) -> str:
    """Return the reason of a commit, else its message, without addresses."""
    said = commit.trailers.get("reason") or commit.message
    lines = [line for line in said.splitlines() if not SIGNED_OFF.match(line)]
    clean = ADDRESS.sub("(address)", "\n".join(lines)).strip()
    return "".join(c if c.isprintable() or c == "\n" else "\ufffd" for c in clean)
