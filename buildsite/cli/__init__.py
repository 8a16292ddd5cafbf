"""The program's commands, one file each."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from buildsite.cli.program import COMMANDS, buildsite

__all__ = ["COMMANDS", "buildsite", "main"]


def main() -> None:
    """Run the program; a build of which nothing has changed does not load it."""
    if sys.argv[1:2] == ["build"]:
        from buildsite.cache.unchanged import unchanged

        found = unchanged(sys.argv[1:], Path.cwd())
        if found is not None:
            lines, page = found
            sys.stderr.write("".join(f"{line}\n" for line in lines))
            sys.stdout.write(f"{page}\n")
            return
    from buildsite.cli import program

    program.main()


def __getattr__(name: str) -> Any:
    """Return the commands, imported when they are asked for."""
    if name in ("COMMANDS", "buildsite"):
        from buildsite.cli import program

        return getattr(program, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
