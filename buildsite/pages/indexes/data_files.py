"""The results of the site and of each project as files, linked from their pages."""

from collections.abc import Iterator, Sequence

from buildsite.exports import datapackage, results_csv, results_json
from buildsite.exports.data_schema import data_schemas
from buildsite.exports.results import ResultRow
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.links import address
from buildsite.pages.page import File


def data_files(context: IndexContext) -> Iterator[File]:
    """Return results.csv, results.json and datapackage.json of site and projects."""
    name = context.site.name
    yield from data_schemas().items()
    yield from files_of(context, "", f"{name}: results", context.results)
    for project in context.projects:
        folder = address(("project", project)).rpartition("/")[0]
        rows = context.results_by_project.get(project, [])
        yield from files_of(context, f"{folder}/", f"{name}: {project}, results", rows)


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
