"""`new`: the next record of a kind, ready to fill in."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import NewRecord, is_taken, new_record
from buildsite.archive.identity import group_of, name_of
from buildsite.cli.common import (
    archive_root,
    at_terminal,
    day_or_today,
    my_code,
    open_archive,
    option_of,
    root_option,
)
from buildsite.cli.new_prompts import ask_all, choose_id
from buildsite.cli.new_staff import staff
from buildsite.cli.prompts import KEYS, choice_of
from buildsite.cli.record_files import commit_records, may_commit, write_records
from buildsite.cli.tables import (
    export_table,
    import_table,
    table_options,
    write_template,
)
from buildsite.errors import EnvironmentFault
from buildsite.kinds import all_kinds
from buildsite.kinds.blank import Ask
from buildsite.kinds.kind import Kind
from buildsite.starting.surroundings import Surroundings, with_resolutions
from buildsite.starting.typed_units import quantity_of, worded


@click.group()
def new() -> None:
    """
    Start a record of a kind, ready to fill in.

    Asks for what it can't know; each question is also an option. Never overwrites.

    Example: buildsite new moisture-density --project heron-flats --defaults
    """


def look_around(root: Path) -> Surroundings:
    """Return what a new record can take from the archive, the date and git."""
    archive = open_archive(root)
    return Surroundings(archive, day_or_today(None), my_code(root, archive))


def write_record(
    around: Surroundings,
    kind: Kind[Any, Any],
    root: Path,
    record: NewRecord,
    *,
    committing: bool,
) -> None:
    """Write a new record, and the schemas that it names."""
    id = name_of(record.file)
    if (root / record.file).exists() or is_taken(around.archive, kind.group, id):
        raise click.UsageError(f"{id} is taken. Choose another --id.")
    if group_of(record.file) != kind.group:
        raise click.UsageError(f"{id} is the name of a folder. Choose another --id.")
    message = f"{id}: new {kind.title.lower()}" if committing else ""
    write_records(root, [record], message)
    click.echo(record.file)


def commit_record(root: Path, kind: Kind[Any, Any], record: NewRecord) -> None:
    """Commit a new record; if that fails, say that it is written."""
    message = f"{name_of(record.file)}: new {kind.title.lower()}"
    try:
        commit_records(root, message, [record.file])
    except EnvironmentFault as fault:
        raise EnvironmentFault(
            fault.cause,
            f"{record.file} is written but not committed. Correct that, then run "
            "`buildsite commit`.",
        ) from fault


def write_one(
    around: Surroundings,
    kind: Kind[Any, Any],
    folder: Path,
    told: tuple[str, Mapping[str, str]],
    *,
    asked: bool,
    commit: bool | None,
) -> None:
    """Write one record, with its id and answers; commit it if wanted; say what next."""
    id, answers = told
    record = with_resolutions(around.archive, kind, id, answers)
    offer = commit is None and asked and kind.group != "test"
    offer = offer and may_commit(folder)
    write_record(around, kind, folder, record, committing=bool(commit) and not asked)
    if (asked and commit) or (offer and click.confirm(KEEP, True, err=True)):
        commit_record(folder, kind, record)
    if asked and kind.bench is not None:
        click.echo(f"Next, enter its readings: buildsite enter {id}", err=True)
    if asked and kind.group == "sample":
        click.echo(f"Label for its bags: buildsite worksheet {id}", err=True)


def refuse_without_project(archive: Archive, kind: Kind[Any, Any]) -> None:
    """Refuse before the first question if there is no project for the record."""
    if kind.group in INSIDE and not archive.ids("project"):
        raise click.UsageError("No project yet: run `buildsite new project` first.")


def refuse_unknown_project(
    archive: Archive, kind: Kind[Any, Any], project: str
) -> None:
    """Refuse an unknown project."""
    if kind.group in INSIDE and archive.find("project", project) is None:
        raise click.UsageError(
            f"No project {project!r} in this archive. Correct --project, or write a "
            "project with `buildsite new project`."
        )


def keys_of(kind: Kind[Any, Any]) -> str:
    """Return the keys of a dialog, and how numbers may be typed."""
    asks = kind.blank.asks if kind.blank is not None else ()
    return f"{KEYS}\n{WITH_UNIT}" if any(map(quantity_of, asks)) else KEYS


def help_of(ask: Ask) -> str:
    """Return the help of a question's option."""
    typed = " (or with its unit)" if quantity_of(ask) else ""
    return f"{worded(ask, {})}{typed}"


def purpose(kind: Kind[Any, Any]) -> str:
    """
    Return what `new KIND` does.

    >>> from buildsite.kinds import kind_named
    >>> [purpose(kind_named(name)) for name in ("coarse-fraction", "oven")]
    ['Start a coarse-fraction record.', "Add an oven's record."]
    """
    if kind.group == "test":
        return f"Start a {kind.name} record."
    title = kind.title.lower()
    return f"Add a{'n' if title[0] in 'aeiou' else ''} {title}'s record."


def example_words(kind: Kind[Any, Any]) -> str:
    """Return the options of an example that suggestions can't stand in for."""
    if kind.group == "equipment":
        own = {"balance": "--readability 0.1 ", "sieve": '--opening "No. 4" '}
        return f"{own.get(kind.name, '')}--on 2026-11-23 "
    return "--project heron-flats " if kind.group in INSIDE else ""


WITH_UNIT = "A number may have its unit behind it: 4.41 lb, 0.0333 ft3, 4.584 in"

KEEP = "Commit it now? Reports are issued only from committed records"
"""Asked at a terminal. Tests are committed by `enter`."""

INSIDE = ("test", "sample", "family")
"""Groups with records in a project's folder."""


def command_for(kind: Kind[Any, Any]) -> click.Command:
    """Return `new KIND`, with an option for each of its questions."""

    def write(
        id: str | None,
        root: Path | None,
        *,
        defaults: bool,
        commit: bool | None = None,
        table: Path | None = None,
        empty: Path | None = None,
        export: Path | None = None,
        count: int | None = None,
        **given: str | None,
    ) -> None:
        folder = archive_root(root)
        around = look_around(folder)
        archive = around.archive
        told = {name: value for name, value in given.items() if value}
        if export is not None:
            export_table(archive, kind, export, told)
            return
        refuse_without_project(archive, kind)
        if table is not None:
            told |= {"id": id} if id else {}
            import_table(archive, kind, folder, table, told, committing=bool(commit))
            return
        asked = not defaults and at_terminal()
        if asked:
            click.echo(keys_of(kind), err=True)
        whole = empty is None
        answers = ask_all(around, kind, given, defaults=defaults, may_lack=not whole)
        refuse_unknown_project(archive, kind, answers.get("project", ""))
        id = choose_id(archive, kind, answers, id, defaults=defaults)
        if empty is not None:
            first = new_record(kind, id, answers)
            write_template(around, kind, first, told, empty, count)
            return
        write_one(around, kind, folder, (id, answers), asked=asked, commit=commit)

    command = click.Command(
        kind.name,
        params=options_of(kind),
        callback=write,
        help=f"{purpose(kind)}\n\n"
        f"Example: buildsite new {kind.name} {example_words(kind)}--defaults",
    )
    return root_option(command)


def options_of(kind: Kind[Any, Any]) -> list[click.Parameter]:
    """Return an option for each question, and those of every kind."""
    options: list[click.Parameter] = [
        click.Option([option_of(ask.name)], help=help_of(ask), type=choice_of(ask))
        for ask in (kind.blank.asks if kind.blank is not None else ())
    ]
    options.append(click.Option(["--id"], help="Id. Default: the next free one."))
    options.append(
        click.Option(
            ["--defaults"], is_flag=True, help="Ask nothing: accept the suggestions."
        )
    )
    options.append(
        click.Option(
            ["--commit/--no-commit"],
            default=None,
            help="Commit the new file at once. Default: asked at a terminal.",
        )
    )
    return [*options, *table_options(kind)]


for each in all_kinds():
    if each.blank is not None:
        new.add_command(command_for(each))
new.add_command(staff)
