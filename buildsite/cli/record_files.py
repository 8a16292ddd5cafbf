"""Writing and committing records."""

from collections.abc import Iterable, Sequence
from pathlib import Path

from buildsite.archive.blanks import NewRecord
from buildsite.cli.common import open_archive
from buildsite.errors import EnvironmentFault
from buildsite.exports.schema import schema_files, schema_name
from buildsite.files import write_files, write_whole
from buildsite.history.commit import commit, differing, head, who_commits
from buildsite.history.run import blobs_at, is_record
from buildsite.kinds import KIND_FILES


def may_commit(root: Path) -> bool:
    """Whether a commit is possible: there is a clone, and git knows who commits."""
    try:
        head(root)
        who_commits(root)
    except EnvironmentFault:
        return False
    return True


def changed_records(root: Path) -> list[str]:
    """Return the records that differ from HEAD or are gone, without issued files."""
    archive = open_archive(root)
    there = {name: archive.read_file(name) for name in archive.names}
    gone = (name for name in blobs_at(root, "HEAD") if is_record(name))
    return sorted({*differing(root, there), *(set(gone) - there.keys())})


def write_schemas(root: Path, kinds: Iterable[str]) -> list[str]:
    """Update the schemas of these kinds next to the records; return those written."""
    stale = {
        name: data
        for name, data in schema_files(kinds).items()
        if not (root / name).exists() or (root / name).read_bytes() != data
    }
    for name, data in stale.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        write_whole(root / name, data)
    return list(stale)


def write_records(root: Path, records: Sequence[NewRecord], message: str) -> None:
    """Write new records, all or none, with their schemas; commit for a message."""
    files = {record.file: record.text.encode() for record in records}
    try:
        schemas = write_schemas(root, {record.kind for record in records})
        for name in files:
            (root / name).parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise EnvironmentFault(
            f"Can't write {error.filename}: {error.strerror}.",
            "Check the free disk space and the permissions of the folder.",
        ) from error
    if message:
        files |= {name: (root / name).read_bytes() for name in schemas}
        commit(root, files, f"{message}\n")
    else:
        write_files(root, files)


def commit_records(root: Path, message: str, names: Sequence[str]) -> None:
    """Commit some records, gone ones too, and the schemas next to them."""
    archive = open_archive(root)
    files: dict[str, bytes | None] = {
        name: archive.read_file(name) if name in archive.names else None
        for name in names
    }
    schemas = {
        name: (root / name).read_bytes()
        for name in map(schema_name, KIND_FILES)
        if (root / name).is_file()
    }
    files |= {name: schemas[name] for name in differing(root, schemas)}
    sign = archive.signs_edits()
    commit(root, files, f"{message}\n", sign=sign)
