"""
Signatures of commits, checked with the keys that lab.yaml lists.

Git can't tell an unverifiable signature from none unless all its settings are right, so
a commit is unsigned by its own header alone, and every setting is passed. Dates are
checked here, not by ssh-keygen, which reads them in the machine's time zone: a key is
valid on the committer's own date, from `from` to `until`, both included. Its owner is
found by its fingerprint.
"""

import os
import re
import subprocess
import tempfile
from base64 import b64decode, b64encode
from binascii import Error as NotBase64
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from hashlib import sha256
from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.history.run import clean_environment, git
from buildsite.record.commits import Commit, Signature, StaffKey

KEY = re.compile(r"((?:sk-)?(?:ssh|ecdsa)-[A-Za-z0-9@.-]+) ([A-Za-z0-9+/]+=*)( .*)?")
"""An SSH public key on one line."""

ASK = "--format=%H%x00%G?%x00%GK"
"""Never %GT: git 2.39 stops with a bug where no allowed signers are set."""

WORDS = {
    "B": Signature("altered", why="the signature doesn't match the commit"),
    "X": Signature("expired key", why="the signature has expired"),
    "Y": Signature("expired key", why="the key had expired"),
    "R": Signature("revoked key", why="the key was revoked"),
    "E": Signature("unknown key", why="the signature can't be checked here"),
    "U": Signature("unknown key", why="the key is not listed in lab.yaml"),
    "N": Signature("not checked", why="git could not check the signature"),
}
"""Git's letters; for `G` the key's owner and dates are checked."""

NOT_SSH = Signature(
    "unknown key", why="not an SSH signature; lab.yaml can list only SSH keys"
)
UNSIGNED = Signature("unsigned")


def signatures(
    root: Path, commits: Sequence[Commit], keys: Sequence[StaffKey]
) -> Mapping[str, Signature]:
    """
    Return the signature of each commit: about 6 ms for each that is signed.

    `keys` are those of the newest published lab.yaml, never of the commit's own.
    """
    headers = dict(signed_with(root, [commit.id for commit in commits]))
    found = {
        commit.id: UNSIGNED if not headers[commit.id] else NOT_SSH for commit in commits
    }
    ssh = [c for c in commits if headers[c.id].startswith(b"-----BEGIN SSH SIGNATURE")]
    if ssh:
        found |= signature_of(root, ssh, keys)
    return found


def signed_with(root: Path, ids: Sequence[str]) -> Iterator[tuple[str, bytes]]:
    """Yield the first line of each commit's signature; empty if it has none."""
    ask = "".join(f"{id}\n" for id in ids).encode()
    printed = git(root, "cat-file", "--batch", ask=ask) if ids else b""
    place = 0
    for id in ids:
        end = printed.index(b"\n", place)
        length = int(printed[place:end].split()[2])
        head = printed[end + 1 : end + 1 + length].partition(b"\n\n")[0]
        place = end + 1 + length + 1
        lines = (line.partition(b" ") for line in head.split(b"\n"))
        signed = [value for name, _, value in lines if name in SIGNED]
        yield id, signed[0] if signed else b""


SIGNED = (b"gpgsig", b"gpgsig-sha256")


def signature_of(
    root: Path, commits: Sequence[Commit], keys: Sequence[StaffKey]
) -> dict[str, Signature]:
    """Return the signature of commits with SSH signatures, verified by git."""
    ssh_keygen_runs()
    prints: dict[str, list[StaffKey]] = {}
    for key in keys:
        fingerprint = fingerprint_of(key.key)
        if fingerprint:
            prints.setdefault(fingerprint, []).append(key)
    with tempfile.TemporaryDirectory() as folder:
        signers, none = Path(folder) / "signers", Path(folder) / "none"
        signers.write_text(allowed_signers(keys), encoding="utf-8")
        none.write_bytes(b"")
        printed = git(
            root,
            *("-c", f"gpg.ssh.allowedSignersFile={signers}"),
            *("-c", f"gpg.ssh.revocationFile={none}"),
            *("-c", "gpg.ssh.program=ssh-keygen"),
            *("log", "--no-walk=unsorted", "--stdin", "--no-show-signature", ASK),
            ask="".join(f"{commit.id}\n" for commit in commits).encode(),
        ).decode(errors="replace")
    by_id = {commit.id: commit for commit in commits}
    return {
        id: WORDS.get(letter) or of_key(by_id[id], prints.get(fingerprint, []))
        for id, letter, fingerprint in (
            row.split("\0") for row in printed.splitlines() if row
        )
    }


def of_key(commit: Commit, keys: Sequence[StaffKey]) -> Signature:
    """Return whose key signed a commit, and whether it was valid on that date."""
    codes = sorted({key.code for key in keys})
    if len(codes) != 1:
        why = f"shared by {' and '.join(codes)}" if codes else "not listed"
        return Signature("unknown key", why=why)
    day = datetime.fromisoformat(commit.when).date()
    for key in keys:
        early = key.start is not None and day < key.start
        late = key.until is not None and day > key.until
        if not early and not late:
            return Signature("good", codes[0])
    span = f"from {keys[0].start or 'ever'} until {keys[0].until or 'now'}"
    return Signature("expired key", codes[0], f"valid {span}, not on {day}")


def allowed_signers(keys: Sequence[StaffKey]) -> str:
    r"""
    Return the keys as an allowed-signers file, for git only.

    >>> allowed_signers([StaffKey("T07", "ssh-ed25519 AAAA bench")])
    'T07 namespaces="git" ssh-ed25519 AAAA\n'
    """
    lines = []
    for key in keys:
        found = KEY.fullmatch(key.key.strip())
        if found:
            lines.append(f'{key.code} namespaces="git" {found[1]} {found[2]}\n')
    return "".join(sorted(set(lines)))


def fingerprint_of(key: str) -> str:
    """Return the fingerprint of a key, as git prints it; empty if not a key."""
    found = KEY.fullmatch(key.strip())
    if not found:
        return ""
    try:
        data = b64decode(found[2], validate=True)
    except NotBase64:
        return ""
    return "SHA256:" + b64encode(sha256(data).digest()).decode().rstrip("=")


def ssh_keygen_runs() -> None:
    """Make sure that ssh-keygen runs: without it git calls every signature bad."""
    try:
        subprocess.run(
            ["ssh-keygen", "-?"],
            capture_output=True,
            check=False,
            env=clean_environment(os.environ),
        )
    except OSError:
        raise EnvironmentFault(
            "ssh-keygen doesn't run here, so no signature can be checked.",
            "Install OpenSSH (its ssh-keygen), then run this again.",
        ) from None
