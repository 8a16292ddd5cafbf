"""What git is asked to keep: some files, in one commit that holds nothing else."""

import hashlib
import os
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.files.writing import Write, restore_files, write_files, write_whole
from buildsite.history.lock import locked
from buildsite.history.run import (
    SETTINGS,
    GitRefused,
    blobs_at,
    clean_environment,
    git,
    is_record,
)
from buildsite.record.issued import SUFFIX

OWN = (
    "GIT_AUTHOR_NAME",
    "GIT_AUTHOR_EMAIL",
    "GIT_AUTHOR_DATE",
    "GIT_COMMITTER_NAME",
    "GIT_COMMITTER_EMAIL",
    "GIT_COMMITTER_DATE",
)
"""Variables of git that stay: who commits, and when, is the user's to say."""


def writing_environment(given: Mapping[str, str]) -> dict[str, str]:
    """
    Environment for a commit: the user's own settings, and no other repository.

    The machine's settings are read too: they may say who commits, and how to sign.
    """
    settings = {k: v for k, v in SETTINGS.items() if k != "GIT_CONFIG_NOSYSTEM"}
    own = {name: given[name] for name in OWN if name in given}
    kept = {k: v for k, v in clean_environment(given).items() if k not in SETTINGS}
    return kept | settings | own


def write_with_git(root: Path, *words: str, ask: bytes | None = None) -> None:
    """Run a git that writes; its hooks may talk, and are shown only if it fails."""
    done = subprocess.run(
        ["git", "-C", str(root), *words],
        input=ask,
        stdin=subprocess.DEVNULL if ask is None else None,
        capture_output=True,
        check=False,
        env=writing_environment(os.environ),
    )
    if done.returncode:
        said = (done.stderr + done.stdout).decode(errors="replace").strip()
        raise EnvironmentFault(
            f"`git {words[0]}` refused: {said or 'it gave no reason'}",
            "Nothing was kept. Mend what git names, then run this again.",
        )


def who_commits(root: Path) -> None:
    """
    Make sure that git knows who commits, rather than guess it from the machine.

    Raises
    ------
    EnvironmentFault
        If it does not.
    """
    for who in ("GIT_AUTHOR_IDENT", "GIT_COMMITTER_IDENT"):
        done = subprocess.run(
            ["git", "-C", str(root), "-c", "user.useConfigOnly=true", "var", who],
            capture_output=True,
            check=False,
            env=writing_environment(os.environ),
        )
        if done.returncode:
            raise EnvironmentFault(
                "Git does not know who commits here.",
                "Run `git config user.name NAME` and `git config user.email ADDRESS`.",
            )


def head(root: Path) -> str:
    """
    Tell the commit that stands: nothing is issued where there is none.

    Raises
    ------
    EnvironmentFault
        If this is no clone, or has no commit yet.
    """
    try:
        return git(root, "rev-parse", "--verify", "HEAD").decode().strip()
    except GitRefused as refused:
        if refused.distrusts:
            raise
        raise EnvironmentFault(
            f"{root} is no clone with a commit: what is issued must stand in git.",
            "Clone the archive, commit its records first, or begin one: "
            "`buildsite init DIR`.",
        ) from None


def differing(root: Path, files: Mapping[str, bytes | None]) -> list[str]:
    """
    Name the files whose bytes are not those of HEAD, or whose staged state is not.

    Parameters
    ----------
    root
        The archive's folder.
    files
        What stands in the working tree; None where nothing should.
    """
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


def as_committed(root: Path, files: Mapping[str, bytes]) -> bool:
    """
    Whether files are, byte for byte, what HEAD holds: no more, no fewer.

    Git's own status may be told to pass over a file (`update-index --assume-unchanged`,
    a filter, a file system monitor); its bytes can't.

    Parameters
    ----------
    root
        The archive's folder.
    files
        Records and issued files, by path.
    """
    held = blobs_at(root, "HEAD")
    theirs = {name for name in held if is_record(name) or name.endswith(SUFFIX)}
    return theirs == files.keys() and all(
        _blob(data, held[name]) == held[name] for name, data in files.items()
    )


def _blob(data: bytes | None, like: str | None) -> str:
    """Name that git gives a blob, in the repository's own format."""
    if data is None:
        return ""
    sha256 = like is not None and len(like) == len(hashlib.sha256().hexdigest())
    new = hashlib.sha256 if sha256 else hashlib.sha1
    return new(b"blob %d\0" % len(data) + data, usedforsecurity=False).hexdigest()


def commit(
    root: Path,
    files: Mapping[str, bytes],
    message: str,
    *,
    write: Write = write_whole,
    sign: bool = False,
) -> str:
    """
    Write some files and keep them in one commit; on any failure nothing is left.

    What others have staged stays staged, and stays out of the commit. Hooks run.

    Parameters
    ----------
    root
        The archive's folder.
    files
        Their new bytes, by path.
    message
        Of the commit, trailers included.
    write
        How a file is written whole.
    sign
        Sign it, by git's own settings.

    Returns
    -------
    str
        The commit's id.
    """
    who_commits(root)
    with locked(root):
        return _committed(root, files, message, write=write, sign=sign)


def _committed(
    root: Path,
    files: Mapping[str, bytes],
    message: str,
    *,
    write: Write,
    sign: bool,
) -> str:
    """Do what `commit` says, while nobody else of us does."""
    stood = head(root)
    before = write_files(root, files, write=write)
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
    """Whether the newest commit is the one just made: nobody else's is taken back."""
    said = git(root, "log", "-1", "--format=%s").decode(errors="replace").strip()
    return said == message.partition("\n")[0].strip()


def _nothing_else(root: Path, files: Mapping[str, bytes]) -> None:
    """Make sure that the new commit holds these bytes and no other file."""
    prefix = git(root, "rev-parse", "--show-prefix").decode().strip()
    listing = git(root, "diff-tree", "-r", "-z", "--name-only", "HEAD^", "HEAD")
    there = set(listing.decode(errors="surrogateescape").split("\0")) - {""}
    wanted = {prefix + name for name in files}
    if there != wanted or differing(root, files):
        raise EnvironmentFault(
            "A hook of this clone changed what was to be committed.",
            "Leave records/ out of what the hook rewrites. Nothing was kept.",
        )


def _same_bytes(root: Path, files: Mapping[str, bytes]) -> None:
    """Make sure that git stores the bytes as they are: no filter, no line ends."""
    paths = [f"./{name}" for name in sorted(files)]
    listing = git(root, "ls-files", "--stage", "-z", "--", *paths).decode(
        errors="surrogateescape"
    )
    for row in listing.split("\0"):
        about, tab, name = row.partition("\t")
        if tab and about.split()[1] != _blob(files[name], about.split()[1]):
            raise EnvironmentFault(
                f"Git would store {name} otherwise than it was written.",
                "Write `records/**/*.html -text` and `records/**/*.json -text` into "
                ".gitattributes, and take out any filter for records/.",
            )


def message_of(subject: str, trailers: Sequence[tuple[str, str]]) -> str:
    """
    Write a commit's message: a subject, then its trailers, each on one line.

    >>> print(message_of("Issue HF-0117 r0", [("Reason", "first issue")]))
    Issue HF-0117 r0
    <BLANKLINE>
    Reason: first issue
    <BLANKLINE>
    """
    lines = [f"{name}: {' '.join(value.split())}\n" for name, value in trailers]
    return f"{subject}\n\n{''.join(lines)}"
