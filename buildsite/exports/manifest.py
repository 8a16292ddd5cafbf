"""What a site consists of: every file with its digest, and what it was built from."""

from collections.abc import Mapping
from hashlib import sha256
from typing import Any

from buildsite.exports.result_json import as_json

NAME = "manifest.json"


def manifest(
    files: Mapping[str, str],
    *,
    commit: str | None,
    differs: bool,
    software: Mapping[str, str],
    lock: str,
    options: Mapping[str, Any],
) -> bytes:
    """
    Write the manifest of a site.

    Parameters
    ----------
    files
        Path in the site, and the SHA-256 of what it holds; the manifest left out.
    commit
        The commit that was checked out; None where there is no git.
    differs
        Whether the records were built as they stood, otherwise than committed.
    software, lock
        What built it, and the digest of the lock file that names its libraries.
    options
        The build's options, those that move a byte.
    """
    return as_json(
        {
            "format": 1,
            "commit": commit,
            "records_differ_from_commit": differs,
            "files": dict(files),
            "software": dict(software),
            "lock": f"sha256:{lock}",
            "options": dict(options),
        }
    )


def digest(data: bytes) -> str:
    """SHA-256 as the manifest spells it."""
    return "sha256:" + sha256(data).hexdigest()
