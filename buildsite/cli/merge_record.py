"""`merge-record`: git's merge driver for records; never blends readings."""

from pathlib import Path

import click

from buildsite.errors import FAULTY
from buildsite.record.merge import marked, merged

FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


@click.command("merge-record")
@click.argument("base", type=FILE)
@click.argument("ours", type=FILE)
@click.argument("theirs", type=FILE)
@click.argument("size", type=click.IntRange(1), default=7)
@click.argument("name", default="")
def merge_record(base: Path, ours: Path, theirs: Path, size: int, name: str) -> None:
    """
    Merge two edits of one record: git's merge driver, set up by `git-setup`.

    If only one side changed, it is taken. If both did, conflict markers are written
    into OURS around all that differs, with exit status 1: a person chooses.

    Example: buildsite merge-record .gitattributes .gitattributes .gitattributes
    """
    before, here, there = (path.read_bytes() for path in (base, ours, theirs))
    whole = merged(before, here, there)
    if whole is not None:
        ours.write_bytes(whole)
        return
    ours.write_bytes(marked(before, here, there, size))
    click.echo(
        f"{name or ours.name}: changed on both sides. Between the conflict markers, "
        "keep what the bench sheet says, field by field; then run `buildsite check`.",
        err=True,
    )
    raise SystemExit(FAULTY)
