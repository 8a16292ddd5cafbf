"""`confirm`: an unchecked figure of a standard, confirmed with one's own copy."""

from pathlib import Path

import click

from buildsite.archive.archive import Archive
from buildsite.archive.new_confirmation import (
    still_unchecked,
    with_confirmation,
)
from buildsite.cli.common import (
    archive_root,
    at_terminal,
    day_so_far,
    my_code,
    open_archive,
    refuse,
    root_option,
)
from buildsite.entering.record_store import changed_since_commit, open_store
from buildsite.kinds.methods import designations, known_designation
from buildsite.record.flags import new_flags
from buildsite.record.messages import counted
from buildsite.record.places import LAB

ASKED = {
    "value": "Value in your copy, with tolerance and unit",
    "edition": "Edition of your copy",
    "clause": "Clause",
    "by": "Your staff code",
}
"""What a confirmation needs, in the order it is asked."""

NOTHING = "Nothing was confirmed."


@click.command()
@click.argument("standard")
@click.argument("item", required=False)
@click.option("--value", metavar="TEXT", help=f"{ASKED['value']}: 305 +/- 2 mm.")
@click.option("--edition", metavar="TEXT", help="Edition of the copy, such as 22.")
@click.option("--clause", metavar="TEXT", help="Clause, table or figure: 3.2.1.")
@click.option("--by", metavar="CODE", help="Who looked; may review or authorize.")
@click.option("--on", metavar="DATE", help="The day, YYYY-MM-DD. Default: today.")
@click.option("--method", metavar="NAME", help="Only this method. Default: all.")
@click.option("--no-commit", is_flag=True, help="Write lab.yaml, without a commit.")
@root_option
def confirm(
    standard: str,
    item: str | None,
    on: str | None,
    method: str | None,
    root: Path | None,
    *,
    no_commit: bool,
    **given: str | None,
) -> None:
    """
    Confirm that an unchecked ITEM of STANDARD stands so in your own copy.

    Without ITEM, lists what is not yet checked. With it, read the item in your copy and
    give the value that stands there: it is compared with the program's. The
    confirmation goes into lab.yaml, and reports name your edition and clause as the
    source from then on.

    Example: buildsite confirm "T 99" Layers --value 3 --edition 22 --clause 5.2
        --by E02 --on 2026-11-25
    """
    folder = archive_root(root)
    archive = open_archive(folder)
    designation = designation_of(standard)
    if item is None:
        show_unchecked(archive, designation)
        return
    said = {name: given[name] or "" for name in ASKED}
    said["by"] = said["by"] or my_code(folder, archive)
    said |= {"standard": designation, "method": method or "", "cell": item}
    ask(said)
    said["on"] = day_so_far(on).isoformat()
    keep(folder, archive, said, committing=not no_commit)


def designation_of(text: str) -> str:
    """Return the designation of a standard as on file; refuse an unknown one."""
    found = known_designation(text)
    if found is None:
        on_file = ", ".join(designations())
        raise click.UsageError(f"No standard {text!r}. On file: {on_file}.")
    return found


def show_unchecked(archive: Archive, designation: str) -> None:
    """List what is not yet checked of a standard, and how to confirm it."""
    found = list(still_unchecked(archive, designation))
    for name, value, source in found:
        other = f"  ({source})" if source != designation else ""
        click.echo(f"{name}: {value}{other}")
    items = counted(len(found), "item")
    click.echo(f"{designation}: {items} not yet checked.", err=True)
    if found:
        words = f'buildsite confirm "{designation}" "{found[0][0]}"'
        click.echo(f"To confirm one: `{words}`.", err=True)


def ask(said: dict[str, str]) -> None:
    """Ask at the terminal for what was not given; refuse if nobody is there."""
    for name, words in ASKED.items():
        if not said[name] and at_terminal():
            said[name] = str(click.prompt(words, err=True))
    missing = [f"--{name}" for name in ASKED if not said[name]]
    if missing:
        raise click.UsageError(f"Give {', '.join(missing)}.")


def keep(
    root: Path, archive: Archive, said: dict[str, str], *, committing: bool
) -> None:
    """Write the confirmation into lab.yaml, and commit it."""
    source = archive.entry(LAB).source
    if committing:
        reasons = [*changed_since_commit(root, LAB, source.data)]
        if reasons:
            refuse(*reasons, nothing=NOTHING)
    data = with_confirmation(source, said)
    after = archive.with_files({LAB: data})
    flags = new_flags(after.flags(LAB), archive.flags(LAB))
    if flags:
        refuse(*map(str, flags), nothing=NOTHING)
    store = open_store(root, LAB, committing=committing, signed=archive.signs_edits())
    store.save(source.data, data, said["by"])
    subject = f"lab: {said['cell']} of {said['standard']} confirmed"
    if committing:
        reason = f"edition {said['edition']}, clause {said['clause']}"
        store.commit(data, subject, [("Entered-by", said["by"]), ("Reason", reason)])
    click.echo(f"{said['standard']}, {said['cell']}: {said['value']}, confirmed")
