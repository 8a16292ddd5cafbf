"""A report compared with the one before it, of one test."""

from collections.abc import Iterator
from itertools import pairwise

from buildsite.archive.amendments import amendment
from buildsite.archive.archive import Archive
from buildsite.archive.differences import FieldChange, field_changes, report_changes
from buildsite.archive.identity import name_of
from buildsite.archive.inputs_as_issued import archive_of, found_inputs
from buildsite.archive.issued_files import IssuedFiles, IssuedState
from buildsite.archive.issues import change_key
from buildsite.kinds.outcome import Outcome
from buildsite.record.issued import Item, pins_of
from buildsite.record.source import read_source
from buildsite.values import dataclass

RECORDS = ".yaml"


@dataclass(frozen=True)
class ComparedReports:
    """Two consecutive reports of a test."""

    archive: Archive
    issued_files: IssuedFiles
    state: IssuedState
    before: Item
    after: Item

    @property
    def name(self) -> str:
        """The numbers of the two revisions."""
        return f"r{self.before.revision}-r{self.after.revision}"

    @property
    def changed(self) -> list[str]:
        """Files used in another state."""
        old, new = self.before.inputs, self.after.inputs
        return [p for p in sorted({*old, *new}) if old.get(p) != new.get(p)]

    def field_changes(self) -> tuple[list[FieldChange], list[str]]:
        """Return the changed fields of all records, and files not available."""
        contents = self.issued_files.contents
        items = (self.before, self.after)
        states = [found_inputs(contents, item) for item in items]
        found: list[FieldChange] = []
        lost = []
        for path in self.changed:
            if not path.endswith(RECORDS) or "#" in path:
                continue
            if any(
                path in item.inputs and path not in state
                for item, state in zip(items, states, strict=True)
            ):
                lost.append(path)
                continue
            trees = [
                dict(read_source(path, state[path]).tree) if path in state else {}
                for state in states
            ]
            found += field_changes(path, *trees)
        return [*found, *self._other_reports()], lost

    def _other_reports(self) -> Iterator[FieldChange]:
        """Return the other tests of which another report was used."""
        before, after = (pins_of(one.inputs) for one in (self.before, self.after))
        for file in sorted({*before, *after}):
            issued, _ = self.archive.chain(file)
            items = {one.revision: one for one in issued.items} if issued else {}
            old, new = (items.get(one.get(file, -1)) for one in (before, after))
            yield from report_changes(file, old, new)

    def amended_values(self) -> tuple[str, ...]:
        """Return the changes that the amended report lists."""
        old, new = (self._outcome(item) for item in (self.before, self.after))
        if new is None:
            return ()
        return amendment(self.state.issued, self.before, old, new).values

    def _outcome(self, item: Item) -> Outcome | None:
        file = self.state.file
        found = found_inputs(self.issued_files.contents, item)
        if file not in found:
            return None
        then = archive_of(found, item, self.archive.shared)
        return then.outcome(file) if then is not None else None

    def others_amended(self) -> dict[tuple[str, int], list[str]]:
        """Return other tests amended after a change of the same files."""
        found: dict[tuple[str, int], list[str]] = {}
        for path in self.changed:
            key = change_key(self.before, self.after, path)
            for test, revision in self.issued_files.together.get(key, ()):
                if test != name_of(self.state.file):
                    names = found.setdefault((test, revision), [])
                    name = name_of(next(iter(pins_of({path: ""})), path))
                    if name not in names:
                        names.append(name)
        return dict(sorted(found.items()))


def compared_reports(
    archive: Archive, issued_files: IssuedFiles, state: IssuedState
) -> list[ComparedReports]:
    """Return each report with the one before it, the newest first."""
    pairs = [
        ComparedReports(archive, issued_files, state, before, after)
        for before, after in pairwise(state.reports)
    ]
    return pairs[::-1]
