"""`verify`: proof of what was issued and published."""

import json
from dataclasses import asdict
from pathlib import Path

import click

from buildsite.cli.common import archive_root, root_option
from buildsite.errors import FAULTY
from buildsite.record.proof import Fault
from buildsite.verifying import Scope, Verdict
from buildsite.verifying import verify as verify_archive


@click.command()
@click.option(
    "--site",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="A built site: compared with its manifest and with a rebuild of its commit.",
)
@click.option(
    "--against",
    type=click.Path(path_type=Path),
    metavar="MANIFEST",
    help="The manifest that is published now: what stands must go on from it.",
)
@click.option(
    "--first-publication",
    is_flag=True,
    help="Say on purpose that nothing was published before.",
)
@click.option(
    "--onto", default="", metavar="REF", help="Judge HEAD as if merged into REF."
)
@click.option(
    "--report",
    "reports",
    nargs=3,
    multiple=True,
    metavar="TEST rN DIGEST",
    help="Whether the archive holds a printed report; may be repeated.",
)
@click.option("--json", "as_json", is_flag=True, help="Write the verdict as JSON.")
@root_option
def verify(
    site: Path | None,
    against: Path | None,
    onto: str,
    reports: tuple[tuple[str, str, str], ...],
    root: Path | None,
    *,
    first_publication: bool,
    as_json: bool,
) -> None:
    """
    Prove that nothing issued or published was altered, from git and the site alone.

    What is committed is judged, not what lies uncommitted in the folder.

    Example: buildsite verify --first-publication
    """
    if against is not None and first_publication:
        raise click.UsageError(
            "--against and --first-publication exclude each other: either something "
            "was published before, or nothing was."
        )
    asked = Scope(site, against, onto, tuple(map(with_number, reports)))
    verdict = verify_archive(archive_root(root), asked)
    if as_json:
        click.echo(in_json(verdict))
    else:
        for fault in verdict.faults:
            click.echo(str(fault))
    for note in verdict.notes:
        click.echo(note_line(note), err=True)
    if verdict.since:
        told = f"Issued since the site was built: {', '.join(verdict.since)}."
        click.echo(f"{told} Build and publish it anew.", err=True)
    click.echo(summary(verdict), err=True)
    if not verdict.faults and verdict.stopped is not None:
        raise verdict.stopped
    if verdict.stopped is not None:
        click.echo(str(verdict.stopped), err=True)
    raise SystemExit(FAULTY if verdict.faults else 0)


def with_number(report: tuple[str, str, str]) -> tuple[str, str, str]:
    """
    Read what a printed report says: its revision as a number.

    Raises
    ------
    click.UsageError
        If it is not written r0, r1 and so on.
    """
    test, revision, sum = report
    number = revision.removeprefix("r")
    if not (number.isascii() and number.isdecimal()):
        raise click.UsageError(
            f"{revision!r} is no revision. Write it as printed, such as r1."
        )
    return test, number, sum


def note_line(note: Fault) -> str:
    """Tell of what an assessment covers: where, what, and who assessed it."""
    name = f" {note.name}:" if note.name else ""
    return f"{note.file}:{name} {note.what} ({note.commit}); {note.mend}"


def in_json(verdict: Verdict) -> str:
    """Write a verdict for programs."""
    told = {
        "format": 1,
        "commit": verdict.commit,
        "branch": verdict.along,
        "tests": verdict.tests,
        "items": verdict.items,
        "faults": [as_data(fault) for fault in verdict.faults],
        "issued_since": list(verdict.since),
        "assessed": [as_data(note) for note in verdict.notes],
    }
    return json.dumps(told, ensure_ascii=False, indent=2, sort_keys=True)


def as_data(fault: Fault) -> dict[str, object]:
    """Write a fault as plain data."""
    return asdict(fault)


def summary(verdict: Verdict) -> str:
    """Count in one line."""
    return (
        f"{verdict.items} issued items of {verdict.tests} tests at commit "
        f"{verdict.commit}, along {verdict.along}: {len(verdict.faults)} faults"
    )
