"""Running git: which commit is checked out, and the files of a revision."""

import os
import subprocess
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.history.object_ids import proven_blob
from buildsite.record.letters import ID
from buildsite.record.places import SUFFIX
from buildsite.values import dataclass

SETTINGS = {
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_TERMINAL_PROMPT": "0",
    # A partial clone fetches what is missing, by any program that its settings name.
    "GIT_ALLOW_PROTOCOL": "none",
    "LC_ALL": "C.UTF-8",
    "LANGUAGE": "C",  # would come before LC_ALL: git's words are read here
}

READING = (
    "--no-replace-objects",
    # A copy of the commits' parents, which anybody may have forged.
    *("-c", "core.commitGraph=false"),
    # Programs that a clone's own settings may name: a clone may come from anybody.
    *("-c", "core.fsmonitor=false"),
    *("-c", "log.showSignature=false"),
    *("-c", "gpg.program=gpg"),
    *("-c", "gpg.openpgp.program=gpg"),
    *("-c", "gpg.x509.program=gpgsm"),
    *("-c", "gpg.ssh.program=ssh-keygen"),
)
"""Options of every git that reads: commits as stored, and no program of the clone."""

LINK = "120000"
"""Mode of a symbolic link, which is never followed."""

REPOSITORY = b"160000 "
"""Mode of another repository (submodule)."""


@dataclass(frozen=True)
class Checkout:
    """
    The commit checked out, and whether records differ from it.

    `paths` are those that git says differ, from the archive's folder.
    """

    commit: str | None
    differs: bool
    paths: frozenset[str] = frozenset()


def clean_environment(given: Mapping[str, str]) -> dict[str, str]:
    """
    Return the environment for git without its own variables.

    Inside a hook git sets GIT_DIR and GIT_INDEX_FILE, which would point every call to
    the repository of the hook.
    """
    kept = {key: value for key, value in given.items() if not key.startswith("GIT_")}
    return kept | SETTINGS


def git(
    root: Path, *words: str, ask: bytes | None = None, protocol: str = "none"
) -> bytes:
    """Run git in a folder and return its output; it fetches by `protocol` alone."""
    command = ["git", "-C", str(root), *READING, *words]
    try:
        done = subprocess.run(
            command,
            input=ask,
            capture_output=True,
            check=False,
            env=clean_environment(os.environ) | {"GIT_ALLOW_PROTOCOL": protocol},
        )
    except FileNotFoundError:
        raise EnvironmentFault(
            "git was not found on this machine.", "Install git, then run this again."
        ) from None
    if done.returncode:
        raise GitRefused(" ".join(words[:2]), done.stderr.decode(errors="replace"))
    return done.stdout


class GitRefused(EnvironmentFault):
    """
    Git failed; `printed` is what it wrote on standard error.

    Git does not read a clone of another owner and prints the command that allows it.
    """

    def __init__(self, what: str, printed: str) -> None:
        lines = [line.strip() for line in printed.strip().splitlines()]
        # Below a mount, git ends with a word on the boundary of file systems.
        fatal = [line for line in lines if line.startswith("fatal: ")] or lines
        why = fatal[-1] if fatal else "no reason given"
        remedy = "Run it in a clone of the archive."
        self.distrusts = "dubious ownership" in printed
        if self.distrusts:
            why = next(line for line in lines if "dubious ownership" in line)
            allow = [line for line in lines if "safe.directory" in line]
            command = allow[0] if allow else "git config --global --add safe.directory"
            remedy = (
                f"Run this as the folder's owner; or, if you trust it: `{command}`."
            )
        super().__init__(f"`git {what}` failed: {why}", remedy)


def refuse_distrusted(what: str, printed: bytes) -> None:
    """Refuse a clone of another owner, if that is why git failed."""
    refused = GitRefused(what, printed.decode(errors="replace"))
    if refused.distrusts:
        raise refused


def commit_at(root: Path, ref: str) -> str:
    """Return the commit of a branch, a tag or another name; empty if there is none."""
    try:
        found = git(root, "rev-parse", "--verify", "--quiet", f"{ref}^{{commit}}")
    except GitRefused:
        return ""
    return found.decode().strip()


def checkout(root: Path) -> Checkout:
    """
    Return what is checked out. A folder that is not a clone has no commit.

    Untracked records count as a difference, also if a setting or .gitignore makes git
    skip them: they are built but not committed. So does a repository among the records
    (a submodule): its files are in no commit of this one. Git does not look into it,
    for it would run the filters that its settings name.
    """
    try:
        commit = git(root, "rev-parse", "--verify", "HEAD").decode().strip()
    except GitRefused as refused:
        if refused.distrusts:
            raise
        return Checkout(None, differs=False)
    unfiltered = without_filters(root)
    printed = git(root, *unfiltered, *STATUS, "--", "records")
    state = printed.decode(errors="surrogateescape").split("\0")
    found = [row[3:] for row in state if are_different(row)]
    differs = bool(found) or has_repositories(root)
    return Checkout(commit, differs, frozenset(below(root, found)))


def below(root: Path, paths: Sequence[str]) -> Iterator[str]:
    """Yield paths of the repository as seen from a folder of it."""
    if not paths:
        return
    prefix = git(root, "rev-parse", "--show-prefix").decode(errors="surrogateescape")
    lead = prefix.removesuffix("\n")
    yield from (path.removeprefix(lead) for path in paths)


def git_folder(root: Path) -> Path:
    """Return git's own folder of a clone, or of one of its working trees."""
    printed = git(root, "rev-parse", "--absolute-git-dir")
    return Path(os.fsdecode(printed).removesuffix("\n"))


def commit_of(root: Path, ref: str, otherwise: str = "") -> str:
    """
    Return the id of the commit of a git revision; `otherwise` says what else would do.

    Raises
    ------
    EnvironmentFault
        If this clone knows no such revision.
    """
    try:
        found = git(root, "rev-parse", "--verify", f"{ref}^{{commit}}")
    except GitRefused as refused:
        if refused.distrusts or "not a git repository" in refused.cause:
            raise
        raise EnvironmentFault(
            f"No revision {ref!r} in this clone.",
            "Give a commit, a tag or a branch, such as HEAD~1 or origin/main"
            f"{otherwise}.",
        ) from None
    return found.decode().strip()


STATUS = (
    *("status", "--porcelain", "-z", "--untracked-files=all", "--ignored=matching"),
    "--ignore-submodules=all",
)


def has_repositories(root: Path) -> bool:
    """Whether git has other repositories (submodules) among the records."""
    listing = git(root, "ls-files", "--stage", "-z", "--", "records")
    return any(row.startswith(REPOSITORY) for row in listing.split(b"\0"))


def without_filters(root: Path) -> tuple[str, ...]:
    """
    Return the options by which git runs none of the filters that its settings name.

    Git would run one on a file that it compares or stores.
    """
    names = git(root, "config", "--list", "--name-only", "-z").decode(errors="replace")
    drivers = {
        name.rpartition(".")[0]
        for name in names.split("\0")
        if name.startswith("filter.") and "=" not in name
    }
    return tuple(
        word
        for driver in sorted(drivers)
        for setting in ("clean=", "smudge=", "process=", "required=false")
        for word in ("-c", f"{driver}.{setting}")
    )


def are_different(row: str) -> bool:
    """Whether a row of git's status is of a record that is not as committed."""
    ignored = row.startswith("!! ")
    return row.endswith((".yaml", "/")) if ignored else bool(row)


def is_record(name: str) -> bool:
    """
    Whether a file is a record by its name, as in the working tree.

    >>> is_record("records/lab.yaml"), is_record("records/.drafts/lab.yaml")
    (True, False)
    """
    hidden = any(part.startswith(".") for part in name.split("/"))
    stem, _, suffix = name.rpartition("/")[2].rpartition(".")
    return suffix == "yaml" and not hidden and bool(ID.fullmatch(stem))


def at_revision(
    root: Path, revision: str
) -> tuple[Sequence[str], Callable[[str], bytes]]:
    """Return the records at a revision, and a function to read any of its files."""
    blobs = blobs_at(root, revision)

    def read(name: str) -> bytes:
        return bytes_of(root, blobs[name])

    return sorted(filter(is_record, blobs)), read


def bytes_of(root: Path, blob: str) -> bytes:
    """Return the bytes of a blob, which must have its name."""
    return proven_blob(blob, git(root, "cat-file", "blob", blob))


def issued_at(root: Path, revision: str) -> list[str]:
    """Return the issued files at a revision of git."""
    return sorted(name for name in blobs_at(root, revision) if name.endswith(SUFFIX))


def blobs_at(root: Path, revision: str) -> dict[str, str]:
    """Return the blob of each file under records/ at a revision, without links."""
    try:
        commit = git(root, "rev-parse", "--verify", f"{revision}^{{commit}}")
    except GitRefused:
        raise EnvironmentFault(
            f"No revision {revision!r} in this clone.",
            "Give a commit, a tag or a branch, such as HEAD~1:HF-0117.",
        ) from None
    return blobs_in(root, commit.decode().strip())


def blobs_in(root: Path, commit: str) -> dict[str, str]:
    """Return the blob of each file under records/ in a commit, without links."""
    listing = git(root, "ls-tree", "-r", "-z", commit, "--", "./records")
    blobs: dict[str, str] = {}
    for row in listing.decode(errors="surrogateescape").split("\0"):
        about, _, name = row.partition("\t")
        words = about.split()
        if name and words[1] == "blob" and words[0] != LINK:
            blobs[name] = words[2]
    return blobs
