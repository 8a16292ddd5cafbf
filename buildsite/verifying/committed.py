"""Whether the archive is what the repository holds: nothing is verified elsewhere."""

from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.files import list_archive
from buildsite.history.clone_setup import clone_top
from buildsite.history.run import GitRefused, git
from buildsite.history.walk import History
from buildsite.record.messages import counted, some_of
from buildsite.record.places import LAB
from buildsite.record.proof import Fault

NAMED = 3
"""Number of files named in one sentence."""


def refuse_other_repository(here: Path, root: Path) -> None:
    """Refuse an archive found above the repository that one stands in."""
    own, theirs = clone_top(here), clone_top(root)
    if own is None or own == theirs or not own.is_relative_to(root.resolve()):
        return
    raise EnvironmentFault(
        f"The repository {own} has no {LAB}; the archive above it, {root}, is another "
        "repository. Nothing was verified.",
        f"To verify that one, run it with `--root {root}`; if the records of this one "
        "are missing, check out its published branch or clone it again.",
    )


def refuse_uncommitted(root: Path, history: History) -> None:
    """Refuse an archive that is not in the last commit of the repository found."""
    head = history.main[0].id if history.main else ""
    if head and history.blob(head, LAB):
        return
    top = clone_top(root)
    where = "this repository" if top == root.resolve() else f"the repository {top}"
    if not head:
        cause = f"{where[0].upper()}{where[1:]} has no commit yet"
    else:
        cause = f"The last commit of {where}, {head}, has no {LAB} for {root}"
    raise EnvironmentFault(
        f"{cause}{ignored_by(root, LAB)}. Nothing was verified.",
        "Commit the archive first; if it has a repository of its own, its .git folder "
        "is missing: clone it again.",
    )


def unreadable_laboratory(history: History) -> Fault:
    """Return the fault of a laboratory's record from which nothing can be taken."""
    touching = history.touching([LAB])
    return Fault(
        "",
        None,
        LAB,
        touching[-1].id if touching else history.main[0].id,
        "can't be read as the laboratory's record: the published branch, authorities "
        "and keys are unknown",
        f"`buildsite check {LAB}` says what is wrong; correct it and commit",
    )


def uncommitted_items(root: Path, history: History, items: int) -> list[str]:
    """
    Return a remark on issued files here that are not as committed.

    Raises
    ------
    EnvironmentFault
        If no item at all is committed, though there are such files.
    """
    head = history.main[0].id
    listing = list_archive(root)
    there = [
        name
        for name in listing.issued
        if listing.read(name) != history.read(head, name)
    ]
    if not there:
        return []
    what = (
        f"{counted(len(there), 'issued file')} in this folder not committed and not "
        f"verified: {some_of(there, NAMED)}{ignored_by(root, there[0])}"
    )
    if items:
        return [what]
    raise EnvironmentFault(
        f"Nothing was verified: no issued item is committed. {what}.",
        "Commit them with their records and kept files, or go to the clone in which "
        "they are committed.",
    )


def ignored_by(root: Path, name: str) -> str:
    """Return which line makes git ignore a file; empty if none does."""
    try:
        printed = git(root, "check-ignore", "--verbose", "--no-index", "--", name)
    except GitRefused:  # git's way to say that it ignores nothing
        return ""
    source = printed.decode(errors="replace").partition("\t")[0]
    file, line, pattern = source.rsplit(":", 2)
    return f" (git ignores it: {pattern!r} in line {line} of {file})"
