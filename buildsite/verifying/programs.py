"""
Which program an item may carry: the one that the published branch named before it.

A fingerprint says by which program an item was made, and another program's item can't
be made again here. So an invented one must not be of use. The branch names the program
in `program/fingerprint.txt`, or, in the program's own repository, is its code.
"""

import re
from collections.abc import Mapping
from dataclasses import field
from functools import cached_property
from hashlib import sha256
from pathlib import Path

from buildsite import software
from buildsite.archive.known_programs import known_programs
from buildsite.history.trees import blobs_of, changes_of, place_in_repository
from buildsite.history.walk import History
from buildsite.values import dataclass

NAMED_IN = "program/fingerprint.txt"
SOURCE = "program/source.txt"
OWN_CODE = "buildsite/software.py"
FINGERPRINT = re.compile(r"[0-9a-f]{64}")
UNREADABLE = f"nothing readable in {NAMED_IN}"
"""In the place of a fingerprint: no item may carry it."""


@dataclass
class Programs:
    """Programs named at commits of a repository; each is looked up once."""

    root: Path
    history: History
    running: str
    _named: dict[str, str] = field(default_factory=dict)
    _digests: dict[str, str] = field(default_factory=dict)
    _read: dict[tuple[str, str], tuple[str, ...]] = field(default_factory=dict)
    _main: dict[str, list[str]] = field(default_factory=dict)

    def named_before(self, commit: str) -> str:
        """Return the program named before a commit; empty if none is, or no commit."""
        found = self.history.by_id.get(commit)
        parents = found.parents if found is not None else ()
        return self.named_at(parents[0]) if parents else ""

    def pinned_before(self, commit: str) -> str:
        """
        Return the program that an archive named before a commit; empty if none was.

        In the program's own repository items may be of code that no commit holds.
        """
        found = self.history.by_id.get(commit)
        parents = found.parents if found is not None else ()
        if not parents or self._changes(parents[0], OWN_CODE):
            return ""
        return self.named_at(parents[0])

    def named_at(self, commit: str) -> str:
        """Return the fingerprint of the program named at a commit; empty if none is."""
        if commit not in self._named:
            self._named[commit] = self._own(commit) or self._pinned(commit)
        return self._named[commit]

    def _own(self, commit: str) -> str:
        """
        Return the fingerprint of the code at a commit, if it is this program's.

        Where the code was removed, as it was last.
        """
        changes = self._changes(commit, OWN_CODE)
        for at in (commit, *changes) if changes else ():
            blobs = blobs_of(self.root, at, *software.PLACES)
            if OWN_CODE in blobs:
                return self._fingerprint(blobs)
        return ""

    def _fingerprint(self, blobs: Mapping[str, str]) -> str:
        """Return the fingerprint of code, from the blob of each file."""
        parts = {name: blob for name, blob in blobs.items() if software.is_part(name)}
        self.history.blobs.load([b for b in parts.values() if b not in self._digests])
        for blob in parts.values():
            if blob not in self._digests:
                data = self.history.blobs[blob].replace(b"\r\n", b"\n")
                self._digests[blob] = sha256(data).hexdigest()
        return software.fingerprint_of(
            {name: self._digests[blob] for name, blob in parts.items()}
        )

    def _pinned(self, commit: str) -> str:
        """
        Return the program that an archive names at a commit, or named last.

        Where the name was removed it counts as it was: else a person could remove it
        and then claim any program.
        """
        for at in self._changes(commit, f"{self._prefix}{NAMED_IN}"):
            named = self._lines(at, NAMED_IN)
            if named:
                one = len(named) == 1 and FINGERPRINT.fullmatch(named[0])
                return named[0] if one else UNREADABLE
        source = software.installed_from()
        return self.running if source and source in self._lines(commit, SOURCE) else ""

    def _lines(self, commit: str, name: str) -> tuple[str, ...]:
        """Return the lines of a file of the archive at a commit, without comments."""
        if (commit, name) not in self._read:
            place = f"{self._prefix}{name}"
            blob = blobs_of(self.root, commit, place).get(place)
            data = self.history.blobs[blob] if blob is not None else b""
            lines = [x.strip() for x in data.decode(errors="replace").splitlines()]
            self._read[commit, name] = tuple(
                line for line in lines if line and not line.startswith("#")
            )
        return self._read[commit, name]

    def _changes(self, commit: str, place: str) -> list[str]:
        """
        Return the commits up to one that changed a path, the latest first.

        Along first parents; of the main line git is asked once for each path.
        """
        if commit not in self._places:
            return changes_of(self.root, commit, place)
        if place not in self._main:
            head = self.history.main[0].id
            self._main[place] = changes_of(self.root, head, place)
        here = self._places[commit]
        return [one for one in self._main[place] if self._places[one] >= here]

    @cached_property
    def _prefix(self) -> str:
        """The archive's folder in its repository."""
        return place_in_repository(self.root)

    @cached_property
    def _places(self) -> Mapping[str, int]:
        """The commits of the main line, counted back from the newest."""
        return {commit.id: i for i, commit in enumerate(self.history.main)}

    def vouched(self, fingerprint: str, came: str) -> bool:
        """Whether an item that came with a commit names a program that there is."""
        if fingerprint == self.running or fingerprint in known_programs():
            return True
        named = self.named_before(came)
        return named not in ("", UNREADABLE) and fingerprint == named


@dataclass(frozen=True)
class Base:
    """
    What was published before: the items of each test, and the program that was named.

    `program` is None where each item is judged by the commit before the one that it
    came with. `commit` is the one published, where this clone has it.
    """

    items: Mapping[str, int]
    program: str | None = None
    commit: str = ""

    def is_new(self, test: str, revision: int) -> bool:
        """Whether an item was not there."""
        return revision >= self.items.get(test, 0)
