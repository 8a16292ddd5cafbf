"""`new staff`: people from a table, added to the laboratory's record."""

from pathlib import Path

import click

from buildsite.archive.archive import Archive
from buildsite.cli.common import (
    archive_root,
    day_or_today,
    my_code,
    open_archive,
    refuse,
    root_option,
)
from buildsite.cli.tables import read_bytes, say_complaints, write_whole_table
from buildsite.entering.answer_forms import as_on_staff_list
from buildsite.entering.record_store import changed_since_commit
from buildsite.errors import FAULTY
from buildsite.files import write_whole
from buildsite.history.commit import commit as commit_files
from buildsite.history.commit import message_of
from buildsite.issuing.refused import without_authority
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
@click.option("--by", metavar="CODE", help="Who adds them. Default: whom git names.")
@click.option("--commit", is_flag=True, help="Commit the laboratory's record at once.")
@root_option
def staff(
    table: Path | None,
    empty: Path | None,
    by: str | None,
    root: Path | None,
    *,
    commit: bool,
) -> None:
    """
    Add people to the laboratory's staff list, from a table.

    Who adds them needs the authority to authorize, wherever anybody has it. One person
    is added or changed with `buildsite enter lab`.

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
    by = who_adds(folder, archive, by)
    if commit:
        reasons = [*changed_since_commit(folder, LAB, archive.read_file(LAB))]
        if reasons:
            refuse(*reasons, nothing=NOBODY)
    made = read_staff(archive, laboratory, read_bytes(table))
    if made.complaints:
        say_complaints(table, made.complaints)
        raise SystemExit(FAULTY)
    people = "person" if len(made.codes) == 1 else "people"
    if commit:
        subject = f"lab: {len(made.codes)} {people} added from {table.name}"
        message = message_of(subject, [("Entered-by", by)] if by else [])
        commit_files(folder, {LAB: made.data}, message, sign=archive.signs_edits())
    else:
        write_whole(folder / LAB, made.data)
    click.echo(LAB)
    click.echo(
        f"{len(made.codes)} {people} added: {', '.join(made.codes)}. "
        "Next: buildsite check",
        err=True,
    )


NOBODY = "Nobody was added."


def who_adds(root: Path, archive: Archive, by: str | None) -> str:
    """
    Return who adds people; refuse somebody without the authority that `enter lab` asks.

    Nobody is asked for as long as nobody can authorize.
    """
    lab = archive.laboratory
    heads = [one for one in lab.staff.values() if "authorize" in one.may] if lab else []
    code = as_on_staff_list(archive, by) if by else my_code(root, archive)
    if not heads:
        return code
    if not code:
        raise click.UsageError("Who adds them? Give --by CODE, who may authorize.")
    reasons = [*without_authority(archive, code, "authorize", day_or_today(None))]
    if reasons:
        refuse(*reasons, nothing=NOBODY)
    return code
