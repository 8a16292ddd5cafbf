"""`git-setup`: git settings of this clone, to show results and never blend readings."""

import shlex
import shutil
import sys
from pathlib import Path

import click

from buildsite.cli.common import archive_root, root_option
from buildsite.history.clone_setup import (
    ATTRIBUTES,
    drivers_named,
    set_drivers,
    write_hook,
)


@click.command("git-setup")
@click.option(
    "--program",
    metavar="COMMAND",
    help="Command that runs this program. Default: buildsite, if the shell finds it.",
)
@click.option("--hook", is_flag=True, help="Also check records before each commit.")
@root_option
def git_setup(program: str | None, root: Path | None, *, hook: bool) -> None:
    """
    Set up how git shows and merges records in this clone.

    `git diff` and `git log -p` then show each record with its computed results, and a
    merge of two edits of one record stops for a person to choose. Git takes no such
    setting from a repository: run this once in every clone.

    Example: buildsite git-setup
    """
    folder = archive_root(root)
    for name, value in set_drivers(folder, program or program_command()):
        click.echo(f"{name} = {value}")
    if hook:
        click.echo(str(write_hook(folder, program or program_command())))
    if not drivers_named(folder):
        click.echo(
            "Git doesn't use these settings yet. Add this line to .gitattributes next "
            f"to records/ and commit it:\n{ATTRIBUTES}",
            err=True,
        )


def program_command() -> str:
    """Return the command that runs this program in a shell."""
    if shutil.which("buildsite"):
        return "buildsite"
    return shlex.quote(str(Path(sys.executable).parent / "buildsite"))
