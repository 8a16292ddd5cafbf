"""Records committed as they stand, for whoever has no word of git."""

from collections.abc import Sequence
from pathlib import Path

from buildsite.cli.common import open_archive
from buildsite.errors import EnvironmentFault
from buildsite.exports.schema import schema_files
from buildsite.files import list_archive, write_whole
from buildsite.history.commit import commit, differing, head, who_commits


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
    archive = open_archive(root)
    files = {name: archive.read_file(name) for name in names}
    schemas = {
        name: (root / name).read_bytes()
        for name in schema_files()
        if (root / name).is_file()
    }
    files |= {name: schemas[name] for name in differing(root, schemas)}
    sign = archive.signs_edits()
    commit(root, files, f"{message}\n", write=write_whole, sign=sign)
