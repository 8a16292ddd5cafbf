"""Whether a clone holds the whole truth; refused with the command that mends it."""

import re
from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.history.run import GitRefused, git
from buildsite.values import dataclass

PROMISOR = re.compile(
    r"(remote\..*\.(promisor|partialclonefilter)|extensions\.partialclone)\n", re.DOTALL
)


@dataclass(frozen=True)
class Clone:
    """Where the archive stands in its repository, and which commit is asked about."""

    prefix: str
    tip: str  # empty where nothing was committed yet


def whole_clone(root: Path, ref: str) -> Clone:
    """
    Make sure that a folder is a whole clone, and find a commit in it.

    Raises
    ------
    EnvironmentFault
        If it is none, or is shallow, partial, grafted, or has replaced commits; or if
        git knows no such revision.
    """
    asked = ("--is-shallow-repository", "--git-common-dir", "--show-prefix")
    try:
        printed = git(root, "rev-parse", *asked).decode(errors="surrogateescape")
    except GitRefused as refused:
        if refused.distrusts:
            raise
        raise EnvironmentFault(
            f"{root} is no git clone: the past of its records is not here.",
            "Clone the archive with git; or run `build --without-history`, which "
            "builds the present state and says so on every page.",
        ) from None
    shallow, common, prefix = printed.split("\n")[:3]
    refuse_half(root, root / common, shallow=shallow == "true")
    return Clone(prefix, tip_of(root, ref))


def tip_of(root: Path, ref: str) -> str:
    """Find the commit of a revision; empty where HEAD has no commit yet."""
    try:
        found = git(root, "rev-parse", "--verify", "--quiet", f"{ref}^{{commit}}")
    except GitRefused:
        if ref == "HEAD":
            return ""
        raise EnvironmentFault(
            f"Git knows no revision {ref!r}.",
            "Write a commit, a tag or a branch; `git fetch` brings what others have.",
        ) from None
    return found.decode().strip()


def refuse_half(root: Path, folder: Path, *, shallow: bool) -> None:
    """
    Refuse a clone that does not hold the whole truth.

    Raises
    ------
    EnvironmentFault
        With the command that mends it.
    """
    if shallow:
        raise EnvironmentFault(
            "This clone is shallow: edits would go missing without a word.",
            "Run `git fetch --unshallow`; in CI, check out with fetch-depth: 0.",
        )
    if git(root, "for-each-ref", "refs/replace/").strip():
        raise EnvironmentFault(
            "This clone replaces commits by others (refs/replace).",
            "Run `git replace --list`, then `git replace -d` with each of them.",
        )
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
