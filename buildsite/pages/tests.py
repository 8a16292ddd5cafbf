"""Every file of one test: its report, its record, its result, points and curve."""

from collections.abc import Iterator
from typing import Any

from buildsite.exports.points_csv import points_csv
from buildsite.exports.result_json import result_json
from buildsite.kinds.answers import LaboratoryFacts, ProjectFacts
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Plot, Sheet
from buildsite.pages.archive import Archive, Entry
from buildsite.pages.identity import name_of
from buildsite.pages.links import HOME
from buildsite.pages.lists import flag_table
from buildsite.pages.options import Options
from buildsite.pages.page import Head, Site, site_of
from buildsite.pages.render import render
from buildsite.pages.rows import Made, Row, has_page, row_of, row_of_unreadable
from buildsite.pages.shown import regions

STATUS = {
    "complete": ("Preliminary: complete, no revision has been issued.", "open"),
    "in-progress": ("Preliminary: in progress, readings may still change.", "open"),
    "withdrawn": ("Withdrawn: don’t use the result.", "stop"),
}
"""What is said of a test that has not been issued, and in which tone."""

BLOCKED = ("Blocked: an error stands against this test.", "stop")


def test_files(archive: Archive, file: str, options: Options) -> Made:
    """
    Make all files of one test, or of a file that should be one.

    Parameters
    ----------
    archive
        Where it stands.
    file
        The record's name in the archive.
    options
        What moves a byte of the site.
    """
    site, entry = site_of(archive, options), archive.entry(file)
    made = archive.outcome(file)
    if made is None:
        row = row_of_unreadable(entry, archive.flags(file))
        return Made(row, tuple(unreadable(site, entry)) if row.page else ())
    sheet = made.sheet()
    row = row_of(made, sheet, entry)
    return Made(row, tuple(report(site, made, sheet, row)) if has_page(entry) else ())


def folder(file: str) -> str:
    """Folder of a test's files."""
    return f"tests/{name_of(file)}"


def crumbs(site: Site, row: Row) -> tuple[tuple[str, str], ...]:
    """Way from the first page to a test: its project, its sample."""
    links = site.links(HOME)
    found = [(site.name, HOME)]
    for what, id in (("project", row.project), ("sample", row.sample)):
        if id and links.there((what, id)):
            found.append((id, links.to((what, id))))
    return (*found, (row.id, ""))


def report(
    site: Site, outcome: Outcome, sheet: Sheet, row: Row
) -> Iterator[tuple[str, bytes]]:
    """Files of a test that could be computed."""
    where = folder(outcome.file)
    plot = next((block for block in sheet.blocks if isinstance(block, Plot)), None)
    points = sheet.table("points")
    path = f"{where}/index.html"
    files = [("record.yaml", "record as written"), ("result.json", "result")]
    yield f"{where}/record.yaml", outcome.source.data
    software = site.options.software
    yield f"{where}/result.json", result_json(outcome, software)
    if points is not None:
        files.append(("points.csv", "points"))
        yield f"{where}/points.csv", points_csv(points)
    if plot is not None:
        from buildsite.pages.draw import svg

        files.append(("curve.svg", "figure"))
        yield f"{where}/curve.svg", svg(plot)
    head = head_of(site, outcome, sheet, tuple(files))
    blocks = regions(
        sheet.blocks,
        site.links(path),
        axes_of(plot) if plot is not None else (),
        laboratory=not site.options.release,
    )
    yield path, render(site.page(path, head, blocks, crumbs(site, row)))


def head_of(
    site: Site, outcome: Outcome, sheet: Sheet, files: tuple[tuple[str, str], ...]
) -> Head:
    """What stands above a report, as every test report must say it."""
    status, tone = BLOCKED if outcome.blocked else STATUS[outcome.status]
    return Head(
        kicker=f"{outcome.kind.title}: report",
        title=outcome.id,
        subtitle=sheet.subtitle,
        about=sheet.title,
        status=status,
        tone=tone,
        facts=tuple(identity(site, outcome)),
        files=files,
        end=f"End of report {outcome.id}",
    )


def identity(site: Site, outcome: Outcome) -> Iterator[tuple[str, str, str]]:
    """What ISO/IEC 17025:2017, 7.8.2.1 asks of any report: who, where, for whom."""
    record, inputs = outcome.case.record, outcome.case.inputs
    lab = inputs.get(LaboratoryFacts, "lab")
    project = inputs.get(ProjectFacts, str(getattr(record, "project", "")))
    yield "Tested at", tested_at(record, lab), ""
    if project is not None:
        customer = ", ".join(p for p in (project.customer, project.contact) if p)
        yield "Customer", customer, ""
        link = site.links(f"{folder(outcome.file)}/").to(("project", project.id))
        yield "Project", project.name, link
    yield "Issued", "not issued: preliminary", ""
    yield "Authorized by", "nobody yet", ""


def tested_at(record: Any, lab: LaboratoryFacts | None) -> str:
    """Where the work was done."""
    other = getattr(record, "external", None)
    if other is not None:
        return f"{other.laboratory or 'another laboratory'} (external)"
    return lab.place if lab is not None else "not stated"


def axes_of(plot: Plot) -> tuple[tuple[str, str], ...]:
    """What the script needs to read values off the figure."""
    from buildsite.pages.place import AXES, HEIGHT, WIDTH

    share = (
        ("left", AXES.left / WIDTH),
        ("right", AXES.right / WIDTH),
        ("top", 1 - AXES.top / HEIGHT),
        ("bottom", 1 - AXES.bottom / HEIGHT),
    )
    ends = (
        ("x0", plot.x.low),
        ("x1", plot.x.high),
        ("y0", plot.y.low),
        ("y1", plot.y.high),
    )
    return (
        *((name, f"{value:.6g}") for name, value in (*share, *ends)),
        ("xunit", plot.x.unit),
        ("yunit", plot.y.unit),
        ("ydecimals", str(plot.y.decimals + 1)),
    )


def unreadable(site: Site, entry: Entry) -> Iterator[tuple[str, bytes]]:
    """Files of a record that could not be read: its text, and what is wrong."""
    where, id = folder(entry.file), name_of(entry.file)
    path = f"{where}/index.html"
    yield f"{where}/record.yaml", entry.source.data
    head = Head(
        kicker="Unreadable record",
        title=id,
        subtitle="Nothing was computed: mend what the flags name.",
        status="Unreadable: no result.",
        tone="stop",
        files=(("record.yaml", "record as written"),),
    )
    flags = site.archive.flags(entry.file)
    links = site.links(path)
    blocks = regions([flag_table(flags, "flags", "Faults")], links, laboratory=True)
    row = row_of_unreadable(entry, flags)
    page = site.page(path, head, blocks, crumbs(site, row), {"text": entry.source.text})
    yield path, render(page)
