"""A page for a day of tests on a fill: a row for each, blank or filled in."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from buildsite.archive.day_places import DayOfTests, DayTable, Place, day_of_tests
from buildsite.kinds.bench_spec import LOCAL_RULES, unit_text
from buildsite.kinds.outcome import Outcome
from buildsite.pages.bench_sheet.worksheet import method_of
from buildsite.pages.page import INVENTED, Site
from buildsite.pages.render import policy_of, render, template_file
from buildsite.values import dataclass

ROWS = 12
"""Rows of a page: a morning's tests."""


class Table(NamedTuple):
    """A table as drawn."""

    title: str
    heads: tuple[tuple[str, str], ...]
    rows: tuple[tuple[str, ...], ...]


class DayBlock(NamedTuple):
    """The tests of one day that are made in one way."""

    title: str
    shared: tuple[tuple[str, str], ...]
    tables: tuple[Table, ...]
    steps: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class DaySheet:
    """Everything on the page."""

    laboratory: str
    place: str
    robots: str
    notice: str
    title: str
    project: str
    day: str
    blocks: tuple[DayBlock, ...]
    style: str
    policy: str
    template: str = "daysheet.html"


TITLES = ("On the fill", "Afterwards")


def drawn(found: DayOfTests) -> Iterator[Table]:
    """Yield the tables of a block."""
    for title, table in zip(TITLES, found.tables, strict=False):
        yield Table(title, (("Test", ""), *heads(table)), table.rows)


def heads(table: DayTable) -> Iterator[tuple[str, str]]:
    """Yield the heading of each column: words, and unit with its place."""
    for one in table.columns:
        yield one.reading.words, hint(one)


def hint(place: Place) -> str:
    """Return the unit of a column, or how it is written."""
    if place.reading.unit:
        return unit_text(place.reading)
    return "day, hour" if place.reading.takes == "time" else ""


def block_of(tests: Sequence[Outcome], rows: int, *, blank: bool) -> DayBlock:
    """Return the block of tests that are made in one way."""
    first = tests[0]
    bench = first.kind.bench(first.case) if first.kind.bench is not None else None
    if bench is None:
        raise ValueError(f"A {first.kind.title.lower()} has no bench sheet.")
    written = [] if blank else [(one.id, one.source.tree) for one in tests]
    found = day_of_tests(bench, written, rows)
    cautions = (*(one for one in bench.cautions if one != LOCAL_RULES), LOCAL_RULES)
    return DayBlock(
        f"{first.title}: {method_of(first)}",
        found.shared,
        tuple(drawn(found)),
        bench.steps,
        cautions,
    )


def alike(tests: Sequence[Outcome]) -> list[list[Outcome]]:
    """Return tests grouped by the way they are made: their bench and standard."""
    groups: dict[tuple[str, ...], list[Outcome]] = {}
    for one in tests:
        bench = one.kind.bench(one.case) if one.kind.bench is not None else None
        names = [part.title for part in bench.parts] if bench is not None else []
        groups.setdefault((method_of(one), *names), []).append(one)
    return list(groups.values())


def day_sheet(
    site: Site,
    tests: Sequence[Outcome],
    project: str,
    day: str,
    *,
    rows: int = ROWS,
    blank: bool = False,
) -> bytes:
    """
    Return the page of a day.

    Parameters
    ----------
    site
        What all pages of the archive share.
    tests
        The tests of the day by id; one without readings for a blank page.
    project, day
        At the head of the page; blank to be written by hand.
    rows
        Rows of each table at least.
    blank
        Take only kind, standard and units from the test.
    """
    lab, style = site.lab, template_file("daysheet.css").decode()
    groups = alike(tests)
    room = rows if len(groups) == 1 else 0
    return render(
        DaySheet(
            laboratory=site.name,
            place=(lab.address or lab.place) if lab is not None else "",
            robots=(lab.robots or "") if lab is not None else "",
            notice=INVENTED if lab is not None and lab.invented else "",
            title=tests[0].kind.title,
            project=project,
            day=day,
            blocks=tuple(block_of(one, room, blank=blank) for one in groups),
            style=style,
            policy=policy_of(style),
        )
    )
