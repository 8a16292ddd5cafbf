"""`worksheet`: a bench sheet to print, blank for a kind or filled in for a test."""

from pathlib import Path
from typing import Any

import click

from buildsite.archive.archive import Archive
from buildsite.cli.common import (
    archive_root,
    day_or_today,
    root_option,
    unknown_id,
)
from buildsite.files import list_archive, write_whole
from buildsite.kinds import GROUPS, all_kinds, kind_named
from buildsite.kinds.blank import Series
from buildsite.kinds.kind import Kind
from buildsite.kinds.outcome import Outcome
from buildsite.starting.blank_outcome import blank_outcome


@click.command()
@click.argument("what", metavar="TEST|KIND|SAMPLE")
@click.option(
    "--out",
    metavar="FILE",
    help="File; - for standard output. Default: TEST-worksheet.html, "
    "SAMPLE-label.html.",
)
@click.option("--standard", help="For a blank sheet, such as ASTM D698.")
@click.option("--method", help="For a blank sheet, such as A.")
@click.option("--unit", help="For a blank sheet: unit of the mold's mass, g, kg or lb.")
@click.option("--on", metavar="DATE", help="A page for the tests of a KIND on a day.")
@click.option("--project", help="The project of that page.")
@click.option("--rows", type=click.IntRange(1, 60), help="Rows of that page: 12.")
@root_option
def worksheet(
    what: str,
    out: str | None,
    root: Path | None,
    on: str | None,
    project: str | None,
    rows: int | None,
    **chosen: str,
) -> None:
    """
    Write a bench sheet to print: filled in for a TEST, blank for a KIND; or a label.

    For A4 or Letter, to print from the browser: a place for each reading with its unit
    and required resolution, checks and cautions, all on the first page; the steps of
    the method below or on the back. Filled in, it is the raw-data appendix of the
    test's report. For a SAMPLE it is the label of its bags, 100 mm by 62 mm.

    `worksheet field-density --on DATE --project P` is a page for a day: a row for each
    test, blank rows for more. With --rows alone it is blank.

    Example: buildsite worksheet HF-0117
    """
    from buildsite.pages.bench_sheet.label import label
    from buildsite.pages.bench_sheet.worksheet import worksheet as written
    from buildsite.pages.page import site_of
    from buildsite.pages.site_sources import Options

    folder = archive_root(root)
    listing = list_archive(folder)
    archive = Archive(listing.names, listing.read)
    options = {name: value for name, value in chosen.items() if value is not None}
    file = archive.find("sample", what)
    if file is not None:
        made = outcome_at(file, what, options, archive)
        write_page(label(site_of(archive, Options()), made), out, f"{what}-label.html")
        return
    if on or project or rows:
        write_page(
            day_page(archive, what, options, (on, project, rows)),
            out,
            f"{'-'.join(filter(None, (project, on))) or what}-worksheet.html",
        )
        return
    blank = what in GROUPS
    made = (blank_sheet_of if blank else outcome_of)(what, options, archive)
    page = written(site_of(archive, Options()), made, blank=blank)
    if page is None:
        raise click.UsageError(f"A {made.kind.title.lower()} has no bench sheet.")
    write_page(page, out, f"{what}-worksheet.html")


def write_page(page: bytes, out: str | None, usual: str) -> None:
    """Write a page to a file and print its name, or to standard output."""
    if out == "-":
        click.echo(page, nl=False)
        return
    path = Path(out or usual)
    write_whole(path, page)
    click.echo(path)


def outcome_of(what: str, options: dict[str, str], archive: Archive) -> Outcome:
    """Return the outcome of a test; refuse an unknown test, and options."""
    file = archive.find("test", what)
    if file is None:
        kinds = ", ".join(name for name in GROUPS if GROUPS[name] == "test")
        raise click.UsageError(
            f"{what!r} is neither a test or sample in this archive nor a kind of test. "
            f"Kinds: {kinds}."
        )
    return outcome_at(file, what, options, archive)


def outcome_at(
    file: str, what: str, options: dict[str, str], archive: Archive
) -> Outcome:
    """Return the outcome of a record; refuse options, and what can't be read."""
    if options:
        raise click.UsageError(
            f"--{next(iter(options))} is for a blank sheet only; {what} states its own."
        )
    made = archive.outcome(file)
    if made is None:
        raise click.UsageError(f"Can't read {file}: run `buildsite check`.")
    return made


def blank_sheet_of(name: str, options: dict[str, str], archive: Archive) -> Outcome:
    """Return the outcome of a record without readings."""
    try:
        return blank_outcome(name, options, archive)
    except ValueError as fault:
        raise click.UsageError(str(fault)) from None


def series_of(kind: Kind[Any, Any] | None) -> Series | None:
    """Return how tests of a kind follow one another; None where they don't."""
    return kind.blank.series if kind is not None and kind.blank is not None else None


def day_page(
    archive: Archive,
    what: str,
    options: dict[str, str],
    asked: tuple[str | None, str | None, int | None],
) -> bytes:
    """Return the page of a day's tests of a kind; a blank one where there are none."""
    from buildsite.pages.bench_sheet.day import ROWS, day_sheet
    from buildsite.pages.page import site_of
    from buildsite.pages.site_sources import Options

    on, project, rows = asked
    kind = kind_named(what)
    series = series_of(kind)
    if series is None:
        names = ", ".join(one.name for one in all_kinds() if series_of(one))
        raise click.UsageError(
            "--on, --project and --rows are for tests that follow one another in a "
            f"day: {names}."
        )
    if project is not None and archive.find("project", project) is None:
        raise unknown_id("project", project, archive.ids("project"))
    day = day_or_today(on).isoformat() if on else ""
    tests = tests_of_day(archive, what, series, project, day) if day else []
    site, name = site_of(archive, Options()), project_name(archive, project)
    room = ROWS if rows is None else rows
    if tests:
        return day_sheet(site, tests, name, day, rows=room)
    made = blank_sheet_of(what, options, archive)
    return day_sheet(site, [made], name, day, rows=room, blank=True)


def tests_of_day(
    archive: Archive, kind: str, series: Series, project: str | None, day: str
) -> list[Outcome]:
    """Return the tests of a kind that were made on a day, by id."""
    found = []
    for file in archive.files("test"):
        entry = archive.entry(file)
        if entry.kind is None or entry.kind.name != kind or entry.record is None:
            continue
        on = series.day(entry.record)
        of_it = project is None or entry.record.project == project
        if of_it and on is not None and on.isoformat() == day:
            made = archive.outcome(file)
            found += [made] if made is not None else []
    return found


def project_name(archive: Archive, project: str | None) -> str:
    """Return the name of a project; blank where none is named."""
    record = archive.record("project", project) if project is not None else None
    return str(getattr(record, "name", "") or project or "")
