"""How a clone is set up: who commits, the first commit, a hook, the two drivers."""

import os
import re
import subprocess
from collections.abc import Iterable
from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.history.commit import write_with_git, writing_environment
from buildsite.history.run import GitRefused, git

DRIVER = "compaction"
"""What `.gitattributes` calls the two drivers."""

ATTRIBUTES = f"records/**/*.yaml diff={DRIVER} merge={DRIVER} text eol=lf"
"""The line that says which files they are for."""

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
    """Top of the clone that a folder lies in, if it lies in one."""
    while not folder.exists():
        folder = folder.parent
    try:
        return Path(os.fsdecode(git(folder, "rev-parse", "--show-toplevel")).strip())
    except GitRefused as refused:
        if refused.distrusts:
            raise
        return None


def identity(folder: Path) -> tuple[str, str]:
    """Name and address that git would put on a commit; empty where there is none."""
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
    """Name of the branch that is checked out, also before its first commit."""
    return git(root, "symbolic-ref", "--short", "HEAD").decode().strip()


def set_identity(root: Path, name: str, email: str) -> None:
    """Tell this clone who commits."""
    git(root, "config", "--local", "user.name", name)
    git(root, "config", "--local", "user.email", email)


def first_commit(root: Path, names: Iterable[str], message: str) -> None:
    """Commit some files and nothing else, where there may be no commit yet."""
    paths = [f"./{name}" for name in sorted(names)]
    try:
        write_with_git(root, "add", "--force", "--", *paths)
        write_with_git(root, "commit", "--quiet", f"--message={message}", "--", *paths)
    except BaseException:
        forget = ("rm", "--cached", "--force", "--quiet", "--ignore-unmatch")
        write_with_git(root, *forget, "--", *paths)
        raise


def write_hook(root: Path, program: str) -> Path:
    """
    Write the hook that checks records before each commit of this clone.

    Raises
    ------
    EnvironmentFault
        If another hook stands there, or git looks for hooks elsewhere.
    """
    folder = Path(os.fsdecode(git(root, "rev-parse", "--git-path", "hooks")).strip())
    own = Path(os.fsdecode(git(root, "rev-parse", "--git-common-dir")).strip())
    path = root / folder / "pre-commit"
    elsewhere = (root / folder).resolve() != (root / own / "hooks").resolve()
    if elsewhere or (path.exists() and OURS not in path.read_bytes()):
        raise EnvironmentFault(
            f"Another hook stands at {path}, and was left as it is."
            if path.exists()
            else f"Git looks for hooks in {root / folder}, outside of this clone.",
            f"Let it run `{program} check` before each commit.",
        )
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(HOOK.format(program=program).encode())
    path.chmod(0o755)
    return path


def driver_settings(program: str) -> tuple[tuple[str, str], ...]:
    """
    Return the settings, by name. `program` is how a shell runs us.

    There is no `cachetextconv`: git would go on showing what an older program
    computed. Both a name and a driver are needed for a merge: with the name alone git
    refuses, with neither it blends two people's readings without a word.
    """
    return (
        (f"diff.{DRIVER}.textconv", f"{program} show --textconv"),
        (f"diff.{DRIVER}.xfuncname", "^[a-z_]+:.*$"),
        (f"merge.{DRIVER}.name", "records are merged by hand"),
        (f"merge.{DRIVER}.driver", f"{program} merge-record %O %A %B %L %P"),
    )


def set_drivers(root: Path, program: str) -> tuple[tuple[str, str], ...]:
    """
    Write the settings into the clone's own configuration.

    Raises
    ------
    EnvironmentFault
        If the folder is no clone.
    """
    done = driver_settings(program)
    for name, value in done:
        git(root, "config", "--local", name, value)
    return done


def drivers_named(root: Path) -> bool:
    """Whether `.gitattributes` gives records to the drivers."""
    printed = git(
        root, "check-attr", "diff", "merge", "--", "records/lab.yaml"
    ).decode()
    return all(line.endswith(f": {DRIVER}") for line in printed.splitlines())
