"""`merge-record`: git's merge of a record, which never blends two people's readings."""

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
    Merge two edits of one record, as git's merge driver; `git-setup` sets it up.

    Where one side alone changed, it is taken. Where both did, OURS is given conflict
    marks around all that differs, and the exit status is 1: a person chooses.

    Example: buildsite merge-record .gitattributes .gitattributes .gitattributes
    """
    before, here, there = (path.read_bytes() for path in (base, ours, theirs))
    whole = merged(before, here, there)
    if whole is not None:
        ours.write_bytes(whole)
        return
    ours.write_bytes(marked(before, here, there, size))
    click.echo(
        f"{name or ours.name}: both sides changed it. Choose between the marks, field "
        "by field from the bench sheet; then run `buildsite check`.",
        err=True,
    )
    raise SystemExit(FAULTY)
