"""How git shows and merges records: settings of a clone, for git takes none from us."""

from pathlib import Path

from buildsite.history.run import git

DRIVER = "compaction"
"""What `.gitattributes` calls the two drivers."""

ATTRIBUTES = f"records/**/*.yaml diff={DRIVER} merge={DRIVER} text eol=lf"
"""The line that says which files they are for."""


def driver_settings(program: str) -> tuple[tuple[str, str], ...]:
    """
    Return the settings, by name. `program` is how a shell runs us.

    There is no `cachetextconv`: git would go on showing what an older program
    computed. Both a name and a driver are needed for a merge: with the name alone git
    refuses, with neither it blends two people's readings without a word.
    """
    return (
        (f"diff.{DRIVER}.textconv", f"{program} show --textconv"),
        (f"diff.{DRIVER}.xfuncname", "^[a-z_]+:.*$"),
        (f"merge.{DRIVER}.name", "records are merged by hand"),
        (f"merge.{DRIVER}.driver", f"{program} merge-record %O %A %B %L %P"),
    )


def set_drivers(root: Path, program: str) -> tuple[tuple[str, str], ...]:
    """
    Write the settings into the clone's own configuration.

    Raises
    ------
    EnvironmentFault
        If the folder is no clone.
    """
    done = driver_settings(program)
    for name, value in done:
        git(root, "config", "--local", name, value)
    return done


def drivers_named(root: Path) -> bool:
    """Whether `.gitattributes` gives records to the drivers."""
    told = git(root, "check-attr", "diff", "merge", "--", "records/lab.yaml").decode()
    return all(line.endswith(f": {DRIVER}") for line in told.splitlines())
