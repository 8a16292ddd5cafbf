"""The check of an entry: by another than who entered, and after all readings."""

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.differences import record_changes
from buildsite.archive.edited_after_review import (
    AFTER,
    NAMED,
    Trees,
    flags_of_edited,
)
from buildsite.archive.field_names import spoken
from buildsite.kinds.across import CHECKED_BY_TYPIST, EDITED_AFTER_CHECK
from buildsite.kinds.outcome import flag_of
from buildsite.record.changes import Change
from buildsite.record.commits import Commit, Past
from buildsite.record.flags import Doubt, Field, Flag, Known, field_path
from buildsite.record.source import Source
from buildsite.values import dataclass

NO_ENTRY = (*AFTER, "curve", "deviations", "entered", "external", "remarks")
"""Fields that are not entered from a bench sheet: judgements, and what comes later."""

A_READING = re.compile(r"[-+]?[0-9]+(\.[0-9]+)?")

WHERE: Field = ("entered", "checked_by")

AGAIN = (
    "have another person check the entry against the bench sheet: in "
    "`buildsite enter {}`, type `checked`, then `blank`, then the code"
)

Tree = Mapping[str, Any]


@dataclass
class Checked:
    """A record whose entry was checked, and git's past of it, the newest first."""

    source: Source
    trees: Trees
    places: Sequence[int]

    @property
    def code(self) -> str:
        """Return who checked the entry."""
        return checker(self.source.tree)

    def commit(self, i: int) -> Commit:
        """Return one of its commits."""
        return self.trees.past.commits[self.places[i]]

    def tree(self, i: int) -> Tree:
        """Return the record as it was at one of its commits."""
        return self.trees.at(self.commit(i).id)

    def trees_before(self, i: int) -> list[Tree]:
        """Return the record on which a commit was made: of a merge, those it joined."""
        return [self.trees.at(parent) for parent in self.commit(i).parents]

    @cached_property
    def since(self) -> int | None:
        """Return the position of the commit that made the check; None: no commit."""
        if checker(self.tree(0)) != self.code:
            return None
        for i in range(len(self.places)):
            before = map(checker, self.trees_before(i))
            if checker(self.tree(i)) == self.code and self.code not in before:
                return i
        return None


def flags_of_entry(
    archive: Archive, files: Sequence[str], past: Past, touched: Mapping[str, Any]
) -> dict[str, tuple[Flag, ...]]:
    """
    Return the flags of tests whose entry is to be checked again.

    `touched` is the result of `places_touching`. Who entered a reading is what the
    commits of `enter` say.
    """
    found: dict[str, tuple[Flag, ...]] = {}
    for file in files:
        source, places = archive.entry(file).source, touched.get(file, ())
        if not checker(source.tree) or not places:
            continue
        doubts = entry_doubts(
            Checked(source, Trees(past, archive.shared, file), places)
        )
        flags = tuple(flag_of(known, doubt, source) for known, doubt in doubts)
        if flags:
            found[file] = flags
    return found


def flags_of_history(
    archive: Archive, files: Sequence[str], past: Past, touched: Mapping[str, Any]
) -> dict[str, tuple[Flag, ...]]:
    """Return the flags that only the history shows: of reviews and entry checks."""
    reviews = flags_of_edited(archive, files, past, touched)
    entries = flags_of_entry(archive, files, past, touched)
    both = {*reviews, *entries}
    return {file: (*reviews.get(file, ()), *entries.get(file, ())) for file in both}


def says_who_judged(tree: Tree) -> bool:
    """Return whether a record states a review or a check of its entry."""
    return bool(tree.get("reviewed") or checker(tree))


def checker(tree: Tree) -> str:
    """Return who checked the entry, as the record says; empty for nobody."""
    entered = tree.get("entered")
    return str(entered.get("checked_by") or "") if isinstance(entered, dict) else ""


def entry_doubts(checked: Checked) -> Iterator[tuple[Known, Doubt]]:
    """Yield why the check of an entry doesn't hold, with its flag."""
    id = checked.source.tree.get("id", "TEST")
    own = fields_named(entered_by_checker(checked))
    if own:
        yield (
            CHECKED_BY_TYPIST,
            Doubt(
                WHERE,
                f"{checked.code}, who entered {own}",
                "a person other than those who entered the readings",
                AGAIN.format(id),
            ),
        )
    if checked.since is None:
        return
    later = fields_named(
        readings_changed(checked.tree(checked.since), checked.source.tree)
    )
    if later:
        yield (
            EDITED_AFTER_CHECK,
            Doubt(
                WHERE,
                f"entered or changed since the entry check by {checked.code}: {later}",
                "a check after all readings were entered",
                AGAIN.format(id),
            ),
        )


def entered_by_checker(checked: Checked) -> Iterator[Change]:
    """Yield the readings that the checker entered, up to the check."""
    for i in range(checked.since or 0, len(checked.places)):
        if checked.commit(i).trailers.get("entered-by") == checked.code:
            before = checked.trees_before(i) or [{}]
            yield from readings_changed(before[0], checked.tree(i))


def readings_changed(before: Tree, after: Tree) -> Iterator[Change]:
    """Yield the changes of readings between two states of a record."""
    for change in record_changes(before, after, NO_ENTRY):
        if has_reading(change.old) or has_reading(change.new):
            yield change


def has_reading(value: Any) -> bool:
    """Return whether a value is a number, or has one inside."""
    if isinstance(value, dict):
        return any(map(has_reading, value.values()))
    if isinstance(value, list):
        return any(map(has_reading, value))
    return value is not None and bool(A_READING.fullmatch(str(value)))


def fields_named(found: Iterator[Change]) -> str:
    """Return the first fields of some changes in words, and how many more."""
    names = list(dict.fromkeys(spoken(field_path(one.field)) for one in found))
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return f"{'; '.join(names[:NAMED])}{more}" if names else ""
