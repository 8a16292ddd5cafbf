"""What is under way in a clone: a merge or the like, on which nothing is committed."""

from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.history.run import GitRefused, git
from buildsite.values import dataclass


@dataclass(frozen=True)
class UnderWay:
    """A command of git that is not finished: the file that says so, and its ends."""

    sign: str
    what: str
    finish: str
    undo: str


KNOWN = (
    UnderWay("MERGE_HEAD", "A merge", "git commit", "git merge --abort"),
    UnderWay(
        "CHERRY_PICK_HEAD",
        "A cherry-pick",
        "git cherry-pick --continue",
        "git cherry-pick --abort",
    ),
    UnderWay("REVERT_HEAD", "A revert", "git revert --continue", "git revert --abort"),
    UnderWay(
        "rebase-apply/applying",
        "The applying of patches (git am)",
        "git am --continue",
        "git am --abort",
    ),
    UnderWay("rebase-merge", "A rebase", "git rebase --continue", "git rebase --abort"),
    UnderWay("rebase-apply", "A rebase", "git rebase --continue", "git rebase --abort"),
    UnderWay("BISECT_LOG", "A bisect", "git bisect reset", "git bisect reset"),
)
"""In the order in which they are looked for: a rebase has picks of its own."""


def refuse_while_under_way(root: Path) -> None:
    """
    Refuse to commit in the middle of something else, or on no branch.

    Raises
    ------
    EnvironmentFault
        With what is under way, and how it is finished or undone.
    """
    signs = [word for one in KNOWN for word in ("--git-path", one.sign)]
    printed = git(root, "rev-parse", *signs).decode().splitlines()
    for one, path in zip(KNOWN, printed, strict=True):
        if (root / path).exists():
            ways = " or ".join(dict.fromkeys((f"`{one.finish}`", f"`{one.undo}`")))
            raise EnvironmentFault(
                f"{one.what} is under way in this clone: nothing is committed in "
                "between.",
                f"End it with {ways}, then run this again.",
            )
    if git(root, "ls-files", "--unmerged"):
        raise EnvironmentFault(
            "This clone has conflicts that nobody has settled: nothing is committed "
            "in between.",
            "`git status` lists them. Settle them, `git add` each file, then run this "
            "again.",
        )
    refuse_without_branch(root)


def refuse_without_branch(root: Path) -> None:
    """Refuse where HEAD is a commit and no branch: what is committed would get lost."""
    try:
        git(root, "symbolic-ref", "--quiet", "HEAD")
    except GitRefused:
        raise EnvironmentFault(
            "No branch is checked out here (detached HEAD): a commit would be on no "
            "branch, and get lost.",
            "Check out the branch that the laboratory works on (`git switch BRANCH`), "
            "then run this again.",
        ) from None
