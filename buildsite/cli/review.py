"""`review`: who reviewed a test, entered in its record."""

from pathlib import Path

import click

from buildsite.cli.common import (
    archive_root,
    day_so_far,
    refuse,
    root_option,
    test_ids,
)
from buildsite.issuing.refused import Refused
from buildsite.issuing.review import plan_review
from buildsite.record.flags import Severity


@click.command()
@click.argument("tests", nargs=-1, required=True, metavar="TEST...")
@click.option("--by", required=True, metavar="CODE", help="Who reviews.")
@click.option(
    "--on", metavar="DATE", help="Date of review, YYYY-MM-DD. Default: today."
)
@click.option("--no-commit", is_flag=True, help="Write the records, without a commit.")
@root_option
def review(
    tests: tuple[str, ...],
    by: str,
    on: str | None,
    root: Path | None,
    *,
    no_commit: bool,
) -> None:
    """
    Enter a review in the record of TEST, and commit it.

    Shows the open flags first. Nothing else in the record changes.

    Example: buildsite review HF-0117 --by E02
    """
    folder = archive_root(root)
    ids, day = test_ids(folder, tests), day_so_far(on)
    try:
        done = plan_review(folder, ids, by, day, committing=not no_commit)
        for flag in done.flags:
            if flag.severity is not Severity.NOTE and not flag.accepted_by:
                click.echo(str(flag), err=True)
        done.keep(committing=not no_commit)
    except Refused as refused:
        refuse(*refused.reasons, nothing="Nothing was reviewed.")
    for id in done.ids:
        click.echo(f"{id}: reviewed by {by} on {day}")
    first = " ".join(done.ids)
    step = f"buildsite issue {first} --authorized-by CODE --reason TEXT"
    click.echo(f"Next: {step}", err=True)
