"""`new`: the next record of a kind, ready to fill in."""

from pathlib import Path
from typing import Any

import click

from buildsite.cli.common import archive_root, root_option, write_schemas
from buildsite.errors import EnvironmentFault
from buildsite.files import list_archive, write_whole
from buildsite.kinds import KINDS
from buildsite.kinds.kind import Ask, Kind
from buildsite.pages.archive import Archive
from buildsite.pages.blanks import NewRecord, known, new_record, proposed_id, taken
from buildsite.pages.identity import group_of, name_of
from buildsite.record.ids import ID


@click.group()
def new() -> None:
    """
    Write the next record of a kind, ready to fill in.

    Asks for what it can't know, or takes it by option. Never overwrites.

    Example: buildsite new moisture-density --project heron-flats --defaults
    """


def answered(
    archive: Archive,
    kind: Kind[Any, Any],
    given: dict[str, str | None],
    *,
    defaults: bool,
) -> dict[str, str]:
    """Take what was given, then what the archive knows, and ask for the rest."""
    told = {name: value for name, value in given.items() if value is not None}
    for ask in kind.blank.asks if kind.blank is not None else ():
        if ask.name in told:
            continue
        guess = known(archive, kind, told).get(ask.name, ask.default)
        told[ask.name] = guess if defaults else prompt(ask, guess)
    return told


def prompt(ask: Ask, guess: str) -> str:
    """Ask one question. Enter takes the guess, or leaves the field blank."""
    answer = click.prompt(
        ask.words,
        default=guess,
        show_default=bool(guess),
        type=choice_of(ask),
        err=True,
    )
    return str(answer)


def choice_of(ask: Ask) -> click.Choice[str] | None:
    """The words to choose from, where a question has some."""
    return click.Choice(ask.choices) if ask.choices else None


def save(
    archive: Archive, kind: Kind[Any, Any], folder: Path, record: NewRecord
) -> None:
    """Write a record where nothing stands, and the schemas that it names."""
    path, id = folder / record.file, name_of(record.file)
    if path.exists() or taken(archive, kind.group, id):
        raise click.UsageError(f"{id} is taken. Choose another --id.")
    if group_of(record.file) != kind.group:
        raise click.UsageError(f"{id} is a folder of the archive. Choose another --id.")
    try:
        write_schemas(folder)
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, record.text.encode())
    except OSError as fault:
        raise EnvironmentFault(
            f"Could not write {path}: {fault.strerror}.",
            "Look for a full disk or a folder that may not be written.",
        ) from fault
    click.echo(record.file)


def command_for(kind: Kind[Any, Any]) -> click.Command:
    """Make `new KIND`, with an option for each of its questions."""

    def write(
        id: str | None, root: Path | None, *, defaults: bool, **given: str | None
    ) -> None:
        folder = archive_root(root)
        listing = list_archive(folder)
        archive = Archive(listing.names, listing.read)
        inside = kind.group in ("test", "sample")
        if inside and not archive.ids("project"):
            raise click.UsageError("No project yet: run `buildsite new project` first.")
        told = answered(archive, kind, given, defaults=defaults)
        project = told.get("project", "")
        if inside and archive.find("project", project) is None:
            raise click.UsageError(
                f"No project {project!r} in this archive. Write one with "
                "`buildsite new project`, or correct --project."
            )
        guess = proposed_id(archive, kind, told)
        if id is None:
            id = guess if defaults else str(click.prompt("Id", guess, err=True))
        if not ID.fullmatch(id):
            raise click.UsageError(f"{id!r} can't be an id. Write one such as {guess}.")
        save(archive, kind, folder, new_record(kind, id, told))

    options: list[click.Parameter] = [
        click.Option(
            [f"--{ask.name.replace('_', '-')}"], help=ask.words, type=choice_of(ask)
        )
        for ask in (kind.blank.asks if kind.blank is not None else ())
    ]
    options.append(click.Option(["--id"], help="Its id. Default: the next free one."))
    options.append(
        click.Option(
            ["--defaults"], is_flag=True, help="Ask nothing: blanks and defaults."
        )
    )
    project = "--project heron-flats " if kind.group in ("test", "sample") else ""
    command = click.Command(
        kind.name,
        params=options,
        callback=write,
        help=f"Write the next {kind.title.lower()}.\n\n"
        f"Example: buildsite new {kind.name} {project}--defaults",
    )
    return root_option(command)


for each in KINDS:
    if each.blank is not None:
        new.add_command(command_for(each))
