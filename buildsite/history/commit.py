"""Commits of some files and nothing else."""

import hashlib
import os
import subprocess
from collections.abc import Callable, Collection, Mapping, Sequence
from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.files.writing import Write, restore_files, write_files, write_whole
from buildsite.history.lock import locked
from buildsite.history.run import (
    SETTINGS,
    GitRefused,
    blobs_in,
    clean_environment,
    git,
    is_record,
    refuse_distrusted,
)
from buildsite.history.under_way import refuse_while_under_way
from buildsite.record.places import SUFFIX

OWN = (
    "GIT_AUTHOR_NAME",
    "GIT_AUTHOR_EMAIL",
    "GIT_AUTHOR_DATE",
    "GIT_COMMITTER_NAME",
    "GIT_COMMITTER_EMAIL",
    "GIT_COMMITTER_DATE",
)
"""Variables of git that are kept: who commits, and when."""


def writing_environment(given: Mapping[str, str]) -> dict[str, str]:
    """
    Return the environment for a commit: the user's settings, and no other repository.

    The machine's settings are read too, for who commits and how to sign.
    """
    settings = {k: v for k, v in SETTINGS.items() if k != "GIT_CONFIG_NOSYSTEM"}
    own = {name: given[name] for name in OWN if name in given}
    kept = {k: v for k, v in clean_environment(given).items() if k not in SETTINGS}
    return kept | settings | own


def write_with_git(root: Path, *words: str, ask: bytes | None = None) -> None:
    """
    Run a git command that writes; show its output and that of hooks if it fails.

    The clone's hooks, filters and signing program run, as in any commit there; a
    monitor of files that its settings name does not.
    """
    done = subprocess.run(
        ["git", "-C", str(root), "-c", "core.fsmonitor=false", *words],
        input=ask,
        stdin=subprocess.DEVNULL if ask is None else None,
        capture_output=True,
        check=False,
        env=writing_environment(os.environ),
    )
    if done.returncode:
        refuse_distrusted(words[0], done.stderr)
        output = (done.stderr + done.stdout).decode(errors="replace").strip()
        raise EnvironmentFault(
            f"`git {words[0]}` failed: {output or 'no reason given'}",
            "Nothing was committed. Correct what git names, then run this again.",
        )


def who_commits(root: Path) -> None:
    """Make sure that git knows who commits, and doesn't guess from the machine."""
    for who in ("GIT_AUTHOR_IDENT", "GIT_COMMITTER_IDENT"):
        done = subprocess.run(
            ["git", "-C", str(root), "-c", "user.useConfigOnly=true", "var", who],
            capture_output=True,
            check=False,
            env=writing_environment(os.environ),
        )
        if done.returncode:
            head(root)  # refuses a clone of another owner, of which git reads nothing
            raise EnvironmentFault(
                "Git doesn't know who commits here.",
                "Run `git config user.name NAME` and `git config user.email ADDRESS`.",
            )


def head(root: Path) -> str:
    """Return the commit of HEAD; refuse a folder without one."""
    try:
        return git(root, "rev-parse", "--verify", "HEAD").decode().strip()
    except GitRefused as refused:
        if refused.distrusts:
            raise
        raise EnvironmentFault(
            f"{root} is not a clone with a commit, which this needs.",
            "Clone the archive, commit its records first, or start a new archive: "
            "`buildsite init DIR`.",
        ) from None


def differing(root: Path, files: Mapping[str, bytes | None]) -> list[str]:
    """Return the files that differ from HEAD, or are staged; None: must be absent."""
    if not files:
        return []
    names = sorted(files)
    paths = [f"./{name}" for name in names]
    listing = git(root, "ls-tree", "-z", "HEAD", "--", *paths).decode(
        errors="surrogateescape"
    )
    held = {
        name: about.split()[2]
        for about, tab, name in (row.partition("\t") for row in listing.split("\0"))
        if tab
    }
    staged = git(
        root, "diff", "--cached", "--name-only", "--relative", "-z", "--", *paths
    )
    touched = set(staged.decode(errors="surrogateescape").split("\0"))
    return [
        name
        for name in names
        if name in touched or held.get(name, "") != _blob(files[name], held.get(name))
    ]


def compared_with(
    root: Path,
    commit: str,
    files: Collection[str],
    read: Callable[[str], bytes],
    known: Mapping[str, str],
) -> tuple[frozenset[str], dict[str, str]]:
    """
    Return the records and issued files that are not, byte for byte, a commit's.

    Git's own status may skip a file (`update-index --assume-unchanged`, a filter, a
    file system monitor); a comparison of bytes can't. `known` has the blobs of files
    that are as they were when their bytes were compared. Of all that are the commit's
    their blobs are returned too.
    """
    held = blobs_in(root, commit)
    theirs = {name for name in held if is_record(name) or name.endswith(SUFFIX)}
    same = {
        name: held[name]
        for name in files
        if name in held
        and (
            known.get(name) == held[name] or _blob(read(name), held[name]) == held[name]
        )
    }
    here = set(files)
    return frozenset((here - same.keys()) | (theirs - here)), same


def _blob(data: bytes | None, like: str | None) -> str:
    """Return git's name of a blob, in the repository's own format."""
    if data is None:
        return ""
    sha256 = like is not None and len(like) == len(hashlib.sha256().hexdigest())
    new = hashlib.sha256 if sha256 else hashlib.sha1
    return new(b"blob %d\0" % len(data) + data, usedforsecurity=False).hexdigest()


def commit(
    root: Path,
    files: Mapping[str, bytes | None],
    message: str,
    *,
    write: Write = write_whole,
    sign: bool = False,
) -> str:
    """
    Write some files and commit them, all or none; return the commit's id.

    None is a file that somebody deleted: its absence is committed.

    Other staged changes stay staged, out of the commit. Hooks run. Nothing is done in
    the middle of a merge or the like, nor on no branch.
    """
    who_commits(root)
    with locked(root):
        refuse_while_under_way(root)
        return _committed(root, files, message, write=write, sign=sign)


def _committed(
    root: Path,
    files: Mapping[str, bytes | None],
    message: str,
    *,
    write: Write,
    sign: bool,
) -> str:
    """Do what `commit` does, inside its lock."""
    stood = head(root)
    written = {name: data for name, data in files.items() if data is not None}
    before = write_files(root, written, write=write)
    paths = [f"./{name}" for name in sorted(files)]
    try:
        write_with_git(root, "add", "--force", "--", *paths)
        _same_bytes(root, files)
        signing = ["--gpg-sign"] if sign else []
        options = ["--quiet", "--file=-", "--cleanup=whitespace", *signing]
        write_with_git(
            root, "commit", *options, "--only", "--", *paths, ask=message.encode()
        )
        _nothing_else(root, files)
    except BaseException:
        restore_files(root, before, write=write)
        if head(root) != stood and _is_ours(root, message):
            # a hook put something else into the commit
            write_with_git(root, "reset", "--quiet", "--soft", "HEAD^")
        write_with_git(root, "reset", "--quiet", "HEAD", "--", *paths)
        raise
    return head(root)


def _is_ours(root: Path, message: str) -> bool:
    """Whether the newest commit is the one just made, which may be undone."""
    subject = git(root, "log", "-1", "--format=%s").decode(errors="replace").strip()
    return subject == message.partition("\n")[0].strip()


def _nothing_else(root: Path, files: Mapping[str, bytes | None]) -> None:
    """Make sure that the new commit holds these bytes and no other file."""
    prefix = git(root, "rev-parse", "--show-prefix").decode().strip()
    listing = git(root, "diff-tree", "-r", "-z", "--name-only", "HEAD^", "HEAD")
    there = set(listing.decode(errors="surrogateescape").split("\0")) - {""}
    wanted = {prefix + name for name in files}
    if there != wanted or differing(root, files):
        raise EnvironmentFault(
            "A hook of this clone changed the files to be committed.",
            "Exclude records/ from what the hook rewrites. Nothing was committed.",
        )


def _same_bytes(root: Path, files: Mapping[str, bytes | None]) -> None:
    """Make sure that git stores the bytes unchanged: no filter, no line endings."""
    paths = [f"./{name}" for name in sorted(files)]
    listing = git(root, "ls-files", "--stage", "-z", "--", *paths).decode(
        errors="surrogateescape"
    )
    for row in listing.split("\0"):
        about, tab, name = row.partition("\t")
        if tab and about.split()[1] != _blob(files[name], about.split()[1]):
            raise EnvironmentFault(
                f"Git would change {name} when storing it.",
                "Add `records/**/*.html -text`, `records/**/*.json -text` and "
                "`records/**/*.pdf binary` to .gitattributes, and remove any filter "
                "for records/.",
            )


def message_of(subject: str, trailers: Sequence[tuple[str, str]]) -> str:
    """
    Return a commit's message: a subject, then its trailers, each on one line.

    >>> print(message_of("Issue HF-0117 r0", [("Reason", "first issue")]))
    Issue HF-0117 r0
    <BLANKLINE>
    Reason: first issue
    <BLANKLINE>
    """
    lines = [f"{name}: {' '.join(value.split())}\n" for name, value in trailers]
    return f"{subject}\n\n{''.join(lines)}"
