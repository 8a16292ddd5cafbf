"""
An edit: who made it and why, what it changed, and what that did to a test.

Plain data, for pages and commands; nobody's address stands in it.
"""

import re
from collections.abc import Mapping
from typing import Any

from buildsite.archive.differences import FieldChange, ResultChange, why_not_computed
from buildsite.archive.identity import name_of
from buildsite.archive.records import Entry
from buildsite.kinds.laboratory.lab import Laboratory
from buildsite.kinds.outcome import Outcome
from buildsite.record.commits import Commit, Signature
from buildsite.record.flags import Flag
from buildsite.record.issued import SUFFIX
from buildsite.values import dataclass

STRANGER = "not on the staff list"


NOT_CHECKED = Signature("not checked")


SIGNED_OFF = re.compile(r"[A-Za-z-]+-by: ")


BY = ("entered-by", "reviewed-by", "authorized-by")
"""Trailers that say whose act a commit is."""


ADDRESS = re.compile(r"<?[^\s<>]+@[^\s<>]+>?")


@dataclass(frozen=True)
class Edit:
    """
    One commit, seen from one record.

    `who` is a staff code or "not on the staff list"; `reason` what the commit says,
    without addresses. `files` were changed by it, `placed` says where the record went.
    `moved` tells whether a value used moved. `unread` is why the record could not be
    made out then, and `text` what stood there. `joins` marks a merge that brought two
    lines of edits together to what neither had. `place` counts back from the newest
    commit of all.
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

    @property
    def tells(self) -> bool:
        """Whether it is worth a client's eye: the others are folded away."""
        return bool(self.moved or self.results or self.came or self.went or self.unread)


@dataclass(frozen=True)
class Timeline:
    """
    Every edit that a test's results could have moved by, newest first.

    `issued` holds of each item of the test's issued file, in order, the place of the
    commit that brought it; places count back from the newest commit.
    """

    test: str
    file: str
    edits: tuple[Edit, ...]
    issued: tuple[int, ...] = ()

    def place(self, index: int) -> int:
        """Place of the commit that issued an item; before all for one not committed."""
        return self.issued[index] if index < len(self.issued) else -1


@dataclass(frozen=True)
class HistoricState:
    """A record as it stood at a commit; `file` is empty where it was not there."""

    file: str = ""
    entry: Entry | None = None
    outcome: Outcome | None = None
    flags: tuple[Flag, ...] = ()

    @property
    def used(self) -> str:
        """Digest of what was used; empty where nothing was computed."""
        return self.outcome.used if self.outcome is not None else ""

    @property
    def unread(self) -> str:
        """Why a record that was there could not be made out."""
        if self.entry is None or self.outcome is not None:
            return ""
        return why_not_computed(self.flags)


NOWHERE = HistoricState()


def is_written(path: str) -> bool:
    """Whether a path is of a record, not of what was issued."""
    return path.endswith(".yaml") and not path.endswith(SUFFIX)


def record_id(path: str) -> str:
    """
    Id of the record that a file is of, or was issued for.

    >>> record_id("records/p/tests/HF-0117.issued.yaml")
    'HF-0117'
    >>> record_id("records/p/tests/HF-0117.r1.json")
    'HF-0117'
    """
    if path.endswith(SUFFIX):
        return name_of(path.removesuffix(SUFFIX) + ".yaml")
    stem, _, last = name_of(path).rpartition(".")
    kept = path.endswith((".html", ".json")) and last[:1] == "r" and last[1:].isdigit()
    return stem if kept else name_of(path)


def change_of_place(old: str, new: str) -> str:
    """What became of the file: written, moved, taken away; empty if it stayed."""
    if old == new:
        return ""
    if not old:
        return f"created: {new}"
    return f"moved from {old} to {new}" if new else f"removed: {old}"


def codes_by_email(lab: Any) -> Mapping[str, str]:
    """
    E-mails of the staff, in small letters, and the code of each.

    People get an `until`, never a deletion: the newest lab.yaml knows them all. An
    address that two people have is nobody's.
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
    """Code of who committed; of who wrote it, where a hosting site committed."""
    for email in (commit.email, commit.author_email):
        code = emails.get(email.casefold())
        if code:
            return code
    return ""


def editor(commit: Commit, lab: Any, emails: Mapping[str, str]) -> str:
    """
    Say who made an edit: the code in its trailer, else the committer's.

    A trailer is believed where lab.yaml knows the code; where another person committed
    what it names, both stand there.
    """
    staff = lab.staff if isinstance(lab, Laboratory) else {}
    by = committer_code(commit, emails)
    named = next((commit.trailers[by] for by in BY if by in commit.trailers), "")
    if named in staff and by and named != by:
        return f"{named}, committed by {by}"
    return (named if named in staff else by) or STRANGER


def reason_of(commit: Commit) -> str:
    """What the commit says: its reason, else its message, addresses left out."""
    said = commit.trailers.get("reason") or commit.message
    lines = [line for line in said.splitlines() if not SIGNED_OFF.match(line)]
    clean = ADDRESS.sub("(address)", "\n".join(lines)).strip()
    return "".join(c if c.isprintable() or c == "\n" else "\ufffd" for c in clean)
