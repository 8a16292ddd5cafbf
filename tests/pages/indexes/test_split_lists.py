"""Long lists are cut by year; where, their rows alone decide."""

import re
from dataclasses import replace
from datetime import date, timedelta

from buildsite.pages.indexes.all_tests import pages_of_tests
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.split_lists import MOST, front_of, parts_of
from buildsite.pages.page import site_of
from buildsite.pages.rows import Row
from buildsite.pages.site_sources import Options
from tests.archives import archive_of, sound

Day = date | None


def same(day: Day) -> Day:
    return day


def days(year: int, number: int) -> list[Day]:
    """So many days of a year, the latest first; no two need differ."""
    first = date(year, 12, 31)
    return [first - timedelta(days=i // 3) for i in range(number)]


def test_a_list_that_is_not_long_stays_whole() -> None:
    some = days(2025, MOST - 10) + days(2019, 10)

    assert [part.rows for part in parts_of(some, same)] == [tuple(some)]


def test_every_row_is_in_one_part_in_the_order_of_the_list() -> None:
    some = [*days(2026, 40), *days(2025, 700), *days(2024, 5), None, None]
    parts = parts_of(some, same)

    assert [row for part in parts for row in part.rows] == some
    assert [part.label for part in parts] == [
        "2026",
        "2025, part 3",
        "2025, part 2",
        "2025, part 1",
        "2024",
        "undated",
    ]
    assert max(len(part.rows) for part in parts) == MOST


def test_a_full_part_stays_as_it_is_when_rows_are_added() -> None:
    before = days(2025, 650)
    after = [date(2025, 12, 31)] * 30 + before
    old = {part.folder: part.rows for part in parts_of(before, same)}
    new = {part.folder: part.rows for part in parts_of(after, same)}

    assert [new[name] == old[name] for name in ("2025-1", "2025-2")] == [True, True]
    assert new["2025-3"] != old["2025-3"]


def test_the_page_shows_whole_years_until_it_has_a_screenful() -> None:
    some = days(2026, 3) + days(2025, 150) + days(2024, 250)
    front, rest = front_of(parts_of(some, same))

    assert [part.label for part in front] == ["2026", "2025"]
    assert [part.label for part in rest] == ["2024"]


def row(number: int, year: int) -> Row:
    """A test of a year, in the archive of nobody."""
    id = f"ZZ-{number:04d}"
    return replace(
        Row(f"records/zz/tests/{id}.yaml", id, True, "x", "Assay", "complete", "zz"),
        day=date(year, 6, 1),
    )


def test_every_test_of_a_long_list_stands_on_one_page_of_it() -> None:
    rows = tuple(row(i, 2026 - i // 350) for i in range(1000))
    context = IndexContext(site_of(archive_of(sound()), Options()), rows)
    pages = dict(pages_of_tests(context))

    found = [id for data in pages.values() for id in listed(data)]
    assert sorted(found) == [row.id for row in rows]
    assert "years/2025-1/index.html" in pages
    first = pages["tests/index.html"].decode()
    assert 'href="../years/2024/index.html"' in first
    assert max(map(len, pages.values())) < 500_000


def listed(data: bytes) -> list[str]:
    """Ids of the rows of a page."""
    return re.findall(r'<th scope="row"[^>]*>(?:<a[^>]*>)?(ZZ-\d+)', data.decode())
