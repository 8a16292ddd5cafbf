"""Two reports of one test, compared."""

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from itertools import combinations, pairwise
from typing import Any, TypeVar

from buildsite.archive.amendments import program_change
from buildsite.archive.archive import Archive
from buildsite.archive.causes import Cause, causes
from buildsite.archive.differences import FieldChange, field_changes, report_changes
from buildsite.archive.identity import name_of
from buildsite.archive.inputs_as_issued import archive_of, found_inputs
from buildsite.archive.issued_files import IssuedFiles, IssuedState
from buildsite.archive.issues import change_key
from buildsite.asked import ask
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.significance import Significance
from buildsite.record.issued import Item, pins_of
from buildsite.record.source import read_source
from buildsite.values import dataclass

RECORDS = ".yaml"

R = TypeVar("R")


@dataclass(frozen=True)
class ComparedReports:
    """Two reports of a test."""

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

    @cached_property
    def outcomes(self) -> tuple[Outcome | None, Outcome | None]:
        """Both, computed by this program from the inputs as issued."""
        return self._outcome(self.before), self._outcome(self.after)

    @cached_property
    def causes(self) -> tuple[Cause, ...] | None:
        """Every changed value, what moved a result first; None if it can't be told."""
        old, new = self.outcomes
        return causes(old, new) if old is not None and new is not None else None

    @cached_property
    def results(self) -> tuple[Mapping[str, Any], Mapping[str, Any]]:
        """Both results as kept; empty if one isn't as issued."""
        old, new = (
            self.issued_files.result(self.state.file, item)
            for item in (self.before, self.after)
        )
        return old, new

    @cached_property
    def significance(self) -> Significance:
        """What the difference of the results is held against."""
        new = self.outcomes[1]
        if new is None or new.kind.significance is None or not all(self.results):
            return Significance()
        return new.kind.significance(*self.results, new.case)

    @property
    def program_changes(self) -> tuple[str, ...]:
        """What another version of the program, or another unit's name, changed."""
        old = self.outcomes[0]
        return tuple(program_change(self.before, old)) if old is not None else ()

    def _outcome(self, item: Item) -> Outcome | None:
        file, state = self.state.file, self.state
        if item is state.item and state.archive is not None:
            return state.archive.outcome(file)
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
            ask("together", key)
            for test, revision in self.issued_files.together.get(key, ()):
                if test != name_of(self.state.file):
                    names = found.setdefault((test, revision), [])
                    name = name_of(next(iter(pins_of({path: ""})), path))
                    if name not in names:
                        names.append(name)
        return dict(sorted(found.items()))


MOST_REPORTS = 6
"""Reports up to which every pair has its page: 15 of them."""


def revision_pairs(reports: Sequence[R]) -> list[tuple[R, R]]:
    """
    Return which reports are compared: every two, of many only the nearest.

    >>> revision_pairs([0, 1, 3])
    [(1, 3), (0, 3), (0, 1)]
    >>> revision_pairs([*range(8)])[:3]
    [(6, 7), (0, 7), (5, 6)]

    The last two come first, then the later before the earlier.
    """
    numbers = [*combinations(range(len(reports)), 2)]
    if len(reports) > MOST_REPORTS:
        numbers = [*pairwise(range(len(reports))), (0, len(reports) - 1)]
    numbers.sort(key=lambda pair: (-pair[1], -pair[0]))
    return [(reports[i], reports[k]) for i, k in numbers]


def compared_reports(
    archive: Archive, issued_files: IssuedFiles, state: IssuedState
) -> list[ComparedReports]:
    """Return pairs of reports of a test: the last with the one before it first."""
    return [
        ComparedReports(archive, issued_files, state, *pair)
        for pair in revision_pairs(state.reports)
    ]
