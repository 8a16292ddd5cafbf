"""The page of a project's field control, with its figures and files."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from buildsite.archive.field_statistics import (
    in_zones,
    moving_means,
    window_of,
)
from buildsite.archive.field_tests import FieldControl, result_of_reference
from buildsite.exports.field_csv import field_csv
from buildsite.exports.field_geojson import field_geojson
from buildsite.exports.field_json import field_json
from buildsite.kinds.field_control.closing import in_time, is_first
from buildsite.kinds.field_control.curve_figure import curve_figure
from buildsite.kinds.field_control.percent_figure import by_date, by_station
from buildsite.kinds.field_control.results import FieldTest, day_of
from buildsite.kinds.sheet import Plot, Table
from buildsite.pages.field.changes import change_tables
from buildsite.pages.field.lift_table import lift_table, number_table
from buildsite.pages.field.summary import (
    FOLDER,
    again_in_words,
    closed_in_words,
    failing_in_words,
    lifts_in_words,
    tests_in_words,
)
from buildsite.pages.field.table_of_tests import (
    SHOWN,
    acceptance_table,
    day_table,
    failure_table,
    table_of_tests,
)
from buildsite.pages.figure.names import figure_name
from buildsite.pages.figure.read_off import axes_of
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.news import News
from buildsite.pages.indexes.split_lists import MOST, SplitLists
from buildsite.pages.links import address
from buildsite.pages.page import File, Head
from buildsite.pages.rows import Row
from buildsite.pages.tables import NOTHING
from buildsite.pages.verdict_blocks import Again, verdict_blocks, waiting_verdicts

FILES = (
    ("field.csv", "every field test, for a spreadsheet"),
    ("field.json", "the same as JSON"),
    (
        "field.geojson",
        "the same as GeoJSON: a map of those with coordinates",
    ),
)

SPREADSHEET = ("Field tests for a spreadsheet", "field.csv")
"""At the head, too: on a phone the files are far below."""

WRITERS = {"csv": field_csv, "json": field_json, "geojson": field_geojson}


def field_pages(context: IndexContext) -> Iterator[File]:
    """Return the pages of field control of every project that has field tests."""
    for project in sorted({row.project for row in context.rows}):
        yield from pages_of_project(context, project)


def pages_of_project(context: IndexContext, project: str) -> Iterator[File]:
    """Return the pages of field control of a project, if it has field tests."""
    control = context.field_control(project)
    if control is not None:
        yield from files_of(context, control)


def files_of(context: IndexContext, control: FieldControl) -> Iterator[File]:
    """Return the page, its figures and its data."""
    path = address((FOLDER, control.project))
    folder = path.rpartition("/")[0]
    curves = list(curve_figures(context, control))
    figures = [*percent_figures(control), *curves]
    if figures:
        from buildsite.pages.figure.draw import svg

        for plot in figures:
            what = f"{control.project}, field control"
            said = figure_name(plot.title, what, context.site.maker)
            yield f"{folder}/{plot.name}.svg", svg(plot, said)
    for name, writer in WRITERS.items():
        yield f"{folder}/field.{name}", writer(control.tests, control.closed)
    way = [(control.project, address(("project", control.project)))]
    tests = tests_told(context, control)
    release = context.site.options.release
    waiting = waiting_verdicts(context.site.archive, tests, release=release)
    head = head_of(context, control, waiting)
    lists = SplitLists(context, folder, Head(head.kicker, head.title), tuple(way))
    blocks: list[Table | Plot] = [
        *tables_first(context, control, lists, tests, waiting),
        *figures,
        *tables_last(context, control, lists),
    ]
    head = replace(head, contents=contents_of(blocks))
    yield context.page(path, head, blocks, way, axes_of(*curves))
    yield from lists.files


def contents_of(blocks: Sequence[Table | Plot]) -> tuple[tuple[str, str], ...]:
    """Return the tables after the first, to go to on a long page: label and id."""
    return tuple(
        (table.title.partition(":")[0], table.name)
        for table in blocks[1:]
        if isinstance(table, Table)
    )


def head_of(
    context: IndexContext, control: FieldControl, waiting: Sequence[Again]
) -> Head:
    """Return the heading: where lifts stand, and failures that are not closed."""
    failing, again = failing_in_words(control), again_in_words(len(waiting))
    release = context.site.options.release
    closed = closed_in_words(control, release=release)
    only = " Tests not issued are not shown." if release else ""
    lifts = lifts_in_words(control) or NOTHING
    return Head(
        control.project,
        "Field control",
        f"Lifts: {lifts}. {tests_in_words(control)}.{only}",
        status=" ".join(filter(None, (failing or closed, again))),
        tone="stop" if failing else "open" if again else "good",
        files=FILES,
        pages=(SPREADSHEET,),
    )


def tables_first(
    context: IndexContext,
    control: FieldControl,
    lists: SplitLists,
    tests: Sequence[Row],
    waiting: Sequence[Again],
) -> Iterator[Table]:
    """Return what is looked for first: lifts, failures, what changed, the numbers."""
    yield lift_table(control, {one.id: follow for one, follow in waiting})
    if len(control.tests) > MOST and control.failing:
        rows = context.rows_of(test.id for test in control.failing)
        yield failure_table(control, rows)
    site = context.site
    release = site.options.release
    yield from verdict_blocks(site.archive, tests, waiting, release=release)
    references = {test.reference for test in control.tests}
    news = news_of(context, control)
    yield from change_tables(site.archive, news, references, lists)
    if control.counted:
        yield number_table(control)


def tests_told(context: IndexContext, control: FieldControl) -> Sequence[Row]:
    """Return the tests of a project, and the failures that were moved out of it."""
    if any(control.project in row.left for row in context.rows):
        found = [row for row in context.rows if concerns(row, control.project)]
        return context.lists.among(found)
    return context.tests("project", control.project)


def concerns(row: Row, project: str) -> bool:
    """Whether a test is of a project, or is a failure that was moved out of it."""
    return row.project == project or project in row.left


def tables_last(
    context: IndexContext, control: FieldControl, lists: SplitLists
) -> Iterator[Table]:
    """Return the lists, the latest first: tests and papers, of long ones a part."""
    if control.tests:

        def some_tests(tests: Sequence[FieldTest]) -> Table:
            rows = context.rows_of(test.id for test in tests)
            return table_of_tests(control, tests, rows)

        latest = sorted(control.tests, key=in_time, reverse=True)
        yield lists.table(latest, lambda test: test.tested_on, some_tests, "tests")
    if control.acceptances:
        papers, make = control.acceptances[::-1], acceptance_table
        yield lists.table(papers, lambda one: day_of(one.on), make, "acceptances")
    if control.days:
        days = control.days[::-1]
        yield lists.table(days, lambda one: day_of(one.on), day_table, "days")


def news_of(context: IndexContext, control: FieldControl) -> list[News]:
    """Return issues and amendments of field tests, papers and references."""
    named = {test.id for test in control.tests}
    named |= {test.reference for test in control.tests}
    named |= {paper.id for paper in control.acceptances}
    named |= {paper.id for paper in control.days}
    return [in_short(one) for one in context.news.of_tests(named)]


def in_short(news: News) -> News:
    """Return an issue with the results that the page lists, if it has any of them."""
    told = news.item.results
    shown = {name: told[name] for name in SHOWN if name in told}
    if not shown:
        return news
    items = tuple(
        one.model_copy(
            update={"results": {n: t for n, t in one.results.items() if n in SHOWN}}
        )
        for one in news.items
    )
    return replace(
        news,
        item=news.item.model_copy(update={"results": shown}),
        items=items,
    )


def percent_figures(control: FieldControl) -> Iterator[Plot]:
    """Return percent compaction of each zone, by date and by station."""
    seen: Counter[str] = Counter()
    for zone, tests in in_zones(control.counted).items():
        window = window_of(tests)
        values = [
            test.percent
            for test in tests
            if is_first(test) and test.percent is not None
        ]
        means = list(moving_means(values, window))
        for plot in (by_date(zone, tests, means, window), by_station(zone, tests)):
            if plot is not None:
                seen[plot.name] += 1  # A-1 and A 1 are two zones, and one file name
                again = f"-{seen[plot.name]}" if seen[plot.name] > 1 else ""
                yield replace(plot, name=plot.name + again)


def curve_figures(context: IndexContext, control: FieldControl) -> Iterator[Plot]:
    """Return the tests of each reference on its curve, the most used first."""
    groups: dict[str, list[FieldTest]] = {}
    for test in control.tests:
        if test.judged_by and not test.withdrawn:
            groups.setdefault(test.judged_by, []).append(test)
    links = context.site.links("")
    for judged_by, tests in sorted(
        groups.items(), key=lambda pair: (-len(pair[1]), pair[0])
    ):
        shown = links.has_page(("test", tests[0].reference))
        archive = context.site.archive
        result = result_of_reference(archive, judged_by) if shown else {}
        axes = [row.axes for row in context.rows_of([tests[0].reference])]
        plot = curve_figure(judged_by, result, tests, axes[0] if axes else ())
        if plot is not None:
            yield plot
