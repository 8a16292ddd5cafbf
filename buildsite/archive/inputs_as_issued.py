"""
The inputs of an issued item, found by their digests in the git history.

An item names each input with its digest: the path of a record, or ``FILE#N`` for item N
issued of another test (the digest is then that of the whole item). So no commit is
named, and the file may have changed since.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property

from buildsite.archive.archive import Archive
from buildsite.archive.entries import Shared
from buildsite.asked import ask, unasked
from buildsite.kinds.outcome import Outcome
from buildsite.record.canonical import digest
from buildsite.record.commits import Past
from buildsite.record.issued import (
    Item,
    issued_name,
    item_digest,
    kept_name,
    pins_of,
    read_issued,
)
from buildsite.record.places import SUFFIX

Present = Callable[[str], bytes | None]
"""Path → its bytes now; None if there is no such file, or none is to be read."""


def nothing(path: str) -> bytes | None:
    """Return None: no present files are read."""
    return None


class Contents:
    """Every present and past content of a path, found by its digest."""

    def __init__(self, past: Past | None, present: Present = nothing) -> None:
        self.past = past
        self.present = present
        self._digests: dict[tuple[str, str], str] = {}

    def _blobs(self, path: str) -> Mapping[str, str]:
        """Return each blob that a path ever had, the latest first, with a commit."""
        ask("held", path)
        return self._held.get(path, {})

    @cached_property
    def _held(self) -> Mapping[str, Mapping[str, str]]:
        """Path → each blob it ever had, the latest first, with a commit."""
        found: dict[str, dict[str, str]] = {}
        for commit in self.past.commits if self.past is not None else ():
            for touch in commit.touches:
                if touch.new:
                    found.setdefault(touch.path, {}).setdefault(touch.new, commit.id)
        return found

    def _digest(self, commit: str, path: str, blob: str, number: str) -> str:
        """Return the digest of a past content, or of one item in it; empty if none."""
        if (blob, number) not in self._digests:
            data = self.past.read(commit, path) if self.past is not None else None
            self._digests[blob, number] = digest_of(data or b"", number)
        return self._digests[blob, number]

    def find(self, name: str, wanted: str) -> bytes | None:
        """Return the bytes of an input: from the present file, else from git."""
        path, _, number = name.partition("#")
        now = self.present(path)
        if now is not None and digest_of(now, number) == wanted:
            return now
        return self.earlier(name, wanted)

    def earlier(self, name: str, wanted: str) -> bytes | None:
        """Return the bytes of an input from git, the latest first."""
        path, _, number = name.partition("#")
        for blob, commit in self._blobs(path).items():
            if self._digest(commit, path, blob, number) == wanted:
                return self.past.read(commit, path) if self.past is not None else None
        return None

    def lost(self, inputs: Mapping[str, str]) -> Iterator[str]:
        """Return the inputs that no reachable commit has."""
        for name, wanted in inputs.items():
            path, _, number = name.partition("#")
            held = self._blobs(path).items()
            if all(self._digest(at, path, blob, number) != wanted for blob, at in held):
                yield name

    def holds(self, commit: str, inputs: Mapping[str, str]) -> bool:
        """Whether a commit has all of the inputs."""
        for name, wanted in inputs.items():
            path, _, number = name.partition("#")
            blob = self.past.blob(commit, path) if self.past is not None else ""
            if not blob or self._digest(commit, path, blob, number) != wanted:
                return False
        return True

    def commit(self, inputs: Mapping[str, str], first: Iterable[str]) -> str:
        """
        Return a commit that has all of the inputs; empty if none has, or no input is.

        `first` are commits to look at before all others.
        """
        if not inputs or self.past is None:
            return ""
        for commit in first:
            if commit in self.past.by_id and self.holds(commit, inputs):
                return commit
        if next(self.lost(inputs), None) is not None:
            return ""
        everywhere = (commit.id for commit in self.past.commits)
        return next((id for id in everywhere if self.holds(id, inputs)), "")


def present_in(archive: Archive) -> Present:
    """Return a reader of the files of an archive, with kept reports and results."""
    kept = archive.kept if archive.kept is not None else ()
    lists = (archive.names, archive.issued, kept)
    there = frozenset(name for names in lists for name in unasked(names))

    def present(path: str) -> bytes | None:
        ask("file", path)
        return archive.read_file(path) if path in there else None

    return present


def digest_of(data: bytes, number: str) -> str:
    """Return the digest of a whole file, or of one item in it."""
    return item_digest(data, number) if number else digest(data)


def found_inputs(contents: Contents, item: Item) -> dict[str, bytes]:
    """Return the bytes, by path, of all inputs of an item still available."""
    found: dict[str, bytes] = {}
    for name, wanted in item.inputs.items():
        data = contents.find(name, wanted)
        if data is not None:
            found[name.partition("#")[0]] = data
    for name, wanted in kept_results(found, item):
        data = contents.find(name, wanted)
        if data is not None:
            found[name] = data
    return found


def kept_results(found: Mapping[str, bytes], item: Item) -> Iterator[tuple[str, str]]:
    """Return the names and digests of the kept results of items that are inputs."""
    for test, revision in pins_of(item.inputs).items():
        name = issued_name(test)
        issued, _ = read_issued(name, found[name]) if name in found else (None, ())
        wanted = issued.items[revision].result if issued is not None else None
        if wanted is not None:  # a withdrawal keeps no result
            yield kept_name(test, revision, "json"), wanted


def archive_of(
    found: Mapping[str, bytes], item: Item, shared: Shared | None = None
) -> Archive | None:
    """Return an archive of the inputs of an item; None if one is missing."""
    names = sorted({name.partition("#")[0] for name in item.inputs})
    if any(name not in found for name in names):
        return None
    return Archive(
        [name for name in names if not name.endswith(SUFFIX)],
        found.__getitem__,
        issued=[name for name in names if name.endswith(SUFFIX)],
        pins=pins_of(item.inputs),
        shared=shared or Shared(),
    )


def computed_as_issued(
    contents: Contents, item: Item, file: str, shared: Shared | None = None
) -> Outcome | None:
    """
    Return the outcome computed now from the inputs of an item.

    None if an input, or a kept result of one, is not available, or the record can't be
    read. The record may have been in another folder than `file`.
    """
    found = found_inputs(contents, item)
    archive = archive_of(found, item, shared)
    if archive is None or any(
        name not in found for name, _ in kept_results(found, item)
    ):
        return None
    own = [
        name for name in archive.names if name.endswith(f"/{file.rpartition('/')[2]}")
    ]
    return archive.outcome(own[0]) if len(own) == 1 else None
