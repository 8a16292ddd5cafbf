"""
What stands beside the records: kept reports and results, and how inputs once were.

A page of an issued test shows the state that was issued. Its inputs are named by their
digests, so they are looked for by content among all that git ever held at that path.
"""

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import field, replace
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.drift import reported
from buildsite.archive.identity import group_of, name_of
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import Spoken
from buildsite.record.canonical import digest
from buildsite.record.edits import Past
from buildsite.record.issued import (
    SUFFIX,
    Issued,
    Item,
    issued_name,
    item_digest,
    kept_name,
    pins_of,
)
from buildsite.values import dataclass

Together = Mapping[str, tuple[tuple[str, int], ...]]
"""Digest pair of a changed input → the tests, with revision, that it amended."""


def nothing(name: str) -> bytes:
    """Give nothing: this issued_files is empty."""
    raise KeyError(name)


@dataclass(frozen=True)
class IssuedFiles:
    """
    Kept files and the past.

    `kept` are the names of kept reports and results, `read` gives the bytes of one;
    `past` is None where a build goes without; `together` tells which tests one change
    of an input amended.
    """

    kept: frozenset[str] = frozenset()
    read: Callable[[str], bytes] = nothing
    past: Past | None = None
    together: Together = field(default_factory=dict)
    _places: dict[str, list[str]] = field(default_factory=dict)

    def sent(self, file: str, item: Item, suffix: str) -> bytes | None:
        """
        Give the kept report (html) or result (json) of an item, as it was issued.

        Whatever stands there now, a checkout may have changed its line ends: it is
        what the item names by digest, else what git once held and is, else nothing.
        """
        wanted = item.report if suffix == "html" else item.result
        name = kept_name(file, item.revision, suffix)
        data = self._kept(name)
        if wanted is None or (data is not None and digest(data) == wanted):
            return data if wanted else None
        return self.as_it_was(name, wanted)

    def result(self, file: str, revision: int) -> bytes | None:
        """Give the kept result of a revision, as issued."""
        return self._kept(kept_name(file, revision, "json"))

    def told(self, file: str, item: Item) -> Mapping[str, Any]:
        """What the kept result of a revision says; nothing if it isn't as issued."""
        data = self.sent(file, item, "json")
        if data is None:
            return {}
        said: Mapping[str, Any] = json.loads(data)
        return said

    def _kept(self, name: str) -> bytes | None:
        return self.read(name) if name in self.kept else None

    def as_it_was(self, path: str, wanted: str) -> bytes | None:
        """Give what stood at a path when its digest was that one."""
        if self.past is None:
            return None
        for commit in self._touched(self.past).get(path, ()):
            data = self.past.read(commit, path)
            if data is not None and digest(data) == wanted:
                return data
        return None

    def _touched(self, past: Past) -> Mapping[str, list[str]]:
        """Commits that wrote each path, newest first; looked up once a process."""
        if not self._places:
            for commit in past.commits:
                for touch in commit.touches:
                    if touch.new:
                        self._places.setdefault(touch.path, []).append(commit.id)
        return self._places


@dataclass(frozen=True)
class IssuedState:
    """
    Where an issued test stands.

    `outcome` is that of the inputs as issued: None where they can't be had, or where
    this program computes another result from them than was issued. `archive` is what it
    was computed in. `now` is that of the records as they stand.
    """

    file: str
    issued: Issued
    item: Item
    outcome: Outcome | None
    archive: Archive | None
    now: Outcome | None
    result: Mapping[str, Any]

    @property
    def moved(self) -> bool:
        """Whether the records no longer say what was issued."""
        return self.outcome is not self.now or self.outcome is None

    @property
    def method(self) -> Spoken:
        """The standard whose words are used; none where no record says it any more."""
        made = self.outcome if self.outcome is not None else self.now
        return made.case.method if made is not None else None

    @property
    def reports(self) -> tuple[Item, ...]:
        """Items that sent a result: neither assessments nor notices."""
        return tuple(
            item
            for item in self.issued.items
            if item.is_report and item.kind != "withdrawal"
        )


def public(issued: Issued) -> Issued:
    """Leave out who received a revision: that stays between the two."""
    items = [item.model_copy(update={"issued_to": ()}) for item in issued.items]
    return replace(issued, items=tuple(items))


def issued_state(
    archive: Archive, file: str, issued_files: IssuedFiles
) -> IssuedState | None:
    """
    Find where a test stands; None if no report of it was issued.

    Parameters
    ----------
    archive
        The records as they stand, with their chains.
    file
        The test's record.
    issued_files
        Kept files and the past.
    """
    issued, _ = archive.chain(file)
    item = issued.last_report if issued is not None else None
    if issued is None or item is None:
        return None
    then = archive_then(archive, file, item, issued_files)
    made = then.outcome(file) if then is not None else None
    return IssuedState(
        file,
        issued,
        item,
        made if made is None or as_issued(made, item) else None,
        then,
        archive.outcome(file),
        issued_files.told(file, item),
    )


def archive_then(
    archive: Archive, file: str, item: Item, issued_files: IssuedFiles
) -> Archive | None:
    """Give the archive of the inputs of an item: as it stands, where it is the same."""
    now = archive.outcome(file)
    if now is not None and now.used == item.used:
        return archive
    return archive_of(dict(inputs(archive, file, item, issued_files)), file, item)


def as_issued(made: Outcome, item: Item) -> bool:
    """Whether this program computes what was issued; a withdrawal states no result."""
    return item.kind == "withdrawal" or reported(made) == dict(item.results)


def inputs(
    archive: Archive, file: str, item: Item, issued_files: IssuedFiles
) -> Iterator[tuple[str, bytes]]:
    """Bytes of each input of an item that can still be had."""
    for path, wanted in item.inputs.items():
        if "#" in path:
            yield from item_input(archive, path, wanted, issued_files)
            continue
        here = archive.find(group_of(path), name_of(path)) == path
        now = archive.read_file(path) if here else None
        if now is not None and digest(now) == wanted:
            yield path, now
            continue
        then = issued_files.as_it_was(path, wanted)
        if then is not None:
            yield path, then
    chain = issued_name(file)
    if chain in archive.issued:
        yield chain, archive.read_file(chain)


def item_input(
    archive: Archive, name: str, wanted: str, issued_files: IssuedFiles
) -> Iterator[tuple[str, bytes]]:
    """What was issued of another test, and the result that was kept of it."""
    path, _, number = name.partition("#")
    now = archive.read_file(path) if path in archive.issued else b""
    if item_digest(now, number) != wanted:
        return
    yield path, now
    for test, revision in pins_of({name: wanted}).items():
        result = issued_files.result(test, revision)
        if result is not None:
            yield kept_name(test, revision, "json"), result


def archive_of(held: Mapping[str, bytes], file: str, item: Item) -> Archive | None:
    """Put together the inputs of an item, and nothing else; None if one is missing."""
    names = {path.partition("#")[0] for path in item.inputs}
    if file not in held or any(path not in held for path in names):
        return None
    return Archive(
        [path for path in item.inputs if "#" not in path],
        held.__getitem__,
        issued=sorted(name for name in names if name.endswith(SUFFIX)),
        pins=pins_of(item.inputs),
    )


def computed(held: Mapping[str, bytes], file: str, item: Item) -> Outcome | None:
    """Compute a test of the inputs of an item alone; None if one is missing."""
    archive = archive_of(held, file, item)
    return archive.outcome(file) if archive is not None else None
