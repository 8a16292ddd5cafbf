"""The program's commands, one file each."""

import gc
import sys
from importlib import import_module
from pathlib import Path
from typing import Any

import click

from buildsite import __version__
from buildsite.cli.light_imports import load_pydantic, load_yaml
from buildsite.errors import BUG, ENVIRONMENT, INTERRUPTED, EnvironmentFault
from buildsite.record.unseen import printable

COMMANDS = {
    "build": "Build the whole site.",
    "calibrate": "Enter a calibration of equipment, and see which tests move.",
    "check": "Check every record and list the flags.",
    "commit": "Commit changed records, with the reason.",
    "confirm": "Confirm a standard's figure with your own copy.",
    "diff": "Compare two states of a test.",
    "enter": "Enter readings at the bench, one question at a time.",
    "export": "Write the results in open formats: CSV or JSON.",
    "git-setup": "Set up git to show computed results and never blend readings.",
    "history": "Show the edits that changed a test, and its revisions.",
    "init": "Start a new laboratory's archive.",
    "issue": "Issue a revision of a test, and keep its report.",
    "merge-record": "Merge two edits of a record, for git.",
    "new": "Start a record, ready to fill in.",
    "next": "Advise at the bench on the next step of a test.",
    "review": "Enter a review in a test's record.",
    "schema": "Write the JSON Schemas for editors.",
    "serve": "Show the site on this machine and rebuild it on change.",
    "show": "Compute one record and show the result.",
    "today": "List what is to be done, with the next step of each.",
    "validate": "Recompute published worked examples and compare.",
    "verify": "Verify that nothing issued or published was altered.",
    "worksheet": "Write a bench sheet to print, blank or filled in.",
}
"""Each command and its line of help, listed without importing it."""


class Commands(click.Group):
    """Commands imported only when they run, so that `check` starts fast."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the commands in order."""
        return sorted(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import and return one command."""
        if cmd_name not in COMMANDS:
            return None
        load_pydantic()
        load_yaml()
        name = cmd_name.replace("-", "_")
        command = getattr(import_module(f"buildsite.cli.{name}"), name)
        gc.freeze()
        gc.set_threshold(50_000, 20, 20)  # a record's models are no garbage either
        gc.enable()
        return command if isinstance(command, click.Command) else None

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command; end it at Ctrl-C with the status that shells expect."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            click.echo("Stopped.", err=True)
            ctx.exit(INTERRUPTED)

    def format_commands(
        self, ctx: click.Context, formatter: click.HelpFormatter
    ) -> None:
        """List the commands without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl(sorted(COMMANDS.items()))


@click.group(cls=Commands)
@click.version_option(__version__, prog_name="buildsite")
def buildsite() -> None:
    """
    Keep compaction tests as text in git; check, compute and publish them.

    Exit status: 0 done; 1 a complete test has an error, or a verification failed;
    2 usage error; 3 unusable machine or clone; 70 internal error; 130 stopped by
    Ctrl-C.
    """


def main() -> None:
    """Run the program; on a fault print cause and remedy, and exit by the table."""
    # Importing makes many objects and no garbage: looking for it costs a `check` 6 %.
    gc.disable()
    try:
        buildsite(standalone_mode=True, prog_name="buildsite")
    except EnvironmentFault as fault:
        for line in str(fault).splitlines():
            click.echo(printable(line), err=True)
        sys.exit(ENVIRONMENT)
    except Exception as bug:  # noqa: BLE001 — the last resort: a log, not a traceback
        click.echo(report(bug), err=True)
        sys.exit(BUG)
    finally:
        gc.freeze()  # no collection at exit


def report(bug: Exception) -> str:
    """Write the traceback to a file; return the message that names it."""
    import tempfile
    import traceback

    with tempfile.NamedTemporaryFile(
        "w", prefix="buildsite-", suffix=".log", delete=False, encoding="utf-8"
    ) as log:
        log.write(f"buildsite {__version__}\n{' '.join(sys.argv)}\n\n")
        log.write("".join(traceback.format_exception(bug)))
    first = (str(bug).splitlines() or [""])[0]
    return (
        f"Internal error: {type(bug).__name__}: {first}\n"
        f"Your files were not changed. Please send us {Path(log.name)}."
    )
