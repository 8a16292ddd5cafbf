"""The program's commands, one file each."""

import os
import sys

TYPE_CHECKING = False  # as in `typing`, which takes a while to import
if TYPE_CHECKING:
    from buildsite.cli.program import COMMANDS, buildsite

__all__ = ["COMMANDS", "buildsite", "main"]


def main() -> None:
    """Run the program; what is known without loading it is told at once."""
    if sys.argv[1:2] == ["check"] and told_already():
        return
    if sys.argv[1:2] == ["build"]:
        from buildsite.cache.unchanged import unchanged

        found = unchanged(sys.argv[1:], here())
        if found is not None:
            lines, page = found
            sys.stderr.write("".join(f"{line}\n" for line in lines))
            sys.stdout.write(f"{page}\n")
            return
    from buildsite.cli import program

    program.main()


def told_already() -> bool:
    """Tell the verdict of a check that is kept and holds, and exit as it did."""
    from buildsite.cache.verdicts import told

    found = told(sys.argv[1:], here())
    if found is None:
        return False
    out, err, status = found
    try:
        sys.stdout.write(out)
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise SystemExit(1) from None
    sys.stderr.write(err)
    if status:
        raise SystemExit(status)
    return True


def here() -> str:
    """Return the current folder; `/` if it is gone, above which there is no archive."""
    try:
        return os.getcwd()  # noqa: PTH109 - pathlib takes longer
    except OSError:
        return os.sep


def __getattr__(name: str) -> object:
    """Return the commands, imported when they are asked for."""
    if name in ("COMMANDS", "buildsite"):
        from buildsite.cli import program

        return getattr(program, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
