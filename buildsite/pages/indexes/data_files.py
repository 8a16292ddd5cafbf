"""The results of the site and of each project as files, linked from their pages."""

from collections.abc import Iterable, Iterator, Sequence

from buildsite.exports import datapackage, results_csv, results_json
from buildsite.exports.results import ResultRow
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.links import address
from buildsite.pages.page import File
from buildsite.pages.rows import Row


def data_of_all(context: IndexContext) -> Iterator[File]:
    """Return the files of all tests."""
    rows = results(context.rows)
    yield from files_of(context, "", f"{context.site.name}: results", rows)


def data_of_project(context: IndexContext, project: str) -> Iterator[File]:
    """Return the files of a project's tests."""
    folder = address(("project", project)).rpartition("/")[0]
    rows = results(context.tests("project", project))
    title = f"{context.site.name}: {project}, results"
    yield from files_of(context, f"{folder}/", title, rows)


def results(rows: Iterable[Row]) -> list[ResultRow]:
    """Return the current result of each test that has a page, by project and id."""
    found = (row.data for row in rows if row.page)
    shown = (row for row in found if row is not None)
    return sorted(shown, key=lambda row: (row.project, row.id))


def files_of(
    context: IndexContext, lead: str, title: str, rows: Sequence[ResultRow]
) -> Iterator[File]:
    """Return the files of some results, their addresses after `lead`."""
    site = context.site
    base, about = site.options.base_url, f"{lead}results"
    data = results_csv.results_csv(rows, base)
    yield lead + results_csv.NAME, data
    yield lead + results_json.NAME, results_json.results_json(rows, site.name, base)
    told = datapackage.datapackage(title, about.replace("/", "-").lower(), data)
    yield lead + datapackage.NAME, told
