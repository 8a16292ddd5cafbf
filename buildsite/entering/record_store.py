"""
Storage of a session: the file, the commit, and a recovery note.

The note is in git's own folder. It states which bytes `enter` last wrote into the
record, and for whom. After an interruption the next session can tell entered readings
from other changes. Where readings were entered on top of the uncommitted changes of
others, the note also has the record with these changes alone.
"""

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from typing import Any

from buildsite.errors import EnvironmentFault
from buildsite.files import write_whole
from buildsite.history.commit import commit, head, message_of, who_commits
from buildsite.history.lock import held
from buildsite.history.run import GitRefused, git
from buildsite.history.under_way import refuse_while_under_way
from buildsite.values import dataclass

SLIPS = "buildsite-enter"
LAST = 2
"""States in the note: before a save and after it."""


IN_USE = "Somebody else is entering readings in {} in this folder."
THEN_WHAT = "Wait until they have stopped, or enter another test meanwhile."


@dataclass(frozen=True)
class Left:
    """
    What an earlier session left uncommitted.

    `by` is for whom readings were entered, empty for nobody; `others` is the record
    with the changes of others that it stood on.
    """

    by: str = ""
    others: bytes | None = None


@dataclass(frozen=True)
class RecordStore:
    """One record on disk and in git. `slip` is None where nothing is committed."""

    root: Path
    file: str
    slip: Path | None
    signed: bool = False

    @property
    def path(self) -> Path:
        """Return the path of the record."""
        return self.root / self.file

    @contextmanager
    def taken(self) -> Iterator[None]:
        """Keep a second session off this record for as long as this one lasts."""
        if self.slip is None:
            yield
            return
        self.slip.parent.mkdir(parents=True, exist_ok=True)
        id = self.path.stem
        with held(self.slip.with_suffix(".lock"), 0, (IN_USE.format(id), THEN_WHAT)):
            yield

    def save(
        self, was: bytes, data: bytes, by: str, others: bytes | None = None
    ) -> None:
        """Write the record; EnvironmentFault if somebody else changed it meanwhile."""
        self.unchanged(was)
        self.note(by, (was, data), others)
        write_whole(self.path, data)

    def unchanged(self, was: bytes) -> None:
        """Raise EnvironmentFault if the record is not as this session left it."""
        if self.path.read_bytes() != was:
            raise EnvironmentFault(
                f"{self.file} was changed by somebody else during this session.",
                "Their changes are kept. Run the command again, and enter the last "
                "reading again.",
            )

    def commit(self, data: bytes, subject: str, by: str, reason: str) -> None:
        """Commit the record alone, with who and why."""
        trailers = [("Entered-by", by), ("Reason", reason)]
        commit(
            self.root,
            {self.file: data},
            message_of(subject, trailers),
            sign=self.signed,
        )
        if self.slip is not None:
            self.slip.unlink(missing_ok=True)

    def note(self, by: str, states: Sequence[bytes], others: bytes | None) -> None:
        """Note which bytes this session wrote, for whom, on top of whose changes."""
        if self.slip is None:
            return
        self.slip.parent.mkdir(parents=True, exist_ok=True)
        digests = [sha256(data).hexdigest() for data in states[-LAST:]]
        noted: dict[str, Any] = {"by": by, "states": digests}
        if others is not None:
            noted["others"] = others.decode()
        write_whole(self.slip, json.dumps(noted).encode())

    def left(self, data: bytes) -> Left:
        """Return what an earlier session left in these bytes."""
        if self.slip is None or not self.slip.exists():
            return Left()
        noted = json.loads(self.slip.read_bytes())
        if sha256(data).hexdigest() not in noted["states"]:
            return Left()
        others = noted.get("others")
        if others is None:
            return Left(str(noted["by"]))
        changed = str(others).encode()
        return Left(str(noted["by"]) if changed != data else "", changed)

    def changed_since(self, committed: bytes | None) -> str:
        """
        Return for whom readings were saved that are not committed yet.

        Somebody may have changed the record since, so that it is none of the states
        in the note.
        """
        if self.slip is None or not self.slip.exists():
            return ""
        noted = json.loads(self.slip.read_bytes())
        done = sha256(committed or b"").hexdigest() == noted["states"][-1]
        return "" if done else str(noted["by"])


def open_store(root: Path, file: str, *, committing: bool, signed: bool) -> RecordStore:
    """Return the store of a record; EnvironmentFault if commits can't be made."""
    if not committing:
        return RecordStore(root, file, None)
    head(root)
    refuse_while_under_way(root)
    who_commits(root)
    place = git(root, "rev-parse", "--git-path", SLIPS).decode().strip()
    name = f"{file.replace('/', '+')}.json"
    return RecordStore(root, file, root / place / name, signed)


def committed_bytes(root: Path, file: str) -> bytes | None:
    """Return the record at HEAD; None where it was never committed."""
    prefix = git(root, "rev-parse", "--show-prefix").decode().strip()
    try:
        return git(root, "cat-file", "blob", f"HEAD:{prefix}{file}")
    except GitRefused:
        return None


def changed_since_commit(root: Path, file: str, data: bytes) -> Iterator[str]:
    """Yield why a record can't be changed: others' changes are not committed."""
    if committed_bytes(root, file) != data:
        yield (
            f"{file} has changes that are not committed. Commit them first: "
            f"`buildsite commit {file}`."
        )
