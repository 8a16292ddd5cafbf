"""`new KIND --from` and `--template`: records from a table, and an empty table."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import NewRecord
from buildsite.archive.identity import name_of
from buildsite.cli.record_files import write_records
from buildsite.errors import FAULTY
from buildsite.files import write_whole
from buildsite.kinds.kind import Kind
from buildsite.record.flags import Flag, Severity
from buildsite.record.messages import counted, some_of
from buildsite.record.source import read_source
from buildsite.starting.columns import empty_table
from buildsite.starting.rows import Complaint
from buildsite.starting.series import new_in_series
from buildsite.starting.surroundings import Surroundings
from buildsite.starting.table import read_table
from buildsite.starting.table_out import table_of_blanks, table_of_records

NAMED = 5
"""Number of records named beside a flag."""

MOST = 16 * 1024 * 1024
"""Largest table, in bytes."""


def table_options(kind: Kind[Any, Any]) -> list[click.Parameter]:
    """Return the options for tables."""
    path = click.Path(dir_okay=False, path_type=Path)
    return [
        click.Option(
            ["--from", "table"],
            type=path,
            metavar="FILE.csv",
            help="Write a record for each one in a table (docs/tables.md).",
        ),
        click.Option(
            ["--template", "empty"],
            type=path,
            metavar="FILE.csv",
            help="Write a table to fill in, with what is known.",
        ),
        *count_option(kind),
        click.Option(
            ["--export", "export"],
            type=path,
            metavar="FILE.csv",
            help="Write the records there are as a table, those of the other options.",
        ),
    ]


def count_option(kind: Kind[Any, Any]) -> list[click.Parameter]:
    """Return the option for a row of tests, where they follow one another."""
    if kind.blank is None or kind.blank.series is None:
        return []
    return [
        click.Option(
            ["--count"],
            type=click.IntRange(1, 60),
            help="Tests in the table of --template, each with its number and place.",
        )
    ]


def export_table(
    archive: Archive, kind: Kind[Any, Any], path: Path, answers: dict[str, str]
) -> None:
    """Write the records of a kind as a table."""
    data, count = table_of_records(archive, kind, answers)
    if not count:
        raise click.UsageError(f"There is no such {kind.title.lower()} here.")
    write_whole_table(path, data)
    click.echo(counted(count, "record"), err=True)


def write_series(
    around: Surroundings,
    kind: Kind[Any, Any],
    record: NewRecord,
    answers: Mapping[str, str],
    path: Path,
    count: int,
) -> None:
    """Write a table of tests that follow one another, from the first one on."""
    archive, records = around.archive, [record]
    while len(records) < count:
        last = records[-1]
        archive = archive.with_files({last.file: last.text.encode()})
        following = new_in_series(archive, kind, last.file, answers, around.today)
        if following is None:
            break
        records.append(following)
    trees = [(one, read_source(one.file, one.text.encode()).tree) for one in records]
    write_whole_table(path, table_of_blanks(kind, trees))


def import_table(
    archive: Archive,
    kind: Kind[Any, Any],
    root: Path,
    table: Path,
    answers: Mapping[str, str],
    *,
    committing: bool,
) -> None:
    """Write a record for each one in a table, all or none."""
    made = read_table(archive, kind, read_bytes(table), answers)
    if made.complaints:
        say_complaints(table, made.complaints)
        raise SystemExit(FAULTY)
    there = [one.file for one in made.records if (root / one.file).exists()]
    if there:
        raise click.UsageError(f"{', '.join(there)} exists already.")
    noun = "test" if kind.group == "test" else kind.title.lower()
    many = counted(len(made.records), noun)
    message = f"Import {many} from {table.name}" if committing else ""
    write_records(root, made.records, message)
    for note in made.notes:
        click.echo(note, err=True)
    for record in made.records:
        click.echo(record.file)
    for line in flags_in_brief(made.flags):
        click.echo(line, err=True)
    rows = f", {counted(made.lines, 'row')}" if made.lines else ""
    click.echo(f"{many}{rows}. Next: buildsite check", err=True)


def flags_in_brief(flags: Sequence[Flag]) -> Iterator[str]:
    """Yield the flags of imported records by name, errors first, with some records."""
    found: dict[tuple[int, str], list[str]] = {}
    for flag in flags:
        ids = found.setdefault((flag.severity.rank, flag.flag), [])
        if name_of(flag.file) not in ids:
            ids.append(name_of(flag.file))
    words = {severity.rank: severity for severity in Severity}
    for (rank, name), ids in sorted(found.items()):
        some = some_of(sorted(ids), NAMED)
        yield f"{words[rank]}: {name}: {counted(len(ids), 'record')}: {some}"


def say_complaints(table: Path, complaints: Sequence[Complaint]) -> None:
    """Print why a table can't be used."""
    for complaint in complaints:
        click.echo(f"{table.name}: {complaint}", err=True)
    click.echo(f"{counted(len(complaints), 'fault')}. Nothing was written.", err=True)


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


def write_template(
    around: Surroundings,
    kind: Kind[Any, Any],
    record: NewRecord,
    answers: Mapping[str, str],
    path: Path,
    count: int | None,
) -> None:
    """Write an empty table, or one of `count` tests; refuse to overwrite."""
    if count is None:
        write_whole_table(path, empty_table(kind, record))
        return
    write_series(around, kind, record, answers, path, count)


def write_whole_table(path: Path, data: bytes) -> None:
    """Write a table to fill in; refuse to overwrite."""
    if path.exists():
        raise click.UsageError(f"{path} exists already. Choose another name.")
    write_whole(path, data)
    click.echo(str(path))
