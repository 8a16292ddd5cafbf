"""Completeness of a clone; an incomplete one is refused, with the remedy."""

import re
from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.history.run import GitRefused, commit_at, git
from buildsite.values import dataclass

PROMISOR = re.compile(
    r"(remote\..*\.(promisor|partialclonefilter)|extensions\.partialclone)\n", re.DOTALL
)


@dataclass(frozen=True)
class Clone:
    """The archive's folder in its repository, and a commit."""

    prefix: str
    tip: str  # empty if nothing was committed yet


def whole_clone(root: Path, ref: str) -> Clone:
    """Return a complete clone and the commit of a revision; refuse any other."""
    options = ("--is-shallow-repository", "--git-common-dir", "--show-prefix")
    try:
        printed = git(root, "rev-parse", *options).decode(errors="surrogateescape")
    except GitRefused as refused:
        if refused.distrusts:
            raise
        raise EnvironmentFault(
            f"{root} is not a git clone: the history of its records is missing.",
            "Clone the archive with git; or run `build --without-history`, which "
            "builds the present state and states that on every page.",
        ) from None
    shallow, common, prefix = printed.split("\n")[:3]
    refuse_half(root, root / common, shallow=shallow == "true")
    return Clone(prefix, tip_of(root, ref))


def tip_of(root: Path, ref: str) -> str:
    """Return the commit of a revision; empty if HEAD has no commit yet."""
    commit = commit_at(root, ref)
    if commit or ref == "HEAD":
        return commit
    raise EnvironmentFault(
        f"No revision {ref!r} in this clone.",
        "Give a commit, a tag or a branch; `git fetch` gets those of others.",
    )


def refuse_half(root: Path, folder: Path, *, shallow: bool) -> None:
    """Refuse an incomplete clone."""
    if shallow:
        raise EnvironmentFault(
            "This clone is shallow: edits would be missing unnoticed.",
            "Run `git fetch --unshallow`; in CI, check out with fetch-depth: 0.",
        )
    if git(root, "for-each-ref", "refs/replace/").strip():
        raise EnvironmentFault(
            "This clone replaces some commits (refs/replace).",
            "Run `git replace --list`, then `git replace -d` with each of them.",
        )
    if (folder / "info" / "grafts").exists():
        raise EnvironmentFault(
            "This clone has grafted commits (info/grafts).",
            f"Delete {folder / 'info' / 'grafts'}.",
        )
    settings = git(root, "config", "--list", "-z").decode(errors="replace").split("\0")
    if any(PROMISOR.match(row) for row in settings):
        raise EnvironmentFault(
            "This clone is partial: some files are missing.",
            "Clone again without --filter.",
        )
