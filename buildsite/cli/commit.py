"""`commit`: changed records, committed with who and why."""

from collections.abc import Sequence
from pathlib import Path

import click

from buildsite.archive.identity import group_of, name_of
from buildsite.cli.common import archive_root, at_terminal, record_names, root_option
from buildsite.cli.record_files import changed_records, commit_records
from buildsite.entering.record_store import committed_bytes, open_store
from buildsite.files import list_archive
from buildsite.history.commit import head, message_of, who_commits
from buildsite.history.under_way import refuse_while_under_way


@click.command()
@click.argument("paths", nargs=-1, metavar="[FILE]...", type=click.Path(path_type=Path))
@click.option("--why", metavar="TEXT", help="Reason of the change. Default: asked.")
@root_option
def commit(paths: tuple[Path, ...], why: str | None, root: Path | None) -> None:
    """
    Commit all changed records, or only each FILE.

    Reports are reviewed and issued from committed records. Readings saved by `enter`
    are committed by `enter`, which knows who entered them.

    Example: buildsite commit --why "mold M-03 calibrated again"
    """
    folder = archive_root(root)
    head(folder)
    refuse_while_under_way(folder)
    who_commits(folder)
    names = choose_records(folder, paths)
    if not names:
        click.echo("All records are committed: nothing to do.", err=True)
        return
    for name in names:
        new = committed_bytes(folder, name) is None
        click.echo(f"{'new' if new else 'changed'}: {name}", err=True)
    reason = why or ask_reason()
    what = ", ".join(map(name_of, names[:MOST])) + (" and others" * (len(names) > MOST))
    message = message_of(f"{what}: {reason}", [("Reason", reason)])
    commit_records(folder, message.rstrip("\n"), names)
    for name in names:
        click.echo(name)


MOST = 3
"""Number of records named in a commit's subject."""


def choose_records(root: Path, paths: Sequence[Path]) -> list[str]:
    """Return the changed records among those named, without readings of `enter`."""
    names = changed_records(root)
    if paths:
        wanted = set(record_names(root, list_archive(root).names, paths))
        names = [name for name in names if name in wanted]
    found = []
    for name in names:
        slip = open_store(root, name, committing=True, signed=False)
        test = group_of(name) == "test"
        by = slip.left((root / name).read_bytes()).by if test else ""
        if by:
            click.echo(
                f"not committed: {name} has readings entered by {by}; run "
                f"`buildsite enter {name_of(name)}`",
                err=True,
            )
        else:
            found.append(name)
    return found


def ask_reason() -> str:
    """Ask for the reason until it has words."""
    if not at_terminal():
        raise click.UsageError("The reason is missing. Give --why TEXT.")
    while True:
        answer = str(click.prompt("Reason (recorded with the change)", err=True))
        if any(letter.isalpha() for letter in answer):
            return answer
