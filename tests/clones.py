"""Small archives on disk, and clones of them whose commits are always the same."""

import os
import subprocess
from collections.abc import Mapping
from pathlib import Path

from tests.archives import Files

WHO = {
    "GIT_AUTHOR_NAME": "A",
    "GIT_AUTHOR_EMAIL": "a@lab.example",
    "GIT_AUTHOR_DATE": "2026-03-13T12:00:00Z",
    "GIT_COMMITTER_NAME": "A",
    "GIT_COMMITTER_EMAIL": "a@lab.example",
    "GIT_COMMITTER_DATE": "2026-03-13T12:00:00Z",
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_TEMPLATE_DIR": str(Path(__file__).with_name("git_template")),
}


def write(root: Path, files: Files) -> Path:
    """Put files into a folder."""
    for name, data in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return root


def git(root: Path, *words: str) -> str:
    """Run git as the same person at the same time, whoever and whenever it is."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith("GIT_")}
    done = subprocess.run(
        ["git", "-C", str(root), *words],
        env=kept | WHO,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.strip()


def clone(root: Path, files: Mapping[str, bytes]) -> str:
    """Make a folder a clone with one commit; tell the commit."""
    write(root, files)
    git(root, "init", "--quiet", "--initial-branch=main")
    git(root, "add", "--all")
    git(root, "commit", "--quiet", "--message=first")
    return git(root, "rev-parse", "HEAD")
