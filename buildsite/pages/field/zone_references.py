"""By which test each zone of a fill is judged: its pair, whether amended, and why."""

from collections.abc import Container, Iterator, Mapping, Sequence

from buildsite.kinds.sheet import Sheet, Table
from buildsite.pages.indexes.news import News, NewsLists
from buildsite.pages.revisions.revision_status import replaced_report
from buildsite.pages.rows import Row
from buildsite.pages.tables import NOTHING, columns, link_cell, table_row

NAME = "by-zone"
NOT_YET = "no field test yet"
MOST = 5
"""Tests shown of a zone: of a large fill every field test may have its own."""


def references_by_zone(tests: Sequence[Row]) -> dict[str, list[str]]:
    """Return the references of the field tests that stand, by zone, the most used."""
    used: dict[str, dict[str, int]] = {}
    for row in tests:
        if row.reference and row.zone and row.page and not row.withdrawn:
            zone = used.setdefault(row.zone, {})
            zone[row.reference] = zone.get(row.reference, 0) + 1
    return {
        zone: sorted(found, key=lambda id: (-found[id], id))
        for zone, found in sorted(used.items())
    }


def pair_text(row: Row) -> str:
    """Return the pair of a test that field tests are judged by, as reported."""
    results = dict(row.results)
    return " at ".join(results[name] for name in row.governing if name in results)


def pairs_by_zone(
    tests: Sequence[Row], by_id: Mapping[str, Row]
) -> Iterator[tuple[str, Row]]:
    """Yield each zone with the tests that it is judged by, `MOST` of each."""
    for zone, ids in references_by_zone(tests).items():
        told = [by_id[id] for id in ids if id in by_id and pair_text(by_id[id])]
        yield from ((zone, row) for row in told[:MOST])


def amended_text(news: Sequence[News], id: str) -> str:
    """Return what the last report of a test replaced, and why; `news` newest first."""
    for one in news:
        if one.id == id and one.item.kind == "report":
            before = replaced_report(one.items, one.item)
            if before is None:
                return "no"
            return f"r{one.item.revision} replaces r{before.revision}: " + (
                one.item.reason
            )
    return NOTHING


def zones_without(
    tests: Sequence[Row], sheet: Sheet, shown: Container[str]
) -> Iterator[tuple[str, str]]:
    """Yield each zone of the requirements that has no row, and why it has none."""
    required = sheet.table("requirements")
    tested = {
        row.zone
        for row in tests
        if row.page and not row.withdrawn and row.of_fill == "test"
    }
    for row in required.rows if required is not None else ():
        zone = row.cells[0].text
        if zone not in shown:
            yield zone, "no reference on file" if zone in tested else NOT_YET


def reference_words(row: Row) -> str:
    """Return what a reference is: its kind, its soil and where that is from."""
    return ", ".join(filter(None, (row.title, row.soil_name, row.source)))


def zone_tables(
    tests: Sequence[Row],
    by_id: Mapping[str, Row],
    news: NewsLists,
    sheet: Sheet,
) -> list[Table]:
    """Return the zones of a project with what each is judged by, if any is."""
    judged = list(pairs_by_zone(tests, by_id))
    rows = [
        table_row(
            zone,
            pair_text(row),
            link_cell("test", row.id),
            reference_words(row),
            row.state,
            amended_text(news.of_test(row.id), row.id),
        )
        for zone, row in judged
    ]
    if not rows:
        return []
    without = zones_without(tests, sheet, {zone for zone, _ in judged})
    rows += [table_row(zone, why, *4 * [NOTHING]) for zone, why in without]
    heads = columns("Zone", "For field control", "Test", "Kind", "Status", "Amended")
    title = "Maximum and optimum by zone"
    note = f"The tests that field tests of a zone are judged by, at most {MOST}."
    return [Table(NAME, title, heads, tuple(rows), role="more", note=note)]
