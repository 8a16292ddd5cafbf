"""The chains along the published branch, and those of a branch as if merged into it."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from buildsite.archive.signatures import published_tip
from buildsite.archive.signing import commits_brought
from buildsite.errors import EnvironmentFault
from buildsite.history.run import GitRefused, commit_at, git
from buildsite.history.walk import History, read_history
from buildsite.record.places import SUFFIX
from buildsite.record.proof import Fault, Line, Stage, follow, id_of
from buildsite.values import dataclass


@dataclass(frozen=True)
class JudgedLine:
    """
    The chains, the faults of a merge, and the branch followed.

    `theirs` is the published branch that HEAD is yet to be merged into, and `base`
    where the two separated.
    """

    line: Line
    faults: tuple[Fault, ...]
    along: str
    theirs: History | None = None
    base: str = ""


def commit_named(root: Path, name: str) -> str:
    """
    Return the commit of a name; empty if there is none.

    A branch comes before a tag of the same name, which git itself would prefer: whoever
    may push tags must not choose what a proposal is compared with.
    """
    for ref in (f"refs/remotes/{name}", f"refs/heads/{name}", name):
        commit = commit_at(root, ref)
        if commit:
            return commit
    return ""


def stages_of(history: History) -> Iterator[Stage]:
    """Yield every commit of the first-parent line that changed an issued file."""
    for commit in reversed(history.main):
        files = {
            touch.path: history.blobs[touch.new] if touch.new else None
            for touch in commit.touches
            if touch.path.endswith(SUFFIX)
        }
        if files:
            yield Stage(commit.id, files)


def whole_line(history: History) -> Line:
    """Return the chains of the first-parent line and of the branches it merged."""
    line = follow(stages_of(history))
    add_merged_branches(line, history, ())
    return line


def add_merged_branches(
    line: Line, history: History, known: Iterable[str], at: str = ""
) -> None:
    """
    Compare what was issued on merged branches with the chains after all merges.

    `known` are commits already compared; `at` is the commit to name for a branch that
    is not merged yet.
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
    """Return the chains of the published branch with HEAD as if merged into it."""
    tip = commit_named(root, onto) if onto else published_tip(root, branch)
    if tip == "HEAD":
        tip = history.main[0].id
    if not tip:
        raise EnvironmentFault(
            f"No commit {onto!r} in this clone to compare with.",
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
    """Return the chains of their branch with the changes of a merge of ours."""
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
        was = theirs.blob(base, path) if base else ""
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
    return JudgedLine(line, tuple(faults), along, theirs, base)


def unrelated_fault(head: str, tip: str, along: str) -> Fault:
    """Return the fault of a branch that shares no commit with the published one."""
    return Fault(
        "",
        None,
        "records",
        head,
        f"shares no commit with {along} at {tip}: the history was rewritten",
        f"work on a branch started from {along}",
    )


def grown_on_both_fault(path: str, line: Line, head: str, along: str) -> Fault:
    """Return the fault of a chain with items issued on both branches."""
    test = id_of(path)
    return Fault(
        test,
        max(len(line.stands.get(test, ())) - 1, 0),
        path,
        head,
        f"issued both here and on {along} since the branches separated",
        f"start a new branch from {along}, copy the edits to it without the issue "
        "(`git cherry-pick`), and issue again there",
    )
