"""The states of the published branch, and a branch judged as if merged into it."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from buildsite.archive.signatures import published_tip
from buildsite.archive.signing import commits_brought
from buildsite.errors import EnvironmentFault
from buildsite.history.run import GitRefused, git
from buildsite.history.walk import History, read_history
from buildsite.record.issued import SUFFIX
from buildsite.record.proof import Fault, Line, Stage, follow, id_of
from buildsite.values import dataclass


@dataclass(frozen=True)
class JudgedLine:
    """How the chains grew, what no merge could join, and along which branch."""

    line: Line
    faults: tuple[Fault, ...]
    along: str


def commit_named(root: Path, name: str) -> str:
    """
    Return the commit that a name of git means; empty if it means none.

    A branch comes before a tag of its name, which git itself would prefer: who may push
    tags must not choose what a proposal is judged against.
    """
    for ref in (f"refs/remotes/{name}", f"refs/heads/{name}", name):
        try:
            found = git(root, "rev-parse", "--verify", "--quiet", f"{ref}^{{commit}}")
        except GitRefused:
            continue
        return found.decode().strip()
    return ""


def stages_of(history: History) -> Iterator[Stage]:
    """Every state of the first-parent line at which an issued file changed."""
    for commit in reversed(history.main):
        files = {
            touch.path: history.blobs[touch.new] if touch.new else None
            for touch in commit.touches
            if touch.path.endswith(SUFFIX)
        }
        if files:
            yield Stage(commit.id, files)


def whole_line(history: History) -> Line:
    """Follow the first-parent line, and what the branches that it merged issued."""
    line = follow(stages_of(history))
    add_merged_branches(line, history, ())
    return line


def add_merged_branches(
    line: Line, history: History, known: Iterable[str], at: str = ""
) -> None:
    """
    Compare what stood on merged branches with the chains.

    Parameters
    ----------
    line
        The chains as they stand after all merges.
    history
        What leads to them.
    known
        Commits that were looked at before.
    at
        The commit to name, where the branch is not merged yet.
    """
    seen = set(known)
    for commit in reversed(history.main):
        for one in commits_brought(history, commit, seen):
            for touch in one.touches if one is not commit or at else ():
                if not touch.path.endswith(SUFFIX) or not touch.new:
                    continue
                if touch.new != history.blob(commit.id, touch.path) or at:
                    data = history.blobs[touch.new]
                    line.add_branch(touch.path, data, at or commit.id)


def judge_line(root: Path, history: History, branch: str, onto: str) -> JudgedLine:
    """
    Follow the published branch, and then HEAD as if it were merged into it.

    Parameters
    ----------
    root, history
        The archive, and all that leads to HEAD.
    branch
        Name of the published branch, as the laboratory's procedures give it.
    onto
        What to judge HEAD against in its place; empty for the branch itself.

    Raises
    ------
    EnvironmentFault
        If git does not know what `onto` names.
    """
    tip = commit_named(root, onto or published_tip(root, branch))
    if not tip:
        raise EnvironmentFault(
            f"Git knows no commit {onto!r} to judge this one against.",
            f"Run `git fetch`, then name a branch such as origin/{branch}.",
        )
    along = onto or branch
    if any(commit.id == tip for commit in history.main):
        return JudgedLine(whole_line(history), (), along)
    theirs = read_history(root, tip)
    if not onto and any(commit.id == history.main[0].id for commit in theirs.main):
        return JudgedLine(whole_line(history), (), along)  # an earlier state of it
    return merged_line(root, history, theirs, along)


def merged_line(root: Path, ours: History, theirs: History, along: str) -> JudgedLine:
    """Follow their branch and add what a merge of ours would change."""
    line = whole_line(theirs)
    head, tip = ours.main[0].id, theirs.main[0].id
    try:
        base = git(root, "merge-base", head, tip).decode().strip()
    except GitRefused:
        base = ""
    faults = [] if base else [unrelated_fault(head, tip, along)]
    files: dict[str, bytes | None] = {}
    for path in sorted({*ours.paths, *theirs.paths}):
        if not path.endswith(SUFFIX):
            continue
        was = ours.blob(base, path) if base else ""
        mine, other = ours.blob(head, path), theirs.blob(tip, path)
        if mine in (was, other):
            continue
        if other != was:
            faults.append(grown_on_both_fault(path, line, head, along))
        files[path] = ours.blobs[mine] if mine else None
    if files:
        line.add(Stage(head, files))
    if not faults:
        add_merged_branches(line, ours, theirs.by_id, head)
    return JudgedLine(line, tuple(faults), along)


def unrelated_fault(head: str, tip: str, along: str) -> Fault:
    """Tell of a branch that shares no commit with the published one."""
    return Fault(
        "",
        None,
        "records",
        head,
        f"shares no commit with {along} at {tip}: the history was written anew",
        f"work on a branch that was made from {along}",
    )


def grown_on_both_fault(path: str, line: Line, head: str, along: str) -> Fault:
    """Tell of a chain that grew on both branches."""
    test = id_of(path)
    return Fault(
        test,
        max(len(line.stands.get(test, ())) - 1, 0),
        path,
        head,
        f"changed here and on {along} since the two parted: each has issued its own",
        f"begin a branch anew from {along}, bring the edits over without the issue "
        "(`git cherry-pick`), and issue again there",
    )
