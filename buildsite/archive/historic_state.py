"""A record as it stood at a commit, and what sets two such states apart."""

from collections.abc import Sequence

from buildsite.archive.identity import name_of
from buildsite.archive.records import Entry
from buildsite.kinds.outcome import Outcome
from buildsite.record.flags import Flag
from buildsite.record.issued import SUFFIX
from buildsite.values import dataclass


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
        errors = [flag for flag in self.flags if flag.severity == "error"]
        return "; ".join(f"line {flag.line}: {flag.message}" for flag in errors[:3])


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


def placed(old: str, new: str) -> str:
    """What became of the file: written, moved, taken away; empty if it stayed."""
    if old == new:
        return ""
    if not old:
        return f"written: {new}"
    return f"moved from {old} to {new}" if new else f"taken away: {old}"


def apart(these: Sequence[Flag], those: Sequence[Flag]) -> tuple[Flag, ...]:
    """Flags that are here and not there, whatever their lines."""
    known = {(flag.flag, flag.field, flag.severity) for flag in those}
    return tuple(f for f in these if (f.flag, f.field, f.severity) not in known)
