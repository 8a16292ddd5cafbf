"""
Where a sitting is kept: the file, the commit, and a slip of paper for the hang-up.

The slip lies in git's own folder. It says which bytes `enter` last wrote into the
record, and for whom; so that after a cut-off the next sitting can tell readings that
were entered from changes that somebody else made.
"""

import json
from collections.abc import Sequence
from hashlib import sha256
from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.files import write_whole
from buildsite.history.commit import commit, head, message_of, who_commits
from buildsite.history.run import GitRefused, git
from buildsite.values import dataclass

SLIPS = "buildsite-enter"
LAST = 2
"""States on the slip: the one before a save and the one after it."""


@dataclass(frozen=True)
class RecordStore:
    """One record on disk and in git. `slip` is None where nothing is committed."""

    root: Path
    file: str
    slip: Path | None
    signed: bool = False

    @property
    def path(self) -> Path:
        """The record."""
        return self.root / self.file

    def save(self, was: bytes, data: bytes, by: str) -> None:
        """
        Write the record, whole or not at all.

        Raises
        ------
        EnvironmentFault
            If somebody else changed it meanwhile: nothing is overwritten.
        """
        self.unchanged(was)
        self.note(by, (was, data))
        write_whole(self.path, data)

    def unchanged(self, was: bytes) -> None:
        """
        Make sure that the record is as this sitting left it.

        Raises
        ------
        EnvironmentFault
            If it is not.
        """
        if self.path.read_bytes() != was:
            raise EnvironmentFault(
                f"{self.file} was changed by somebody else just now.",
                "Nothing of theirs was overwritten. Run this again, and enter the "
                "last reading once more.",
            )

    def commit(self, data: bytes, subject: str, by: str, reason: str) -> None:
        """Commit the record alone, by whom and why."""
        trailers = [("Entered-by", by), ("Reason", reason)]
        commit(
            self.root,
            {self.file: data},
            message_of(subject, trailers),
            sign=self.signed,
        )
        if self.slip is not None:
            self.slip.unlink(missing_ok=True)

    def note(self, by: str, states: Sequence[bytes]) -> None:
        """Write on the slip which bytes are ours, and for whom they were entered."""
        if self.slip is None:
            return
        self.slip.parent.mkdir(parents=True, exist_ok=True)
        digests = [sha256(data).hexdigest() for data in states[-LAST:]]
        write_whole(self.slip, json.dumps({"by": by, "states": digests}).encode())

    def left_by(self, data: bytes) -> str:
        """Whose sitting left these bytes behind: nobody's if the slip has them not."""
        if self.slip is None or not self.slip.exists():
            return ""
        noted = json.loads(self.slip.read_bytes())
        ours = sha256(data).hexdigest() in noted["states"]
        return str(noted["by"]) if ours else ""


def open_store(root: Path, file: str, *, committing: bool, signed: bool) -> RecordStore:
    """
    Make ready to keep a record.

    Raises
    ------
    EnvironmentFault
        If commits are wanted and can't be made: before anything is typed in vain.
    """
    if not committing:
        return RecordStore(root, file, None)
    head(root)
    who_commits(root)
    place = git(root, "rev-parse", "--git-path", SLIPS).decode().strip()
    name = f"{file.replace('/', '+')}.json"
    return RecordStore(root, file, root / place / name, signed)


def committed_bytes(root: Path, file: str) -> bytes | None:
    """Return the record as HEAD has it; None where it never was committed."""
    prefix = git(root, "rev-parse", "--show-prefix").decode().strip()
    try:
        return git(root, "cat-file", "blob", f"HEAD:{prefix}{file}")
    except GitRefused:
        return None
