"""`build`: the whole site."""

import json
import os
from pathlib import Path

import click

from buildsite.build import build as build_site
from buildsite.cli.common import archive_root, root_option
from buildsite.cli.progress import shown, verbose_option
from buildsite.exports.manifest import NAME as MANIFEST
from buildsite.pages.site_sources import Options
from buildsite.record.canonical import digest


@click.command()
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    default=None,
    help="Folder of the site. Default: site/ in the archive.",
)
@click.option(
    "--jobs",
    type=click.IntRange(1),
    default=None,
    help="Number of processes. Default: one per core. The site is always the same.",
)
@click.option("--strict", is_flag=True, help="Exit 1 if a complete test has an error.")
@click.option(
    "--base-url",
    default="",
    help="Address of the published site, for 404.html and on printed pages.",
)
@click.option(
    "--release",
    is_flag=True,
    help="Build the public site: issued reports of projects with `publish: yes`.",
)
@click.option(
    "--previous",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    default=None,
    help="manifest.json of the site published now, which this one replaces.",
)
@click.option(
    "--without-history",
    is_flag=True,
    help="Build only the present state, from a folder that is not a clone.",
)
@verbose_option
@root_option
def build(
    out: Path | None,
    jobs: int | None,
    base_url: str,
    previous: Path | None,
    root: Path | None,
    *,
    strict: bool,
    release: bool,
    without_history: bool,
    verbose: bool,
) -> None:
    """
    Build the laboratory's copy of the site, with drafts, flags and equipment.

    With --release, build only what clients may see.

    Example: buildsite build --out site
    """
    root = archive_root(root)
    if out is not None and not str(out).strip():
        raise click.UsageError("The folder's name is blank: name one with --out.")
    out = (out or root / "site").resolve()
    records = (root / "records").resolve()
    if out.is_relative_to(records) or records.is_relative_to(out):
        raise click.UsageError(
            f"The site can't be written to {out}: the records are there. "
            "Name another folder with --out."
        )
    options = Options(
        base_url=base_url,
        release=release,
        previous=digest(previous.read_bytes()) if previous is not None else "",
        without_history=without_history,
    )
    before = tests_in(previous) if previous is not None else frozenset()
    with shown(verbose=verbose) as progress:
        built = build_site(root, out, options, jobs or cores(), progress)
    click.echo(f"{built.tests} tests, {built.pages} pages", err=True)
    for test, why in sorted(built.withheld.items()):
        click.echo(f"Not published: {test}: {why}.", err=True)
    for found in built.doubtful:
        click.echo(f"Published, but look: {found}.", err=True)
    gone = sorted(before - tests_in(out / MANIFEST))
    if gone:
        click.echo(
            f"Published before, and no longer on this site: {', '.join(gone)}.",
            err=True,
        )
    if built.checkout.differs:
        click.echo(
            "Records differ from the last commit; the pages made of them say so.",
            err=True,
        )
    if built.errors:
        click.echo(
            f"Tests with an error: {built.errors}. Run `buildsite check`.", err=True
        )
    click.echo((out / "index.html").as_uri())
    raise SystemExit(1 if strict and built.errors else 0)


def tests_in(manifest: Path) -> frozenset[str]:
    """Return the tests of a manifest; none if it can't be read (see `verify`)."""
    try:
        content = json.loads(manifest.read_bytes())
    except (ValueError, RecursionError):
        return frozenset()
    tests = content.get("tests") if isinstance(content, dict) else None
    return frozenset(tests) if isinstance(tests, dict) else frozenset()


def cores() -> int:
    """Return the number of cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
