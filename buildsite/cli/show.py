"""`show`: one computed record, in the terminal or as JSON."""

import os
import sys
from collections.abc import Iterator
from pathlib import Path

import click

from buildsite.archive.archive import Archive, compute_standalone
from buildsite.archive.identity import nearest_all
from buildsite.archive.task import TITLES
from buildsite.cli.common import archive_root, open_archive, record_names, root_option
from buildsite.errors import EnvironmentFault
from buildsite.exports.result_json import result_json
from buildsite.kinds.outcome import Outcome
from buildsite.record.flags import Flag, Severity
from buildsite.record.messages import join_choices

GROUPS = ("test", "sample", "family", "equipment", "project", "laboratory")


@click.command()
@click.argument("test")
@click.option("--json", "as_json", is_flag=True, help="The whole result as JSON.")
@click.option(
    "--textconv",
    "for_git",
    is_flag=True,
    help="For git: the file at path TEST, unchanged, and its computed results.",
)
@root_option
def show(test: str, root: Path | None, *, as_json: bool, for_git: bool) -> None:
    """
    Compute TEST and show its result.

    TEST is an id; REV:ID for the record at a git revision; the path of a file outside
    the archive; or - for standard input. A record from outside is computed by itself,
    without the equipment, sample or project that it names.

    Example: buildsite show HF-0117 --json
    """
    if for_git:
        from buildsite.cli.textconv import textconv

        click.echo(textconv(Path(test)), nl=False)
        return
    if test == "-" or is_outside(test, root):
        data = sys.stdin.buffer.read() if test == "-" else Path(test).read_bytes()
        made, flags = compute_standalone(
            data, "standard input" if test == "-" else test
        )
    else:
        made, flags = outcome_inside(test, root)
    if made is None:
        for flag in flags:
            click.echo(str(flag), err=True)
        raise SystemExit(1)
    if as_json:
        from buildsite.software import software

        click.echo(result_json(made, software()).decode(), nl=False)
    else:
        from buildsite.pages.terminal import sheet_text

        click.echo(sheet_text(made.sheet(), made.flags, tuple(progress_lines(made))))
    errors = any(flag.severity is Severity.ERROR for flag in made.flags)
    raise SystemExit(1 if errors and made.status in ("complete", "") else 0)


def progress_lines(made: Outcome) -> Iterator[str]:
    """Yield where a test in progress stands, and the next step."""
    if made.status == "in-progress" and made.kind.group == "test":
        from buildsite.archive.waiting_tests import progress_task

        task = progress_task(made)
        yield TITLES[task.list]
        yield f"  {task.what[:1].upper()}{task.what[1:]}."
        yield f"  Next step: {task.step}"


def is_outside(test: str, root: Path | None) -> bool:
    """
    Whether the argument is the path of a file outside the archive.

    A link in the archive is refused: what it leads to is no record of the archive.
    """
    path = Path(os.path.abspath(test))  # noqa: PTH100 — resolve() would follow links
    if not is_file(path):
        return False
    try:
        records = archive_root(root or path.parent) / "records"
    except EnvironmentFault:
        return True
    if not path.is_relative_to(records):
        return not path.resolve().is_relative_to(records.resolve())
    for place in (path, *path.parents):
        if place.is_symlink():
            raise click.UsageError(
                f"{place} is a symbolic link, which is never followed. Put the record "
                "itself there."
            )
        if place == records:
            break
    return False


def is_file(path: Path) -> bool:
    """Whether there is a file; a name too long for one is the name of none."""
    try:
        return path.is_file()
    except OSError:
        return False


def archive_of(test: str, root: Path) -> tuple[str, Archive]:
    """Return the id, and the archive of the working tree or of a revision."""
    revision, colon, id = test.rpartition(":")
    if colon:
        from buildsite.history.run import at_revision, issued_at

        names, read = at_revision(root, revision)
        return id, Archive(names, read, issued=issued_at(root, revision))
    return id, open_archive(root)


def outcome_inside(
    test: str, root: Path | None
) -> tuple[Outcome | None, tuple[Flag, ...]]:
    """Return the outcome and the flags of a record of the archive."""
    path = Path(test)
    if is_file(path):
        path = path.resolve()
        root = archive_root(root or path.parent)
        archive = open_archive(root)
        (file,) = record_names(root, archive.names, [path])
        return archive.outcome(file), archive.flags(file)
    id, archive = archive_of(test, archive_root(root))
    for group in GROUPS:
        found = archive.find(group, id)
        if found is not None:
            return archive.outcome(found), archive.flags(found)
    near = nearest_all(id, [name for group in GROUPS for name in archive.ids(group)])
    hint = (
        f"Did you mean {join_choices(near)}?"
        if near
        else "See `buildsite check` for what there is."
    )
    raise click.UsageError(f"No record {id!r} in this archive. {hint}")
