"""Every file of the site other than those of single tests."""

from collections.abc import Iterator
from functools import partial

from buildsite.exports.feed import NAME as FEED
from buildsite.exports.feed import atom
from buildsite.pages.field.field_page import field_pages
from buildsite.pages.indexes.all_tests import pages_of_tests
from buildsite.pages.indexes.data_files import data_files
from buildsite.pages.indexes.equipment import equipment_pages
from buildsite.pages.indexes.families import families
from buildsite.pages.indexes.flag_lists import flag_pages
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.news import feed, news_table, project_feed
from buildsite.pages.indexes.overview import (
    due_list,
    equipment_list,
    home,
    staff_pages,
)
from buildsite.pages.indexes.records import projects, samples, soils
from buildsite.pages.indexes.reference import reference
from buildsite.pages.indexes.released import released_pages
from buildsite.pages.indexes.report_in_hand import report_in_hand
from buildsite.pages.indexes.search_data import search_data
from buildsite.pages.indexes.search_page import search_page
from buildsite.pages.indexes.split_lists import SplitLists
from buildsite.pages.indexes.today import today_page
from buildsite.pages.indexes.two_tests import two_tests_pages
from buildsite.pages.page import File, Head
from buildsite.pages.render import template_file

OWN = ("style.css", "site.js", "icon.svg")
"""Style, script and icon, used by every page."""

NO_ROBOTS = b"User-agent: *\nDisallow: /\n"


def index_files(context: IndexContext) -> Iterator[File]:
    """Return every file of the site other than those of single tests."""
    site = context.site
    release, base_url = site.options.release, site.options.base_url
    yield from released_pages(context) if release else laboratory_pages(context)
    yield from field_pages(context)
    yield from two_tests_pages(context)
    yield from pages_of_tests(context)
    yield search_page(context)
    yield from search_data(context)
    yield from changes_pages(context)
    yield from report_in_hand(context)
    yield FEED, atom(feed(site.name, base_url, context.news))
    yield from data_files(context)
    for project in context.projects:
        own = context.news_by_project.get(project, [])
        found = project_feed(site.name, base_url, project, own)
        yield found.path, atom(found)
    yield from reference(context)
    yield not_found_page(context)
    if site.lab is not None and site.lab.robots == "none":
        yield "robots.txt", NO_ROBOTS
    for name in OWN:
        yield name, template_file(name)


def laboratory_pages(context: IndexContext) -> Iterator[File]:
    """Return the index pages of the laboratory's own copy."""
    yield home(context)
    yield from projects(context)
    yield from families(context, site_projects(context))
    yield from soils(context)
    yield from samples(context)
    yield equipment_list(context)
    yield from equipment_pages(context)
    yield due_list(context)
    yield today_page(context)
    yield from flag_pages(context)
    yield from staff_pages(context)


def site_projects(context: IndexContext) -> list[str]:
    """Return the projects, by the names of their folders."""
    return context.site.archive.ids("project")


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
