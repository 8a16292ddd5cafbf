"""
One walk of git for the whole archive: every commit, what it touched, what it held.

Each commit's changes are listed against its first parent. Commits then fall into
chains: a chain follows first parents from its newest commit down to the commit it
forked from, which stands on another chain (the main line is the chain of the branch's
tip). The state of a path at any commit is its last change on the commit's chain up to
there, else its state at the fork: no tree is ever listed.
"""

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.history.blobs import Blobs
from buildsite.history.run import git
from buildsite.record.edits import Commit, Touch

FORMAT = "%x01%H%x00%P%x00%cI%x00%cE%x00%aE%x00%B%x02"
LOG = (
    "log",
    "--topo-order",
    "--full-history",
    "--diff-merges=first-parent",
    "--raw",
    "-z",
    "--no-renames",
    "--no-abbrev",
    "--no-ext-diff",
    "--no-show-signature",
    "--encoding=UTF-8",
    f"--format={FORMAT}",
)
TRAILER = ("entered-by", "reason", "issued", "authorized-by", "reviewed-by")
"""Trailers that mean something here; others stay in the message."""


@dataclass(frozen=True)
class History:
    """
    Commits of a branch, newest first, and what any of them held.

    `main` is the first-parent line from the tip down, newest first.
    """

    root: Path
    commits: tuple[Commit, ...]
    blobs: Blobs

    @cached_property
    def by_id(self) -> Mapping[str, Commit]:
        """Commits by their id."""
        return {commit.id: commit for commit in self.commits}

    @cached_property
    def _places(self) -> Mapping[str, tuple[int, int]]:
        """Chain and place of each commit; place 0 is a chain's oldest."""
        places: dict[str, tuple[int, int]] = {}
        for commit in self.commits:
            if commit.id in places:
                continue
            line = list(self._down(commit, places))
            chain = len(self._forks)
            self._forks.append(line[-1].parents[0] if line[-1].parents else "")
            for place, one in enumerate(reversed(line)):
                places[one.id] = (chain, place)
        return places

    @cached_property
    def _forks(self) -> list[str]:
        """Of each chain, the commit that its oldest stands on; empty at a root."""
        return []

    def _down(
        self, start: Commit, known: Mapping[str, tuple[int, int]]
    ) -> Iterator[Commit]:
        """A commit and its first parents, until one that already has a place."""
        commit: Commit | None = start
        while commit is not None and commit.id not in known:
            yield commit
            commit = self.by_id.get(commit.parents[0]) if commit.parents else None

    @cached_property
    def _changes(self) -> Mapping[tuple[int, str], tuple[list[int], list[str]]]:
        """Of each chain and path: places where it changed, and the blobs then."""
        found: dict[tuple[int, str], list[tuple[int, str]]] = {}
        for commit in self.commits:
            chain, place = self._places[commit.id]
            for touch in commit.touches:
                found.setdefault((chain, touch.path), []).append((place, touch.new))
        changes = {}
        for key, rows in found.items():
            rows.sort()
            changes[key] = ([place for place, _ in rows], [blob for _, blob in rows])
        return changes

    def blob(self, commit: str, path: str) -> str:
        """Name of the blob that a path held at a commit; empty if it was not there."""
        while commit:
            chain, place = self._places[commit]
            places, blobs = self._changes.get((chain, path), ([], []))
            last = bisect_right(places, place)
            if last:
                return blobs[last - 1]
            commit = self._forks[chain]
        return ""

    def read(self, commit: str, path: str) -> bytes | None:
        """Bytes that a path held at a commit; None if it was not there."""
        blob = self.blob(commit, path)
        return self.blobs[blob] if blob else None

    def names(self, commit: str) -> list[str]:
        """Every path that was there at a commit, sorted."""
        return sorted(path for path in self.paths if self.blob(commit, path))

    @cached_property
    def paths(self) -> tuple[str, ...]:
        """Every path that any commit touched."""
        return tuple(sorted({t.path for c in self.commits for t in c.touches}))

    @cached_property
    def main(self) -> tuple[Commit, ...]:
        """The first-parent line, newest first."""
        return tuple(self._down(self.commits[0], {})) if self.commits else ()

    def touching(self, paths: Sequence[str]) -> list[Commit]:
        """Commits that changed any of these paths, oldest first, as git orders them."""
        wanted = set(paths)
        return [
            commit
            for commit in reversed(self.commits)
            if any(t.path in wanted and t.inside for t in commit.touches)
        ]


def read_history(root: Path, ref: str = "HEAD") -> History:
    """
    Read every commit that leads to `ref`, in one walk.

    Raises
    ------
    EnvironmentFault
        If this is no whole clone: shallow, partial, grafted, or with replaced commits.
    """
    refuse_half(root)
    text = git(root, *LOG, ref, "--").decode("utf-8", errors="surrogateescape")
    prefix = git(root, "rev-parse", "--show-prefix").decode().strip()
    commits = tuple(parsed(text, prefix))
    by_id = {commit.id: commit for commit in commits}
    history = History(root, commits, Blobs(root))
    if any(len(commit.parents) > 1 for commit in commits):
        commits = tuple(
            with_origin(history, commit, by_id) if len(commit.parents) > 1 else commit
            for commit in commits
        )
        history = replace(history, commits=commits)
    return history


def with_origin(history: History, merge: Commit, by_id: Mapping[str, Commit]) -> Commit:
    """Tell of a merge's changes which came from a parent and which were made in it."""
    touches = tuple(
        replace(
            touch,
            inside=all(
                history.blob(parent, touch.path) != touch.new
                for parent in merge.parents[1:]
                if parent in by_id
            ),
        )
        for touch in merge.touches
    )
    return replace(merge, touches=touches)


def parsed(text: str, prefix: str) -> Iterator[Commit]:
    """Read what git printed: a head a commit, then its raw rows."""
    for piece in text.split("\x01")[1:]:
        head, _, rows = piece.partition("\x02")
        id, parents, when, email, author, body = head.split("\0", 5)
        message, trailers = split_trailers(body.strip("\n"))
        yield Commit(
            id=id,
            parents=tuple(parents.split()),
            when=when,
            email=email,
            author_email=author,
            message=message,
            trailers=trailers,
            touches=tuple(touches(rows, prefix)),
        )


def touches(rows: str, prefix: str) -> Iterator[Touch]:
    """Read raw rows: a colon, modes, blobs and a letter, then the path."""
    parts = rows.lstrip("\0\n").split("\0")
    for about, path in zip(parts[::2], parts[1::2], strict=False):
        words = about.lstrip("\n").split()
        if len(words) < 5 or not path.startswith(f"{prefix}records/"):
            continue
        old, new = (name if name.strip("0") else "" for name in words[2:4])
        yield Touch(path.removeprefix(prefix), old, new)


def split_trailers(body: str) -> tuple[str, dict[str, str]]:
    r"""
    Part a message from the trailers that mean something here.

    >>> split_trailers("Read point 3 again\n\nEntered-by: T07\nReason: misread")
    ('Read point 3 again', {'entered-by': 'T07', 'reason': 'misread'})
    """
    lines = body.split("\n")
    trailers: dict[str, str] = {}
    while lines:
        name, colon, value = lines[-1].partition(": ")
        if not lines[-1].strip():
            lines.pop()
        elif colon and name.lower() in TRAILER:
            trailers.setdefault(name.lower(), value.strip())
            lines.pop()
        else:
            break
    return "\n".join(lines), dict(reversed(trailers.items()))


def refuse_half(root: Path) -> None:
    """
    Refuse a clone that does not hold the whole truth.

    Raises
    ------
    EnvironmentFault
        With the command that mends it.
    """
    if git(root, "rev-parse", "--is-shallow-repository").strip() == b"true":
        raise EnvironmentFault(
            "This clone is shallow: edits would go missing without a word.",
            "Run `git fetch --unshallow`; in CI, check out with fetch-depth: 0.",
        )
    if git(root, "for-each-ref", "refs/replace/").strip():
        raise EnvironmentFault(
            "This clone replaces commits by others (refs/replace).",
            "Run `git replace --list`, then `git replace -d` with each of them.",
        )
    folder = root / git(root, "rev-parse", "--git-common-dir").decode().strip()
    if (folder / "info" / "grafts").exists():
        raise EnvironmentFault(
            "This clone grafts commits onto others (info/grafts).",
            f"Delete {folder / 'info' / 'grafts'}.",
        )
    settings = git(root, "config", "--list", "-z").decode(errors="replace").split("\0")
    if any(PROMISOR.match(row) for row in settings):
        raise EnvironmentFault(
            "This clone is partial: some files are not here.",
            "Clone again without --filter.",
        )


PROMISOR = re.compile(r"(remote\..*\.promisor\ntrue|extensions\.partialclone\n)")
