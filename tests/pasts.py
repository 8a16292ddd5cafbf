"""Repositories with a past, whose commits are the same on every machine."""

import os
import subprocess
from collections.abc import Mapping
from pathlib import Path

from tests.clones import WHO

CHANGES = Mapping[str, str | bytes | None]
"""By path: what to write there; None takes the file away."""


def as_person(root: Path, *words: str, email: str, when: str) -> str:
    """Run git as one person at one time."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith("GIT_")}
    who = {
        "GIT_AUTHOR_EMAIL": email,
        "GIT_COMMITTER_EMAIL": email,
        "GIT_AUTHOR_DATE": when,
        "GIT_COMMITTER_DATE": when,
    }
    done = subprocess.run(
        ["git", "-C", str(root), *words],
        env=kept | WHO | who,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.strip()


def put(root: Path, changes: CHANGES) -> None:
    """Write files, or take them away."""
    for name, data in changes.items():
        path = root / name
        if data is None:
            path.unlink()
            continue
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data.encode() if isinstance(data, str) else data)


def edit(
    root: Path,
    message: str,
    changes: CHANGES,
    *,
    email: str = "a@lab.example",
    when: str = "2026-03-13T12:00:00Z",
    sign: Path | None = None,
) -> str:
    """Commit some changes; `sign` is the key to sign with. Tell the commit."""
    put(root, changes)
    as_person(root, "add", "--all", email=email, when=when)
    signing = ["-c", "gpg.format=ssh", "-c", f"user.signingkey={sign}"] if sign else []
    words = ["commit", "--quiet", "--allow-empty", f"--message={message}"]
    also = ["--gpg-sign"] if sign else []
    as_person(root, *signing, *words, *also, email=email, when=when)
    return as_person(root, "rev-parse", "HEAD", email=email, when=when)


def begun(root: Path, *options: str) -> Path:
    """Begin a repository without a commit."""
    root.mkdir(parents=True, exist_ok=True)
    as_person(
        root,
        *("init", "--quiet", "--initial-branch=main", *options),
        email="a@lab.example",
        when="2026-03-13T12:00:00Z",
    )
    return root


def ssh_key(folder: Path, name: str) -> tuple[Path, str]:
    """Make a key pair; give the private key's path and the public line."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / name
    subprocess.run(
        ["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", name, "-f", str(path)],
        check=True,
        capture_output=True,
    )
    return path, path.with_suffix(".pub").read_text().strip()
