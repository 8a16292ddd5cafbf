"""The published branch of a clone, compared with what it knows of its remotes."""

from collections.abc import Iterator, Sequence
from dataclasses import field
from pathlib import Path

from buildsite.history.run import git
from buildsite.history.walk import read_history
from buildsite.record.messages import counted
from buildsite.record.proof import Fault
from buildsite.values import dataclass
from buildsite.verifying.line import merged_line


@dataclass
class Remotes:
    """Faults of the remotes' branches, and remarks on how they differ from ours."""

    faults: list[Fault] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


def compare_remotes(root: Path, branch: str, head: str) -> Remotes:
    """
    Compare the published branch of a clone with that of each remote, as fetched.

    `head` is the commit checked out, which may be an earlier one of that branch.
    """
    found = Remotes()
    own = commit_of(root, f"refs/heads/{branch}")
    remotes = [*remote_branches(root, branch)]
    if not own and not remotes:
        found.remarks.append(
            f"no branch {branch!r} is in this clone or was fetched from a remote, "
            "though lab.yaml names it as the published one: only the commit checked "
            "out was verified"
        )
    if own and own != head:
        ahead, behind = apart(root, head, own)
        if not ahead:
            found.remarks.append(
                f"the commit checked out is {counted(behind, 'commit')} behind "
                f"{branch}, whose newer items were not verified: `git switch {branch}`"
            )
    for ref, tip in remotes:
        name = ref.removeprefix("refs/remotes/")
        found.faults += rewritten_faults(root, ref, name, tip)
        if own and own != tip:
            compare_tips(root, (branch, own), (name, tip), found)
    return found


def remote_branches(root: Path, branch: str) -> Iterator[tuple[str, str]]:
    """Yield the remote-tracking branches of this name, and their commits."""
    shape = "--format=%(refname) %(objectname)"
    printed = git(root, "for-each-ref", shape, f"refs/remotes/*/{branch}").decode()
    for line in printed.splitlines():
        ref, _, tip = line.rpartition(" ")
        yield ref, tip


def commit_of(root: Path, ref: str) -> str:
    """Return the commit of a branch; empty if there is none."""
    printed = git(root, "for-each-ref", "--format=%(objectname)", ref)
    return printed.decode().strip()


def compare_tips(
    root: Path, ours: tuple[str, str], theirs: tuple[str, str], found: Remotes
) -> None:
    """Add how two branches differ, and what was issued differently on both."""
    (branch, own), (name, tip) = ours, theirs
    ahead, behind = apart(root, own, tip)
    if ahead and behind:
        found.remarks.append(
            f"{branch} here and {name} have diverged: {counted(ahead, 'commit')} only "
            f"here, {counted(behind, 'commit')} only there. Merge what is there, or "
            "find out who rewrote it, before you rely on either"
        )
        judged = merged_line(
            root, read_history(root, own), read_history(root, tip), name
        )
        found.faults += [*judged.faults, *judged.line.faults()]
    elif behind:
        found.remarks.append(
            f"{branch} here is {counted(behind, 'commit')} behind {name}, which was "
            "not verified: `git pull --ff-only`, then verify again"
        )


def apart(root: Path, ours: str, theirs: str) -> tuple[int, int]:
    """Return how many commits only ours has, and only theirs."""
    printed = git(root, "rev-list", "--left-right", "--count", f"{ours}...{theirs}")
    ahead, behind = map(int, printed.split())
    return ahead, behind


def rewritten_faults(root: Path, ref: str, name: str, tip: str) -> Iterator[Fault]:
    """Yield the fault of a remote's branch that lost what was once fetched from it."""
    before = [one for one in tips_before(root, ref) if one != tip]
    ask = "".join(f"{one}\n" for one in still_there(root, before)) + f"^{tip}\n"
    gone = set(git(root, "rev-list", "--stdin", ask=ask.encode()).decode().split())
    for one in before:
        if one in gone:
            yield Fault(
                "",
                None,
                "records",
                one,
                f"{name} was rewritten: this commit, fetched from it before, is not in "
                f"it any more (it is at {tip})",
                "find out who rewrote it and restore the published history from this "
                "clone; `verify --against` the manifest published last tells what it "
                "must hold",
            )


def tips_before(root: Path, ref: str) -> list[str]:
    """
    Return the commits that a branch was at, as git's log of it has them.

    Each of its lines begins with the commit before and the one after; `git reflog`
    leaves out the first.
    """
    where = git(root, "rev-parse", "--git-path", f"logs/{ref}").decode().rstrip("\n")
    log = root / where
    lines = log.read_text("utf-8", "replace").splitlines() if log.is_file() else []
    found = [commit for line in lines for commit in line.split(" ", 2)[:2]]
    return [one for one in dict.fromkeys(found) if one.strip("0")]


def still_there(root: Path, commits: Sequence[str]) -> list[str]:
    """Return the commits that git still has: it forgets what no branch holds."""
    ask = "".join(f"{one}\n" for one in commits).encode()
    lines = git(root, "cat-file", "--batch-check", ask=ask).decode().splitlines()
    return [words[0] for line in lines if (words := line.split())[1] == "commit"]
