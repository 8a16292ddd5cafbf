"""What a commit changed in the records that a test uses: fields, and reports issued."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from buildsite.archive.differences import FieldChange, field_changes, report_changes
from buildsite.archive.edits import is_written
from buildsite.archive.entries import Shared
from buildsite.archive.identity import group_of, name_of
from buildsite.archive.records import Key
from buildsite.record.commits import Commit, Past
from buildsite.record.issued import Item
from buildsite.record.places import SUFFIX
from buildsite.values import dataclass


@dataclass(frozen=True)
class CommitChanges:
    """What one commit changed in some files. What was read of them is shared."""

    past: Past
    shared: Shared
    commit: Commit
    touched: Sequence[str]

    def fields(self) -> Iterator[FieldChange]:
        """Return the fields of every record that a commit changed, also if moved."""
        trees: dict[Key, list[Mapping[str, Any]]] = {}
        files: dict[Key, str] = {}
        for path in self.touched:
            if not is_written(path):
                continue
            pair = trees.setdefault((group_of(path), name_of(path)), [{}, {}])
            for side, at in enumerate((self._against(path), self.commit.id)):
                data = self.past.read(at, path) if at else None
                if data is not None:
                    pair[side] = self.shared.entry(path, data).source.tree
                    files[group_of(path), name_of(path)] = path
        for key, (old, new) in trees.items():
            if key in files and old and new:
                yield from field_changes(files[key], dict(old), dict(new))

    def reports(self) -> Iterator[FieldChange]:
        """Return the reports of other tests that a commit issued."""
        for path in self.touched:
            if path.endswith(SUFFIX):
                before = self._against(path)
                old = self._last_report(before, path) if before else None
                new = self._last_report(self.commit.id, path)
                yield from report_changes(f"{path.removesuffix(SUFFIX)}.yaml", old, new)

    def _last_report(self, commit: str, path: str) -> Item | None:
        """Return the last report of an issued file at a commit."""
        data = self.past.read(commit, path)
        issued = self.shared.chain(path, data)[0] if data is not None else None
        return issued.last_report if issued is not None else None

    def _against(self, path: str) -> str:
        """Return the parent that had a different file: a merge may drop a change."""
        stands = self.past.blob(self.commit.id, path)
        others = (p for p in self.commit.parents if self.past.blob(p, path) != stands)
        return next(others, "")
