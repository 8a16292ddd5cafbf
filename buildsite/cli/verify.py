"""`verify`: proof that nothing issued or published was altered."""

import json
from dataclasses import asdict
from pathlib import Path

import click

from buildsite.cli.common import archive_root, current_folder, root_option
from buildsite.cli.progress import shown, verbose_option
from buildsite.errors import FAULTY
from buildsite.record.messages import counted
from buildsite.record.proof import Fault
from buildsite.record.unseen import printable
from buildsite.verifying import Scope, Verdict
from buildsite.verifying import verify as verify_archive
from buildsite.verifying.committed import refuse_other_repository


@click.command()
@click.option(
    "--site",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="Built site, to compare with its manifest and a rebuild of its commit.",
)
@click.option(
    "--against",
    type=click.Path(path_type=Path),
    metavar="MANIFEST",
    help="Manifest published now, which the archive must continue.",
)
@click.option(
    "--first-publication",
    is_flag=True,
    help="Confirm that nothing was published before.",
)
@click.option(
    "--onto", default="", metavar="REF", help="Verify HEAD as if merged into REF."
)
@click.option(
    "--report",
    "reports",
    nargs=3,
    multiple=True,
    metavar="TEST rN DIGEST",
    help="Printed report to look for in the archive; may be repeated.",
)
@click.option(
    "--no-cache",
    is_flag=True,
    help="With --against: make every issued test again, also those proved here before.",
)
@click.option("--json", "as_json", is_flag=True, help="The verdict as JSON.")
@verbose_option
@root_option
def verify(
    site: Path | None,
    against: Path | None,
    onto: str,
    reports: tuple[tuple[str, str, str], ...],
    root: Path | None,
    *,
    first_publication: bool,
    no_cache: bool,
    as_json: bool,
    verbose: bool,
) -> None:
    """
    Verify that nothing issued or published was altered, from git and the site alone.

    Only what is committed is verified, not uncommitted changes. With --against, issued
    tests that were proved in this clone before, at the same commit and by the same
    program, are believed, but for some drawn by lot.

    Example: buildsite verify --first-publication
    """
    if against is not None and first_publication:
        raise click.UsageError(
            "Give --against or --first-publication, not both: either something was "
            "published before or nothing was."
        )
    printed = tuple(map(with_number, reports))
    scope = Scope(site, against, onto, printed, believes=not no_cache)
    with shown(verbose=verbose) as progress:
        verdict = verify_archive(root_here(root), scope, progress)
    if as_json:
        click.echo(in_json(verdict))
    else:
        for fault in verdict.faults:
            click.echo(str(fault))
    tell_more(verdict)
    if not verdict.faults and verdict.stopped is not None:
        raise verdict.stopped
    if verdict.stopped is not None:
        click.echo(str(verdict.stopped), err=True)
    raise SystemExit(FAULTY if verdict.faults else 0)


def root_here(root: Path | None) -> Path:
    """Return the archive's folder; refuse one above another repository."""
    folder = archive_root(root)
    if root is None:
        refuse_other_repository(current_folder(), folder)
    return folder


def tell_more(verdict: Verdict) -> None:
    """Print what no fault says: notes, remarks and numbers."""
    for note in verdict.notes:
        click.echo(printable(note_line(note)), err=True)
    for remark in verdict.remarks:
        click.echo(printable(f"Note: {remark}."), err=True)
    if verdict.since:
        since = f"Issued since the site was built: {', '.join(verdict.since)}."
        click.echo(f"{since} Build and publish it again.", err=True)
    click.echo(summary(verdict), err=True)


def with_number(report: tuple[str, str, str]) -> tuple[str, str, str]:
    """Return test, revision as a number, and digest of a printed report."""
    test, revision, sum = report
    number = revision.removeprefix("r")
    if not (number.isascii() and number.isdecimal() and len(number) < 10):
        raise click.UsageError(
            f"{revision!r} is not a revision. Write it as printed, such as r1."
        )
    return test, number, sum


def note_line(note: Fault) -> str:
    """Return what an assessment covers: where, what, and who assessed it."""
    name = f" {note.name}:" if note.name else ""
    return f"{note.file}:{name} {note.what} ({note.commit}); {note.mend}"


def in_json(verdict: Verdict) -> str:
    """Return a verdict as JSON."""
    content = {
        "format": 1,
        "commit": verdict.commit,
        "branch": verdict.along,
        "tests": verdict.tests,
        "items": verdict.items,
        "faults": [asdict(fault) for fault in verdict.faults],
        "issued_since": list(verdict.since),
        "ended": verdict.ended,
        "remarks": list(verdict.remarks),
        "assessed": [asdict(note) for note in verdict.notes],
    }
    return json.dumps(content, ensure_ascii=False, indent=2, sort_keys=True)


def summary(verdict: Verdict) -> str:
    """Return the numbers of items, tests and faults."""
    if verdict.ended:
        return f"{counted(len(verdict.faults), 'fault')}: {verdict.ended}"
    if verdict.nothing_yet:
        return (
            f"Nothing has been issued yet at commit {verdict.commit}, on "
            f"{verdict.along}: {counted(len(verdict.faults), 'fault')}"
        )
    items, tests = counted(verdict.items, "issued item"), counted(verdict.tests, "test")
    return (
        f"{items} of {tests} at commit {verdict.commit}, on {verdict.along}: "
        f"{counted(len(verdict.faults), 'fault')}"
    )
