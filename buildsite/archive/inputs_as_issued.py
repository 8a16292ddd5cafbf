"""
The inputs of an issued item, found by their digests among all that git ever held.

An item names each input with its digest: the path of a record, or ``FILE#N`` for item N
of what was issued of another test (the digest is then that of the whole item). So no
commit need be named, and a path may have moved on since.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property

from buildsite.archive.archive import Archive
from buildsite.archive.records import Shared
from buildsite.kinds.outcome import Outcome
from buildsite.record.canonical import digest
from buildsite.record.commits import Past
from buildsite.record.issued import (
    SUFFIX,
    Item,
    issued_name,
    item_digest,
    kept_name,
    pins_of,
    read_issued,
)

Present = Callable[[str], bytes | None]
"""What stands at a path now; None where nothing does, or it is not looked at."""


def nothing(path: str) -> bytes | None:
    """Stand in for a present that is not looked at."""
    return None


class Contents:
    """Everything that a path holds, or ever held, found by its digest."""

    def __init__(self, past: Past | None, present: Present = nothing) -> None:
        self.past = past
        self.present = present
        self._digests: dict[tuple[str, str], str] = {}

    @cached_property
    def _held(self) -> Mapping[str, Mapping[str, str]]:
        """Path → each blob that it ever held, the latest first, and a commit of it."""
        found: dict[str, dict[str, str]] = {}
        for commit in self.past.commits if self.past is not None else ():
            for touch in commit.touches:
                if touch.new:
                    found.setdefault(touch.path, {}).setdefault(touch.new, commit.id)
        return found

    def _digest(self, commit: str, path: str, blob: str, number: str) -> str:
        """Digest of what a path held, or of one item in it; empty for no such item."""
        if (blob, number) not in self._digests:
            data = self.past.read(commit, path) if self.past is not None else None
            self._digests[blob, number] = digest_of(data or b"", number)
        return self._digests[blob, number]

    def find(self, name: str, wanted: str) -> bytes | None:
        """Return the bytes of an input: as they stand, else as git held them."""
        path, _, number = name.partition("#")
        now = self.present(path)
        if now is not None and digest_of(now, number) == wanted:
            return now
        return self.earlier(name, wanted)

    def earlier(self, name: str, wanted: str) -> bytes | None:
        """Return the bytes of an input as git once held them, the latest first."""
        path, _, number = name.partition("#")
        for blob, commit in self._held.get(path, {}).items():
            if self._digest(commit, path, blob, number) == wanted:
                return self.past.read(commit, path) if self.past is not None else None
        return None

    def lost(self, inputs: Mapping[str, str]) -> Iterator[str]:
        """Inputs that no reachable commit ever held, each by itself."""
        for name, wanted in inputs.items():
            path, _, number = name.partition("#")
            held = self._held.get(path, {}).items()
            if all(self._digest(at, path, blob, number) != wanted for blob, at in held):
                yield name

    def holds(self, commit: str, inputs: Mapping[str, str]) -> bool:
        """Whether a commit's tree holds all of the inputs."""
        for name, wanted in inputs.items():
            path, _, number = name.partition("#")
            blob = self.past.blob(commit, path) if self.past is not None else ""
            if not blob or self._digest(commit, path, blob, number) != wanted:
                return False
        return True

    def commit(self, inputs: Mapping[str, str], first: Iterable[str]) -> str:
        """
        Find a commit that holds all of the inputs; empty if none does, or no input is.

        Parameters
        ----------
        inputs
            Digest of each, by path.
        first
            Commits to look at before all others.
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
    """Return what gives the files of an archive, kept reports and results included."""
    there = frozenset((*archive.names, *archive.issued, *(archive.kept or ())))
    return lambda path: archive.read_file(path) if path in there else None


def digest_of(data: bytes, number: str) -> str:
    """Digest of a whole file, or of one item in it."""
    return item_digest(data, number) if number else digest(data)


def found_inputs(contents: Contents, item: Item) -> dict[str, bytes]:
    """Bytes, by path, of all inputs of an item that can still be had."""
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
    """Names and digests of the results kept of those items that are inputs."""
    for test, revision in pins_of(item.inputs).items():
        name = issued_name(test)
        issued, _ = read_issued(name, found[name]) if name in found else (None, ())
        wanted = issued.items[revision].result if issued is not None else None
        if wanted is not None:  # a withdrawal keeps no result
            yield kept_name(test, revision, "json"), wanted


def archive_of(
    found: Mapping[str, bytes], item: Item, shared: Shared | None = None
) -> Archive | None:
    """Put the inputs of an item together, and nothing else; None if one is missing."""
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
    Compute what the inputs of an item come to today.

    None where an input, or a result kept of one, is not to be had, or the record can't
    be read.

    Parameters
    ----------
    contents
        Where the inputs are looked for.
    item
        One of the items issued of a test.
    file
        The test's record; its folder may have been another then.
    shared
        What was read and computed already.
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
