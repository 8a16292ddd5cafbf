"""`new staff`: people from a table, added to the laboratory's record."""

from pathlib import Path

import click

from buildsite.cli.common import archive_root, open_archive, root_option
from buildsite.cli.tables import read_bytes, say_complaints, write_whole_table
from buildsite.errors import FAULTY
from buildsite.files import write_whole
from buildsite.history.commit import commit as commit_files
from buildsite.record.places import LAB


@click.command()
@click.option(
    "--from",
    "table",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE.csv",
    help="Add the people of a table (docs/tables.md).",
)
@click.option(
    "--template",
    "empty",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE.csv",
    help="Write a table to fill in.",
)
@click.option("--commit", is_flag=True, help="Commit the laboratory's record at once.")
@root_option
def staff(
    table: Path | None, empty: Path | None, root: Path | None, *, commit: bool
) -> None:
    """
    Add people to the laboratory's staff list, from a table.

    One person is added or changed with `buildsite enter lab`.

    Example: buildsite new staff --template staff.csv
    """
    from buildsite.kinds.laboratory.lab import KIND as laboratory
    from buildsite.starting.staff_table import empty_staff_table, read_staff

    if (table is None) == (empty is None):
        raise click.UsageError("Give --from or --template, with the table's name.")
    if empty is not None:
        write_whole_table(empty, empty_staff_table(laboratory))
    if table is None:
        return
    folder = archive_root(root)
    archive = open_archive(folder)
    made = read_staff(archive, laboratory, read_bytes(table))
    if made.complaints:
        say_complaints(table, made.complaints)
        raise SystemExit(FAULTY)
    people = "person" if len(made.codes) == 1 else "people"
    if commit:
        message = f"lab: {len(made.codes)} {people} added from {table.name}\n"
        commit_files(folder, {LAB: made.data}, message, sign=archive.signs_edits())
    else:
        write_whole(folder / LAB, made.data)
    click.echo(LAB)
    click.echo(
        f"{len(made.codes)} {people} added: {', '.join(made.codes)}. "
        "Next: buildsite check",
        err=True,
    )
