"""The program's commands: parse, call, say, exit. One file a command."""

import gc
import os
import sys
from importlib import import_module
from pathlib import Path
from types import ModuleType

import click

from buildsite import __version__
from buildsite.errors import BUG, ENVIRONMENT, EnvironmentFault

COMMANDS = {
    "build": "Build the whole site.",
    "check": "Report every fault and flag.",
    "commit": "Commit records as they stand, with the reason.",
    "diff": "Show what differs between two states of a test.",
    "enter": "Enter readings at the bench, one question at a time.",
    "git-setup": "Let git show computed results, and never blend readings.",
    "history": "Show every edit that moved a test, and its revisions.",
    "init": "Begin a new laboratory's archive.",
    "issue": "Issue a revision of a test, and keep its report.",
    "merge-record": "Merge two edits of a record, for git.",
    "new": "Write the next record, ready to fill in.",
    "next": "Say at the bench what to do next on a test.",
    "review": "Write a review into a test's record.",
    "schema": "Write the JSON Schemas that editors use.",
    "serve": "Show the site on this machine and rebuild it on change.",
    "show": "Compute one record and show the result.",
    "validate": "Recompute published worked examples and compare.",
    "verify": "Prove what was issued and published.",
    "worksheet": "Write a bench sheet to print, blank or filled in.",
}
"""Each command and its line of help, so that the list needs none of them imported."""


class Commands(click.Group):
    """Commands that are imported when they are run, not before: `check` starts fast."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Name them in order."""
        return sorted(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import one."""
        if cmd_name not in COMMANDS:
            return None
        name = cmd_name.replace("-", "_")
        command = getattr(import_module(f"buildsite.cli.{name}"), name)
        gc.freeze()
        gc.set_threshold(50_000, 20, 20)  # a record's models are no garbage either
        gc.enable()
        return command if isinstance(command, click.Command) else None

    def format_commands(
        self, ctx: click.Context, formatter: click.HelpFormatter
    ) -> None:
        """List them without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl(sorted(COMMANDS.items()))


@click.group(cls=Commands)
@click.version_option(__version__, prog_name="buildsite")
def buildsite() -> None:
    """
    Keep compaction tests as text in git; check, compute and publish them.

    Exit status: 0 done; 1 a complete test has an error, or a verification failed;
    2 wrong usage; 3 this machine or clone won't do; 70 a bug of ours.
    """


def main() -> None:
    """Run the program; say in two lines what went wrong, and exit by the contract."""
    without_plugins()
    # Importing makes many objects and no garbage: looking for it costs a `check` 6 %.
    gc.disable()
    try:
        buildsite(standalone_mode=True, prog_name="buildsite")
    except EnvironmentFault as fault:
        click.echo(f"{fault.cause}\n{fault.remedy}", err=True)
        sys.exit(ENVIRONMENT)
    except Exception as bug:  # noqa: BLE001 — the last resort: a log, not a traceback
        click.echo(report(bug), err=True)
        sys.exit(BUG)
    finally:
        gc.freeze()  # what is left at the end needs no looking through


def without_plugins() -> None:
    """
    Keep pydantic from looking for plugins, which could change what a record means.

    The variable forbids it. The module that would look is not loaded at all, for it
    brings the standard library's mail, sockets and archives: a tenth of a `check`.
    """
    os.environ["PYDANTIC_DISABLE_PLUGINS"] = "__all__"
    loader = ModuleType("pydantic.plugin._loader")
    loader.__dict__["get_plugins"] = tuple  # there are none
    sys.modules.setdefault(loader.__name__, loader)


def report(bug: Exception) -> str:
    """Write the traceback to a file, and say where it is."""
    import tempfile
    import traceback

    with tempfile.NamedTemporaryFile(
        "w", prefix="buildsite-", suffix=".log", delete=False, encoding="utf-8"
    ) as log:
        log.write(f"buildsite {__version__}\n{' '.join(sys.argv)}\n\n")
        log.write("".join(traceback.format_exception(bug)))
    first = (str(bug).splitlines() or [""])[0]
    return (
        f"This is a bug of ours: {type(bug).__name__}: {first}\n"
        f"Nothing of yours was changed. Please send us {Path(log.name)}."
    )
