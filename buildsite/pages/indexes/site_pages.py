"""Every file of the site other than those of single tests."""

from collections.abc import Callable, Iterator
from functools import partial

from buildsite.exports.data_schema import data_schemas
from buildsite.exports.feed import NAME as FEED
from buildsite.exports.feed import atom
from buildsite.pages.field.field_page import pages_of_project
from buildsite.pages.indexes.all_tests import steps_of_tests
from buildsite.pages.indexes.data_files import data_of_all, data_of_project
from buildsite.pages.indexes.equipment import equipment_pages
from buildsite.pages.indexes.families import families
from buildsite.pages.indexes.flag_lists import flag_pages
from buildsite.pages.indexes.index_context import IndexContext, Step
from buildsite.pages.indexes.news import feed, news_table, project_feed
from buildsite.pages.indexes.overview import (
    due_list,
    due_next,
    equipment_list,
    home,
    lifts_of,
    staff_pages,
)
from buildsite.pages.indexes.records import (
    files_with_page,
    project_pages,
    sample_pages,
)
from buildsite.pages.indexes.reference import reference
from buildsite.pages.indexes.released import released_pages
from buildsite.pages.indexes.report_in_hand import report_in_hand
from buildsite.pages.indexes.search_data import search_steps
from buildsite.pages.indexes.search_page import search_page
from buildsite.pages.indexes.soil_classes import (
    samples_by_class,
    soil_list,
    soil_steps,
)
from buildsite.pages.indexes.split_lists import SplitLists
from buildsite.pages.indexes.today import today_page
from buildsite.pages.indexes.two_tests import any_two, curve_scripts, two_tests_pages
from buildsite.pages.page import File, Head
from buildsite.pages.render import template_file
from buildsite.record.flags import Flag

OWN = ("style.css", "site.js", "icon.svg")
"""Style, script and icon, used by every page."""

NO_ROBOTS = b"User-agent: *\nDisallow: /\n"


def index_files(context: IndexContext) -> Iterator[File]:
    """Return every file of the site other than those of single tests."""
    for _, make in index_steps(context):
        yield from make()


def index_steps(context: IndexContext) -> Iterator[Step]:
    """
    Return how every file of the site other than those of single tests is made.

    What is made together shows the same: a project, a sample, a part of a long list.
    """
    release = context.site.options.release
    if release:
        yield "released", partial(released_pages, context)
    else:
        yield from laboratory_steps(context)
    for project in sorted({row.project for row in context.rows}):
        yield f"field {project}", partial(pages_of_project, context, project)
    yield "two tests", partial(two_tests_pages, context)
    if any_two(context.rows):
        for sample in sorted({row.sample for row in context.rows}):
            yield f"curves {sample}", partial(curve_scripts, context, sample)
    yield from steps_of_tests(context)
    yield "search", partial(alone, search_page, context)
    yield from search_steps(context)
    yield "changes", partial(changes_pages, context)
    yield "report in hand", partial(report_in_hand, context)
    yield "feed", partial(site_feed, context)
    yield "data", partial(data_of_all, context)
    for project in context.projects:
        yield f"data {project}", partial(data_of_project, context, project)
        yield f"feed {project}", partial(feed_of_project, context, project)
    yield "reference", partial(reference, context)
    yield "common", partial(common_files, context)


def laboratory_steps(context: IndexContext) -> Iterator[Step]:
    """Return the index pages of the laboratory's own copy."""
    look_up(context)
    yield "home", partial(alone, home, context)
    for file, id in files_with_page(context, "project"):
        yield f"project {id}", partial(project_pages, context, file, id)
        yield f"families {id}", partial(families, context, id)
    yield "soils", partial(soil_list, context)
    for name in filter(None, samples_by_class(context)):
        yield from soil_steps(context, name)
    for file, id in files_with_page(context, "sample"):
        yield f"sample {id}", partial(sample_pages, context, file, id)
    yield "equipment", partial(alone, equipment_list, context)
    for file, id in files_with_page(context, "equipment"):
        yield f"equipment {id}", partial(equipment_pages, context, file, id)
    yield "due", partial(alone, due_list, context)
    yield "today", partial(alone, today_page, context)
    yield "flags", partial(flag_pages, context)
    yield "staff", partial(staff_pages, context)


def look_up(context: IndexContext) -> None:
    """Look up the values that several pages ask for, before any of them asks."""
    archive = context.site.archive
    for folder in archive.folders():
        context.records(folder)
    context.kept("flags of strays", tuple[Flag, ...], context.strays)
    context.kept("due next", tuple[str, ...], partial(due_next, archive))
    for project in sorted(
        {*archive.ids("project"), *(one.project for one in context.rows)}
    ):
        lifts_of(context, project)


def alone(
    make: Callable[[IndexContext], File], context: IndexContext
) -> Iterator[File]:
    """Make one page."""
    yield make(context)


def site_feed(context: IndexContext) -> Iterator[File]:
    """Return the feed of issues and amendments."""
    site = context.site
    yield FEED, atom(feed(site.name, site.options.base_url, context.news))


def feed_of_project(context: IndexContext, project: str) -> Iterator[File]:
    """Return the feed of a project."""
    site, own = context.site, context.news.of_project(project)
    found = project_feed(site.name, site.options.base_url, project, own)
    yield found.path, atom(found)


def common_files(context: IndexContext) -> Iterator[File]:
    """Return the files that all pages use, and the page for an address without one."""
    yield from data_schemas().items()
    yield not_found_page(context)
    if context.site.lab is not None and context.site.lab.robots == "none":
        yield "robots.txt", NO_ROBOTS
    for name in OWN:
        yield name, template_file(name)


def changes_pages(context: IndexContext) -> Iterator[File]:
    """Return the page of issues and amendments, and those of earlier years."""
    head = Head("Overview", "Changes", "Reports issued and amended, latest first")
    lists = SplitLists(context, "changes", head)
    table = lists.table(
        context.news,
        lambda one: one.item.issued_on,
        partial(news_table, "changes", "Issues and amendments"),
    )
    yield context.page("changes/index.html", head, [table])
    yield from lists.files


def not_found_page(context: IndexContext) -> File:
    """Return the page for addresses without a page."""
    subtitle = "There is no page at this address. Start from the overview."
    return context.page("404.html", Head("", "Page not found", subtitle), ())
