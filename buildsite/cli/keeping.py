"""Records committed as they stand, for whoever has no word of git."""

from collections.abc import Sequence
from pathlib import Path

from buildsite.archive.archive import Archive
from buildsite.errors import EnvironmentFault
from buildsite.exports.schema import schema_files
from buildsite.files import list_archive, write_whole
from buildsite.history.commit import commit, differing, head, who_commits
from buildsite.issuing.refused import laboratory


def may_commit(root: Path) -> bool:
    """Whether a commit can be offered here: there is a clone, and git knows by whom."""
    try:
        head(root)
        who_commits(root)
    except EnvironmentFault:
        return False
    return True


def changed(root: Path) -> list[str]:
    """Records that are not as committed. What was issued is never among them."""
    listing = list_archive(root)
    return differing(root, {name: listing.read(name) for name in listing.names})


def commit_records(root: Path, message: str, names: Sequence[str]) -> None:
    """Commit some records, and the schemas that stand beside them, as they are."""
    listing = list_archive(root)
    archive = Archive(listing.names, listing.read, issued=listing.issued)
    lab = laboratory(archive)
    files = {name: listing.read(name) for name in names}
    schemas = {
        name: (root / name).read_bytes()
        for name in schema_files()
        if (root / name).is_file()
    }
    files |= {name: schemas[name] for name in differing(root, schemas)}
    signed = lab is not None and lab.procedures.signed_edits
    commit(root, files, f"{message}\n", write=write_whole, sign=signed)
