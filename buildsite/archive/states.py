"""The archive in the working tree or at a commit."""

from collections.abc import Mapping, Sequence
from pathlib import Path

from buildsite.archive.archive import Archive
from buildsite.files import list_archive
from buildsite.history.run import is_record
from buildsite.record.commits import Commit, Past
from buildsite.record.issued import issued_name, read_issued, whole_digest
from buildsite.record.places import SUFFIX
from buildsite.software import fingerprint


def working_archive(root: Path) -> Archive:
    """Return the archive in the working tree."""
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
    Return the archive at a commit.

    `only` are the paths to include, all by default. `pins` gives, by test, the last
    revision to consider.
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


def archive_of_files(files: Mapping[str, bytes], pins: Mapping[str, int]) -> Archive:
    """Return the archive of these files, as a merge would have them."""
    return Archive(
        [name for name in files if is_record(name)],
        files.__getitem__,
        issued=[name for name in files if name.endswith(SUFFIX)],
        program=fingerprint,
        pins=pins,
    )


def issue_commit(past: Past, file: str, revision: int) -> Commit | None:
    """
    Return the commit that issued a revision, on whichever branch.

    It has the inputs of that item, because only committed records are issued. The merge
    that brought it to the main line may have later ones.
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
    """Return the digest of an issued item at a commit; empty if it did not exist."""
    data = past.read(commit.id, name)
    issued = read_issued(name, data)[0] if data is not None else None
    if issued is None or len(issued.trees) <= revision:
        return ""
    return whole_digest(issued.trees[revision])
