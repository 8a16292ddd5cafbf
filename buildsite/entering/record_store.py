"""
Storage of a session: the file, the commit, and a slip with what is not committed.

The slip is in git's own folder. It has what was typed into the record and is not
committed, by whom, stage by stage (`entering.uncommitted`). So after an interruption,
or when somebody changed the file meanwhile, each reading still has its author. It is
written before the file and before a commit: whenever a session breaks off, the next
one completes what was begun.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from buildsite.entering.uncommitted import (
    Slip,
    digest,
    pending,
    read_slip,
    slip_text,
)
from buildsite.errors import EnvironmentFault
from buildsite.files import write_whole
from buildsite.history.commit import commit, head, message_of, who_commits
from buildsite.history.lock import held
from buildsite.history.run import GitRefused, git
from buildsite.history.under_way import refuse_while_under_way
from buildsite.values import dataclass

SLIPS = "buildsite-enter"

IN_USE = "Somebody else is entering readings in {} in this folder."
THEN_WHAT = "Wait until they have stopped, or enter another test meanwhile."


@dataclass(frozen=True)
class RecordStore:
    """One record on disk and in git. `slip` is None where there is no git."""

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

    def save(self, was: bytes, data: bytes, by: str, on: str = "") -> None:
        """Write the record; EnvironmentFault if somebody else changed it meanwhile."""
        self.unchanged(was)
        slip = self.noted(None, was)
        if slip is None or slip.last != was:
            slip = Slip(was)
        slip = slip.with_save(data, by, on)
        self.note(slip)
        write_whole(self.path, data)
        self.note(replace(slip, between=()))

    def unchanged(self, was: bytes) -> None:
        """Raise EnvironmentFault if the record is not as this session left it."""
        if self.path.read_bytes() != was:
            raise EnvironmentFault(
                f"{self.file} was changed by somebody else during this session.",
                "Their changes are kept. Run the command again, and enter the last "
                "reading again.",
            )

    def commit(
        self,
        data: bytes,
        subject: str,
        trailers: Sequence[tuple[str, str]],
        stays: bytes | None = None,
    ) -> None:
        """
        Commit the record alone, with who and why.

        `stays` is the record as it then is in the file, with what is not committed.
        """
        slip = self.noted(None, data)
        stays = data if stays is None else stays
        if slip is not None and stays != data:
            self.note(replace(slip, between=(digest(data),)))
        try:
            message = message_of(subject, trailers)
            commit(self.root, {self.file: data}, message, sign=self.signed)
            if stays != data:
                self.unchanged(data)
                write_whole(self.path, stays)
        except EnvironmentFault:
            self.note(slip)
            raise
        rest = slip.after(data) if slip is not None and slip.knows(data) else ()
        self.note(Slip(data, rest) if rest else None)

    def note(self, slip: Slip | None) -> None:
        """Write the slip, or take it away where nothing is left to commit."""
        if self.slip is None:
            return
        if slip is None:
            self.slip.unlink(missing_ok=True)
            return
        self.slip.parent.mkdir(parents=True, exist_ok=True)
        write_whole(self.slip, slip_text(slip))

    def noted(self, committed: bytes | None, data: bytes) -> Slip | None:
        """Return the slip, if an earlier session left one."""
        if self.slip is None or not self.slip.exists():
            return None
        return read_slip(self.slip.read_bytes(), committed, data)

    def entered_by(self, committed: bytes | None, data: bytes) -> str:
        """Return who entered readings that are not committed yet; empty for nobody."""
        slip = self.noted(committed, data)
        stages = pending(slip, committed, data)
        names = [stage.by for stage in stages if stage.by]
        if slip is not None and slip.unclear and stages:
            names.append(slip.unclear)
        return ", ".join(dict.fromkeys(names))

    def begin(self, committed: bytes | None, data: bytes) -> Slip:
        """Return what is pending, and note it, so that later readings stand on it."""
        slip = self.noted(committed, data)
        stages = pending(slip, committed, data)
        base = slip.base if slip is not None and committed is None else committed
        unclear = slip.unclear if slip is not None else ""
        found = Slip(base or b"", stages, unclear=unclear)
        self.note(found if stages else None)
        return found

    def put_back(self) -> bool:
        """Complete a write that broke off; return whether there was one."""
        if not self.path.exists():
            return False
        data = self.path.read_bytes()
        slip = self.noted(None, data)
        if slip is None or digest(data) not in slip.between or data == slip.last:
            return False
        write_whole(self.path, slip.last)
        return True


def open_store(
    root: Path, file: str, *, committing: bool, signed: bool = False
) -> RecordStore:
    """Return the store of a record; EnvironmentFault if commits can't be made."""
    if not committing:
        return RecordStore(root, file, None)
    head(root)
    refuse_while_under_way(root)
    who_commits(root)
    return RecordStore(root, file, slip_path(root, file), signed)


def open_for_readings(
    root: Path, file: str, *, committing: bool, signed: bool
) -> RecordStore:
    """Return the store for `enter`: without commits, who typed what is noted too."""
    if committing:
        return open_store(root, file, committing=True, signed=signed)
    try:
        return RecordStore(root, file, slip_path(root, file))
    except GitRefused:
        return RecordStore(root, file, None)


def slip_path(root: Path, file: str) -> Path:
    """Return the place of a record's slip, in git's own folder."""
    place = git(root, "rev-parse", "--git-path", SLIPS).decode().strip()
    return root / place / f"{file.replace('/', '+')}.json"


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
