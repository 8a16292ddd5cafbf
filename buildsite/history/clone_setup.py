"""Setup of a clone: who commits, the first commit, the hook, the two drivers."""

import os
import re
import subprocess
from collections.abc import Iterable
from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.history.commit import write_with_git, writing_environment
from buildsite.history.run import GitRefused, git
from buildsite.record.places import LAB

DRIVER = "compaction"
"""Name of the two drivers in `.gitattributes`."""

ATTRIBUTES = f"records/**/*.yaml diff={DRIVER} merge={DRIVER} text eol=lf"
"""Line of `.gitattributes` with the files of the drivers."""

HOOK = """\
#!/bin/sh
# Written by `buildsite git-setup --hook`: checks the records that a commit changes.
# `git commit --no-verify` goes past it.
git diff --cached --name-only -z --diff-filter=ACMR -- \\
    ':(glob)records/**/*.yaml' ':(exclude,glob)records/**/*.issued.yaml' |
    xargs -0 -r {program} check --
"""
ASK_WHO = ("-c", "user.useConfigOnly=true", "var", "GIT_AUTHOR_IDENT")
OURS = b"buildsite git-setup --hook"
IDENTITY = re.compile(r"(.*) <(.*)> [0-9]+ [+-][0-9]+\n?")


def clone_top(folder: Path) -> Path | None:
    """Return the top of the clone that contains a folder, if any."""
    while not folder.exists():
        folder = folder.parent
    try:
        return Path(os.fsdecode(git(folder, "rev-parse", "--show-toplevel")).strip())
    except GitRefused as refused:
        if refused.distrusts:
            raise
        return None


def identity(folder: Path) -> tuple[str, str]:
    """Return the name and address that git would put on a commit; empty if unknown."""
    while not folder.exists():
        folder = folder.parent
    try:
        done = subprocess.run(
            ["git", "-C", str(folder), *ASK_WHO],
            capture_output=True,
            check=False,
            env=writing_environment(os.environ),
        )
    except FileNotFoundError:
        return "", ""
    found = IDENTITY.fullmatch(done.stdout.decode(errors="replace"))
    return (found[1], found[2]) if found and not done.returncode else ("", "")


def make_clone(root: Path, branch: str) -> None:
    """Make a folder a clone."""
    write_with_git(root, "init", "--quiet", f"--initial-branch={branch}")


def branch_of(root: Path) -> str:
    """Return the branch that is checked out, also before its first commit."""
    return git(root, "symbolic-ref", "--short", "HEAD").decode().strip()


def set_identity(root: Path, name: str, email: str) -> None:
    """Set who commits in this clone."""
    git(root, "config", "--local", "user.name", name)
    git(root, "config", "--local", "user.email", email)


def first_commit(root: Path, names: Iterable[str], message: str) -> None:
    """Commit some files and nothing else, perhaps as the first commit."""
    paths = [f"./{name}" for name in sorted(names)]
    try:
        write_with_git(root, "add", "--force", "--", *paths)
        write_with_git(root, "commit", "--quiet", f"--message={message}", "--", *paths)
    except BaseException:
        forget = ("rm", "--cached", "--force", "--quiet", "--ignore-unmatch")
        write_with_git(root, *forget, "--", *paths)
        raise


def write_hook(root: Path, program: str) -> Path:
    """Write the hook that checks records before each commit of this clone."""
    folder = Path(os.fsdecode(git(root, "rev-parse", "--git-path", "hooks")).strip())
    own = Path(os.fsdecode(git(root, "rev-parse", "--git-common-dir")).strip())
    path = root / folder / "pre-commit"
    elsewhere = (root / folder).resolve() != (root / own / "hooks").resolve()
    if elsewhere or (path.exists() and OURS not in path.read_bytes()):
        raise EnvironmentFault(
            f"There is another hook at {path}. It was not changed."
            if path.exists()
            else f"Git looks for hooks in {root / folder}, outside this clone.",
            f"Add `{program} check` to that hook.",
        )
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(HOOK.format(program=program).encode())
    path.chmod(0o755)
    return path


def driver_settings(program: str) -> tuple[tuple[str, str], ...]:
    """
    Return the settings by name; `program` is the command that runs this program.

    There is no `cachetextconv`: git would go on showing an older program's results. A
    merge needs both a name and a driver: with only the name git refuses, with neither
    it silently blends two people's readings.
    """
    return (
        (f"diff.{DRIVER}.textconv", f"{program} show --textconv"),
        (f"diff.{DRIVER}.xfuncname", "^[a-z_]+:.*$"),
        (f"merge.{DRIVER}.name", "records are merged by hand"),
        (f"merge.{DRIVER}.driver", f"{program} merge-record %O %A %B %L %P"),
    )


def set_drivers(root: Path, program: str) -> tuple[tuple[str, str], ...]:
    """Write the settings into the clone's own configuration; return them."""
    done = driver_settings(program)
    for name, value in done:
        git(root, "config", "--local", name, value)
    return done


def drivers_named(root: Path) -> bool:
    """Whether `.gitattributes` assigns records to the drivers."""
    printed = git(root, "check-attr", "diff", "merge", "--", LAB).decode()
    return all(line.endswith(f": {DRIVER}") for line in printed.splitlines())
