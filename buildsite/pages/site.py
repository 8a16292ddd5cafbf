"""Every page that is not one test's: indexes, and what the program brings itself."""

from collections.abc import Iterator, Sequence

from buildsite.kinds.methods import designations, method_sheet
from buildsite.pages import checks
from buildsite.pages.archive import Archive
from buildsite.pages.desk import Desk
from buildsite.pages.indexes import equipment_list, flag_list, home, method_list
from buildsite.pages.links import address
from buildsite.pages.options import Options
from buildsite.pages.page import Head, site_of
from buildsite.pages.records import equipment, projects, samples
from buildsite.pages.render import own
from buildsite.pages.rows import Row
from buildsite.pages.soils import soils
from buildsite.record.flags import Flag

OWN = ("style.css", "site.js", "icon.svg")
"""Files of the house that every page uses."""

METHODS, EQUIPMENT = ("Methods", "methods/index.html"), "equipment/index.html"


def other_files(
    archive: Archive,
    rows: Sequence[Row],
    options: Options,
    flags: Sequence[Flag] = (),
) -> Iterator[tuple[str, bytes]]:
    """
    Make every file of the site that is not one test's.

    Parameters
    ----------
    archive
        Where the records stand.
    rows
        What the tests left for lists.
    options
        What moves a byte of the site.
    flags
        Flags of files that are no records: links, names that can't be an id.
    """
    desk = Desk(site_of(archive, options), tuple(rows), tuple(flags))
    yield home(desk)
    yield from projects(desk)
    yield from soils(desk)
    yield from samples(desk)
    if not options.release:
        yield equipment_list(desk)
        yield from equipment(desk)
        yield flag_list(desk)
    yield from reference(desk)
    yield lost(desk)
    for name in OWN:
        yield name, own(name)


def reference(desk: Desk) -> Iterator[tuple[str, bytes]]:
    """What the program knows: checks and methods."""
    yield desk.sheet("checks/index.html", checks.sheet(), "Reference")
    yield method_list(desk)
    for designation in designations():
        path = address(("method", designation))
        sheet = method_sheet(designation)
        yield desk.sheet(path, sheet, "Standard", (METHODS,))


def lost(desk: Desk) -> tuple[str, bytes]:
    """Page for addresses that lead nowhere."""
    subtitle = "There is no page at this address. Start from the overview."
    return desk.page("404.html", Head("", "No such page", subtitle), ())
