"""Who made an edit, by staff code; what a commit says, without anybody's address."""

import re
from collections.abc import Mapping
from typing import Any

from buildsite.archive.edits import STRANGER
from buildsite.kinds.laboratory.lab import Laboratory
from buildsite.record.edits import Commit

SIGNED_OFF = re.compile(r"[A-Za-z-]+-by: ")
BY = ("entered-by", "reviewed-by", "authorized-by")
"""Trailers that say whose act a commit is."""

ADDRESS = re.compile(r"<?[^\s<>]+@[^\s<>]+>?")


def codes(lab: Any) -> Mapping[str, str]:
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


def committer(commit: Commit, emails: Mapping[str, str]) -> str:
    """Code of who committed; of who wrote it, where a hosting site committed."""
    for email in (commit.email, commit.author_email):
        code = emails.get(email.casefold())
        if code:
            return code
    return ""


def who(commit: Commit, lab: Any, emails: Mapping[str, str]) -> str:
    """
    Say who made an edit: the code in its trailer, else the committer's.

    A trailer is believed where lab.yaml knows the code; where another person committed
    what it names, both stand there.
    """
    staff = lab.staff if isinstance(lab, Laboratory) else {}
    by = committer(commit, emails)
    named = next((commit.trailers[by] for by in BY if by in commit.trailers), "")
    if named in staff and by and named != by:
        return f"{named}, committed by {by}"
    return (named if named in staff else by) or STRANGER


def reason(commit: Commit) -> str:
    """What the commit says: its reason, else its message, addresses left out."""
    said = commit.trailers.get("reason") or commit.message
    lines = [line for line in said.splitlines() if not SIGNED_OFF.match(line)]
    clean = ADDRESS.sub("(address)", "\n".join(lines)).strip()
    return "".join(c if c.isprintable() or c == "\n" else "\ufffd" for c in clean)
