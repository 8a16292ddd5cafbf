"""The inputs of an issued item, looked for in git: where they stood together."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property

from buildsite.history import History
from buildsite.record.canonical import digest
from buildsite.record.issued import item_digest


class Search:
    """
    Finds the commit whose tree holds contents of certain digests at certain paths.

    An input may also be an item of another test, written ``FILE.issued.yaml#N``: its
    digest is that of the whole item.
    """

    def __init__(self, history: History) -> None:
        self.history = history
        self._sums: dict[tuple[str, str], str] = {}

    def sum_of(self, blob: str, number: str) -> str:
        """Digest of a blob, or of one item in it; empty where it has no such item."""
        if (blob, number) not in self._sums:
            data = self.history.blobs[blob]
            self._sums[blob, number] = (
                item_digest(data, number) if number else digest(data)
            )
        return self._sums[blob, number]

    def holds(self, commit: str, inputs: Mapping[str, str]) -> bool:
        """Whether a commit's tree holds all of the inputs."""
        for name, wanted in inputs.items():
            path, _, number = name.partition("#")
            blob = self.history.blob(commit, path)
            if not blob or self.sum_of(blob, number) != wanted:
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
        if not inputs:
            return ""
        for commit in first:
            if commit in self.history.by_id and self.holds(commit, inputs):
                return commit
        if next(self.lost(inputs), None) is not None:
            return ""
        everywhere = (commit.id for commit in self.history.commits)
        return next((id for id in everywhere if self.holds(id, inputs)), "")

    def lost(self, inputs: Mapping[str, str]) -> Iterator[str]:
        """Inputs that no reachable commit ever held, each by itself."""
        for name, wanted in inputs.items():
            path, _, number = name.partition("#")
            blobs = self._blobs.get(path, ())
            if all(self.sum_of(blob, number) != wanted for blob in blobs):
                yield name

    def last_touch(self, path: str) -> str:
        """Give the latest commit that changed a path; HEAD where none did."""
        for commit in self.history.commits:
            if any(touch.path == path for touch in commit.touches):
                return commit.id
        return self.history.main[0].id

    @cached_property
    def _blobs(self) -> dict[str, dict[str, None]]:
        """Every blob that each path ever held, in the order met."""
        found: dict[str, dict[str, None]] = {}
        for commit in self.history.commits:
            for touch in commit.touches:
                if touch.new:
                    found.setdefault(touch.path, {})[touch.new] = None
        return found
