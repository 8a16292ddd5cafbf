"""`worksheet`: a bench sheet to print, blank for a kind or filled in for a test."""

from pathlib import Path
from typing import Any

import click

from buildsite.archive.archive import Archive
from buildsite.cli.common import archive_root, root_option
from buildsite.files import list_archive, write_whole
from buildsite.kinds import GROUPS, kind_named
from buildsite.kinds.kind import Kind
from buildsite.kinds.outcome import Outcome
from buildsite.standards.tables import standard

FILLERS = {"project": "blank", "sample": "blank", "on": "2000-01-01"}
"""Stand where a record must say something; a blank sheet prints none of it."""


@click.command()
@click.argument("what", metavar="TEST|KIND")
@click.option(
    "--out",
    metavar="FILE",
    help="Where it goes; - for standard output. [TEST-worksheet.html]",
)
@click.option("--standard", help="Of a blank sheet: such as ASTM D698.")
@click.option("--method", help="Of a blank sheet: such as A.")
@click.option("--unit", help="Of a blank sheet: of the mold's masses; g, kg or lb.")
@root_option
def worksheet(what: str, out: str | None, root: Path | None, **chosen: str) -> None:
    """
    Write a bench sheet to print: of a TEST filled in, of a KIND blank.

    One page of A4 or Letter: a place for each reading with its unit and how finely to
    read it, the steps of the method, what to look at, cautions. Print it from the
    browser. Filled in, it is the raw-data appendix of the test's report.

    Example: buildsite worksheet HF-0117
    """
    from buildsite.pages.bench_sheet.worksheet import worksheet as written
    from buildsite.pages.page import site_of
    from buildsite.pages.site_sources import Options

    folder = archive_root(root)
    listing = list_archive(folder)
    archive = Archive(listing.names, listing.read)
    told = {name: value for name, value in chosen.items() if value is not None}
    blank = what in GROUPS
    compute = blank_outcome if blank else outcome_of
    made = compute(what, told, archive)
    page = written(site_of(archive, Options()), made, blank=blank)
    if page is None:
        raise click.UsageError(f"A {made.kind.title.lower()} has no bench sheet.")
    if out == "-":
        click.echo(page, nl=False)
        return
    path = Path(out or f"{what}-worksheet.html")
    write_whole(path, page)
    click.echo(path)


def outcome_of(what: str, told: dict[str, str], archive: Archive) -> Outcome:
    """
    Compute the test that is to be printed.

    Raises
    ------
    click.UsageError
        If there is no such test, if it can't be read, or if options were given that a
        blank sheet takes.
    """
    file = archive.find("test", what)
    if file is None:
        kinds = ", ".join(name for name in GROUPS if GROUPS[name] == "test")
        raise click.UsageError(
            f"No test {what!r} in this archive, and no kind of test. Kinds: {kinds}."
        )
    if told:
        raise click.UsageError(
            f"--{next(iter(told))} is of a blank sheet: {what} says its own."
        )
    made = archive.outcome(file)
    if made is None:
        raise click.UsageError(f"{file} can't be read: run `buildsite check`.")
    return made


def blank_outcome(name: str, told: dict[str, str], archive: Archive) -> Outcome:
    """
    Compute a record of a kind in which nothing was read yet.

    Raises
    ------
    click.UsageError
        If the kind has no bench, or the program no rows of the standard.
    """
    from buildsite.archive.blanks import new_record
    from buildsite.archive.standalone import compute_standalone

    kind = kind_named(name)
    if kind is None or kind.blank is None or kind.bench is None:
        raise click.UsageError(f"A {name} has no bench sheet.")
    given = by_place(told)
    usual = {**defaults(kind), **FILLERS, **own_standard(kind, given, archive)}
    words = {**usual, **given}
    asked = {ask.name for ask in kind.blank.asks} | set(kind.blank.places)
    extra = [option for option in given if option not in asked]
    if extra:
        option = "unit" if extra[0] == UNIT else extra[0]
        raise click.UsageError(f"A bench sheet of kind {name} takes no --{option}.")
    text = new_record(kind, "blank", words).text
    made, flags = compute_standalone(text.encode(), "blank.yaml")
    if made is None:
        raise click.UsageError(str(flags[0]))
    if made.case.method is None:
        known = f"{words.get('standard', '')} {words.get('method', '')}".strip()
        raise click.UsageError(
            f"No rows of {known!r}. Name the standard and the method as on the site's "
            "page of methods."
        )
    return made


def defaults(kind: Kind[Any, Any]) -> dict[str, str]:
    """What is taken where nothing better is known."""
    asks = kind.blank.asks if kind.blank is not None else ()
    return {"moisture_unit": "g"} | {ask.name: ask.default for ask in asks}


def own_standard(
    kind: Kind[Any, Any], given: dict[str, str], archive: Archive
) -> dict[str, str]:
    """The standard that was asked for, or that the laboratory tests by; its method."""
    lab = archive.laboratory
    usual = lab.procedures.standards if lab is not None else ()
    names = (given.get("standard", ""), *usual, defaults(kind).get("standard", ""))
    for name in names:
        known = standard(name) if name else None
        if known is not None and kind.takes in ("", known.test):
            method = known.method_when_none_named.value
            one = method if method in known.methods else known.methods[0]
            return {"standard": known.designation, "method": one}
    return {}


UNIT = "compacted_unit"
"""The place in a blank that --unit fills."""


def by_place(told: dict[str, str]) -> dict[str, str]:
    """Options by the names of the blank's places."""
    return {UNIT if name == "unit" else name: value for name, value in told.items()}
