"""What a site consists of: every file with its digest, and what it was built from."""

from collections.abc import Mapping, Sequence
from typing import Any

from buildsite.exports.result_json import as_json
from buildsite.record.issued import SUFFIX, read_issued, whole_digest
from buildsite.values import dataclass

NAME = "manifest.json"


@dataclass(frozen=True)
class Origin:
    """
    What a site was built from.

    Parameters
    ----------
    commit
        The commit that was checked out; None where there is no git.
    differs
        Whether the records were built as they stood, otherwise than committed.
    software, lock
        What built it, and the digest of the lock file that names its libraries.
    options
        The build's options, those that move a byte.
    tests
        Of each test that the site shows and that was issued, the digests of its items
        in order. The next publication must begin with them.
    previous
        Digest of the manifest published before this one; None for a first one.
    """

    commit: str | None
    differs: bool
    software: Mapping[str, str]
    lock: str
    options: Mapping[str, Any]
    tests: Mapping[str, Sequence[str]]
    previous: str | None


def manifest(files: Mapping[str, str], origin: Origin) -> bytes:
    """
    Write the manifest of a site.

    Parameters
    ----------
    files
        Path in the site, and the SHA-256 of what it holds; the manifest left out.
    origin
        What it was built from.
    """
    return as_json(
        {
            "format": 1,
            "commit": origin.commit,
            "records_differ_from_commit": origin.differs,
            "files": dict(files),
            "software": dict(origin.software),
            "lock": f"sha256:{origin.lock}",
            "options": dict(origin.options),
            "tests": {test: list(items) for test, items in origin.tests.items()},
            "previous": origin.previous,
        }
    )


def item_digests(issued: Mapping[str, bytes]) -> dict[str, list[str]]:
    """
    Digests of every test's issued items, in order.

    Parameters
    ----------
    issued
        Bytes of each issued file, by its path. One that can't be read has no items
        here: `check` and `verify` say so where it stands.
    """
    found: dict[str, list[str]] = {}
    for name, data in sorted(issued.items()):
        chain, _ = read_issued(name, data)
        if chain is not None:
            test = name.rpartition("/")[2].removesuffix(SUFFIX)
            found[test] = [whole_digest(tree) for tree in chain.trees]
    return found
