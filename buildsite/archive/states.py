"""The archive at one state: the working tree, a commit, or as a revision was issued."""

from collections.abc import Mapping, Sequence
from pathlib import Path

from buildsite.archive.archive import Archive
from buildsite.files import list_archive
from buildsite.history.run import is_record
from buildsite.record.commits import Commit, Past
from buildsite.record.issued import SUFFIX, issued_name, read_issued, whole_digest
from buildsite.software import fingerprint


def working_archive(root: Path) -> Archive:
    """Return the archive as it stands in the working tree."""
    listing = list_archive(root)
    return Archive(
        listing.names,
        listing.read,
        issued=listing.issued,
        kept=listing.kept,
        program=fingerprint,
    )


def archive_at(
    past: Past,
    commit: str,
    only: Sequence[str] | None = None,
    pins: Mapping[str, int] | None = None,
) -> Archive:
    """
    Return the archive as it stood at a commit.

    Parameters
    ----------
    past
        The repository's past.
    commit
        Id of the commit.
    only
        Paths to look at, where the caller knows that no other is named; all otherwise.
    pins
        Tests of which no later report than that is looked at, as `pins_of` has them.
    """
    there = (
        past.names(commit)
        if only is None
        else [n for n in only if past.blob(commit, n)]
    )

    def read(name: str) -> bytes:
        data = past.read(commit, name)
        if data is None:
            raise KeyError(name)
        return data

    return Archive(
        [name for name in there if is_record(name)],
        read,
        issued=[name for name in there if name.endswith(SUFFIX)],
        program=fingerprint,
        pins=pins or {},
    )


def issue_commit(past: Past, file: str, revision: int) -> Commit | None:
    """
    Find the commit that made an item of a test's issued file, on whichever branch.

    Its tree holds the inputs of that item, for an issue names committed contents only.
    The merge that brought it to the main line may hold later ones.
    """
    name = issued_name(file)
    wanted = item_digest_at(past, past.main[0], name, revision) if past.main else ""
    for commit in reversed(past.commits):
        if any(touch.path == name for touch in commit.touches):
            made = item_digest_at(past, commit, name, revision)
            if made and wanted in ("", made):
                return commit
    return None


def item_digest_at(past: Past, commit: Commit, name: str, revision: int) -> str:
    """Digest of an item of an issued file at a commit; empty where it was not there."""
    data = past.read(commit.id, name)
    issued = read_issued(name, data)[0] if data is not None else None
    if issued is None or len(issued.trees) <= revision:
        return ""
    return whole_digest(issued.trees[revision])
