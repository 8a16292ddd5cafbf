"""What a site consists of: every file with its digest, and what it was built from."""

from collections.abc import Mapping, Sequence
from typing import Any

from buildsite.exports.result_json import as_json
from buildsite.record.issued import read_issued, whole_digest
from buildsite.record.places import SUFFIX
from buildsite.values import dataclass

NAME = "manifest.json"


@dataclass(frozen=True)
class Origin:
    """
    What a site was built from.

    `commit` is None without git; `differs` tells that the records had changes that were
    not committed. `lock` is the digest of the lock file of the libraries. `tests` gives
    the digests of the items of each issued test on the site, in order: the next
    publication must begin with them. `previous` is the digest of the manifest published
    before; None for the first.
    """

    commit: str | None
    differs: bool
    software: Mapping[str, str]
    lock: str
    options: Mapping[str, Any]
    tests: Mapping[str, Sequence[str]]
    previous: str | None


def manifest(files: Mapping[str, str], origin: Origin) -> bytes:
    """Return the manifest of a site; `files` gives the SHA-256 of each other path."""
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
    Return the digests of every test's issued items, in order.

    An issued file that can't be read has none: `check` and `verify` report it.
    """
    found: dict[str, list[str]] = {}
    for name, data in sorted(issued.items()):
        chain, _ = read_issued(name, data)
        if chain is not None:
            test = name.rpartition("/")[2].removesuffix(SUFFIX)
            found[test] = [whole_digest(tree) for tree in chain.trees]
    return found
