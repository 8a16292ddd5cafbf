"""`git-setup`: in this clone, git shows computed results and never blends readings."""

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
    help="How a shell runs this program. Default: buildsite, if it is found so.",
)
@click.option("--hook", is_flag=True, help="Check records before each commit, too.")
@root_option
def git_setup(program: str | None, root: Path | None, *, hook: bool) -> None:
    """
    Set up this clone: how git shows and merges records.

    `git diff` and `git log -p` then show a record and beneath it what is computed from
    it, and a merge of two edits of one record stops for a person to choose. Git takes
    no such setting from a repository: run this once in every clone.

    Example: buildsite git-setup
    """
    folder = archive_root(root)
    for name, value in set_drivers(folder, program or program_command()):
        click.echo(f"{name} = {value}")
    if hook:
        click.echo(str(write_hook(folder, program or program_command())))
    if not drivers_named(folder):
        click.echo(
            "Git does not use them yet. Add this line to .gitattributes beside "
            f"records/ and commit it:\n{ATTRIBUTES}",
            err=True,
        )


def program_command() -> str:
    """Return the command by which a shell finds this program."""
    if shutil.which("buildsite"):
        return "buildsite"
    return shlex.quote(str(Path(sys.executable).parent / "buildsite"))
