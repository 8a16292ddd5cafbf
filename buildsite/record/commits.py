"""Commits and what they touched, as plain data that `history/` fills."""

from collections.abc import Mapping, Sequence
from dataclasses import field
from datetime import date
from typing import Literal, Protocol

from buildsite.values import dataclass


@dataclass(frozen=True)
class Touch:
    """
    One path that a commit changed, against its first parent.

    `old` and `new` name blobs; empty where the file was not there. `inside` tells, of
    a merge, that it was done in the merge: the file is not what joining the parents
    gives. Where a merge kept its first parent's file and so dropped another parent's
    change, `old` is what was dropped.
    """

    path: str
    old: str
    new: str
    inside: bool = True


@dataclass(frozen=True)
class Commit:
    """
    One commit. `when` is the committer's own claim, ISO 8601 with its offset.

    `message` is the subject and body without trailers; `trailers` by name in lower
    case (`entered-by`, `reason`).
    """

    id: str
    parents: tuple[str, ...]
    when: str
    email: str  # the committer's: mapped to a staff code, never shown
    author_email: str
    message: str
    trailers: Mapping[str, str] = field(default_factory=dict)
    touches: tuple[Touch, ...] = ()

    @property
    def subject(self) -> str:
        """First line of the message."""
        return self.message.partition("\n")[0]

    @property
    def day(self) -> str:
        """The day that the committer claims."""
        return self.when[:10]


SignatureState = Literal[
    "good",
    "unsigned",
    "unknown key",
    "expired key",
    "revoked key",
    "altered",
    "not checked",
]
"""What a commit's signature is worth, in words."""


@dataclass(frozen=True)
class Signature:
    """State of a signature, and the staff code whose key made it, where one did."""

    state: SignatureState
    code: str = ""
    why: str = ""


@dataclass(frozen=True)
class StaffKey:
    """
    A person's SSH key and the days it holds, as lab.yaml lists them.

    `key` is a line as `ssh-keygen` writes it into a .pub file; its comment is left out.
    """

    code: str
    key: str
    start: date | None = None
    until: date | None = None


class Past(Protocol):
    """What the core may ask of a repository's past; `history.History` answers."""

    @property
    def commits(self) -> tuple[Commit, ...]:
        """Every commit, newest first."""

    @property
    def main(self) -> tuple[Commit, ...]:
        """The first-parent line, newest first."""

    @property
    def by_id(self) -> Mapping[str, Commit]:
        """Commits by their id."""

    def blob(self, commit: str, path: str) -> str:
        """Name of the blob that a path held at a commit; empty if it was not there."""

    def read(self, commit: str, path: str) -> bytes | None:
        """Bytes that a path held at a commit; None if it was not there."""

    def names(self, commit: str) -> list[str]:
        """Every path under records/ that was there at a commit, sorted."""

    def touching(self, paths: Sequence[str]) -> list[Commit]:
        """Commits that changed any of these paths, oldest first."""


def places_touching(past: Past) -> dict[str, list[int]]:
    """Path → places in `past.commits` of those that touched it, newest first."""
    found: dict[str, list[int]] = {}
    for place, commit in enumerate(past.commits):
        for touch in commit.touches:
            found.setdefault(touch.path, []).append(place)
    return found
