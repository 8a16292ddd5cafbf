"""A record as git shows it: the file, and below it the computed results."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from buildsite.archive.identity import group_of
from buildsite.cli.common import archive_root, open_archive
from buildsite.errors import EnvironmentFault
from buildsite.kinds import kind_named
from buildsite.pages.terminal import comment_lines
from buildsite.record.flags import Severity
from buildsite.record.places import LAB, SUFFIX
from buildsite.record.source import Source, read_source


def textconv(path: Path) -> bytes:
    """
    Return a file unchanged, followed by its computed results as comments.

    It never fails, for git would show nothing of the file. What a record names is taken
    from the present archive, for git passes only one file.
    """
    if path.is_symlink():
        return b"# not read: a symbolic link\n"
    try:
        data = path.read_bytes()
    except OSError as error:
        return f"# not read: {error.strerror}\n".encode()
    try:
        lines = list(computed_lines(path, data))
    except EnvironmentFault as fault:
        lines = [f"# not computed: {fault.cause}"]
    except Exception as bug:  # noqa: BLE001 — git would show nothing of the file
        lines = [f"# not computed: {type(bug).__name__}: {bug}".replace("\n", " ")]
    gap = b"" if not lines or data.endswith(b"\n") or not data else b"\n"
    return data + gap + "".join(f"{line}\n" for line in lines).encode()


def computed_lines(path: Path, data: bytes) -> Iterator[str]:
    """Yield the computed results of a record, line by line; none of an issued file."""
    if path.name.endswith(SUFFIX):
        return
    root = archive_root(None)
    archive = open_archive(root)
    source = read_source(path.name, data)
    file = archive_path(path, root, archive.names, source)
    if not group_of(file):
        return
    archive = archive.with_files({file: data})
    made = archive.outcome(file)
    if made is None:
        errors = [f for f in archive.flags(file) if f.severity is Severity.ERROR]
        yield f"# not computed: {errors[0].message if errors else 'no record'}"
    elif made.results or made.flags:
        yield from comment_lines(made)


def archive_path(path: Path, root: Path, names: Sequence[str], source: Source) -> str:
    """
    Return the path of a file in the archive.

    Git passes a committed version as a copy elsewhere, which keeps only the last part
    of the name.
    """
    whole = path.resolve()
    if whole.is_relative_to(root):
        return whole.relative_to(root).as_posix()
    same = [name for name in names if name.rpartition("/")[2] == path.name]
    id, project = source.tree.get("id"), source.tree.get("project")
    if path.name == "project.yaml":
        return f"records/{id}/project.yaml"
    if len(same) == 1:
        return same[0]
    if path.name == "lab.yaml":
        return LAB
    kind = kind_named(str(source.tree.get("kind")))
    named = kind.folder if kind is not None and kind.group == "test" else "samples"
    folder = "tests" if kind is None and "standard" in source.tree else named
    return f"records/{project}/{folder}/{path.name}" if project else ""
