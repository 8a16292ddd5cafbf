"""`new KIND --from` and `--template`: results from a table, and an empty table."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import NewRecord
from buildsite.cli.record_files import write_records
from buildsite.errors import FAULTY
from buildsite.files import write_whole
from buildsite.kinds.kind import Kind
from buildsite.record.messages import counted
from buildsite.starting.columns import empty_table
from buildsite.starting.table import read_table

MOST = 16 * 1024 * 1024
"""Largest table, in bytes."""


def table_options(kind: Kind[Any, Any]) -> list[click.Parameter]:
    """Return the options for tables, for a kind with a list of readings."""
    if kind.lines is None:
        return []
    path = click.Path(dir_okay=False, path_type=Path)
    return [
        click.Option(
            ["--from", "table"],
            type=path,
            metavar="FILE.csv",
            help="Write a record for each test in a table (docs/tables.md).",
        ),
        click.Option(
            ["--template", "empty"],
            type=path,
            metavar="FILE.csv",
            help="Write a table to fill in, with what is known.",
        ),
    ]


def import_table(
    archive: Archive,
    kind: Kind[Any, Any],
    root: Path,
    table: Path,
    answers: Mapping[str, str],
    *,
    committing: bool,
) -> None:
    """Write a record for each test in a table, all or none."""
    made = read_table(archive, kind, read_bytes(table), answers)
    for complaint in made.complaints:
        click.echo(f"{table.name}: {complaint}", err=True)
    if made.complaints:
        faults = counted(len(made.complaints), "fault")
        click.echo(f"{faults}. Nothing was written.", err=True)
        raise SystemExit(FAULTY)
    there = [one.file for one in made.records if (root / one.file).exists()]
    if there:
        raise click.UsageError(f"{', '.join(there)} exists already.")
    tests = counted(len(made.records), "test")
    message = f"Import {tests} from {table.name}" if committing else ""
    write_records(root, made.records, message)
    for note in made.notes:
        click.echo(note, err=True)
    for record in made.records:
        click.echo(record.file)
    click.echo(f"{tests}, {made.lines} rows. Next: buildsite check", err=True)


def read_bytes(table: Path) -> bytes:
    """Return the bytes of a table."""
    try:
        with table.open("rb") as file:
            data = file.read(MOST + 1)
    except OSError as error:
        raise click.UsageError(f"Can't read {table}: {error.strerror}.") from None
    if len(data) > MOST:
        raise click.UsageError(f"{table} is larger than 16 MiB: split it.")
    return data


def write_template(kind: Kind[Any, Any], record: NewRecord, path: Path) -> None:
    """Write an empty table; refuse to overwrite."""
    if path.exists():
        raise click.UsageError(f"{path} exists already. Choose another name.")
    write_whole(path, empty_table(kind, record))
    click.echo(str(path))
