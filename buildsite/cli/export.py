"""`export`: the results in open formats, as beside the pages of a site."""

from dataclasses import replace
from pathlib import Path

import click

from buildsite.cli.common import archive_root, root_option, unknown_id
from buildsite.files.writing import write_whole


@click.command()
@click.option(
    "--format",
    "style",
    type=click.Choice(["csv", "json"]),
    default="csv",
    show_default=True,
    help="CSV for a spreadsheet, or JSON.",
)
@click.option("--project", help="Only the tests of this project.")
@click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    help="File to write. Default: standard output.",
)
@click.option("--at", default="", help="A git revision instead of the present files.")
@click.option(
    "--release",
    is_flag=True,
    help="Only what clients see: issued results of published projects.",
)
@click.option("--base-url", default="", help="Address of the site, for full links.")
@root_option
def export(
    style: str,
    project: str | None,
    out: Path | None,
    at: str,
    root: Path | None,
    base_url: str,
    *,
    release: bool,
) -> None:
    """
    Write the current results, a row a test.

    They are those of results.csv and results.json beside the first page of the site: an
    issued test has the result that was reported, another one the result as it stands. A
    spreadsheet opens the CSV with a double click.

    Example: buildsite export --format csv --project heron-flats --out results.csv
    """
    from buildsite.exports.results_csv import results_csv
    from buildsite.exports.results_json import results_json
    from buildsite.notebook import results_of

    found = results_of(archive_root(root), at, release=release)
    if project is not None:
        projects = sorted({one.row.project for one in found.every})
        if project not in projects:
            raise unknown_id("project", project, projects)
        found = replace(found, every=found.tests(project=project))
    rows = [one.row for one in found.every]
    data = (
        results_csv(rows, base_url)
        if style == "csv"
        else results_json(rows, found.laboratory, base_url)
    )
    if out is None:
        click.echo(data, nl=False)
        return
    write_whole(out, data)
    click.echo(f"{len(rows)} results in {out}.", err=True)
