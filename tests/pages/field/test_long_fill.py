"""The page of a long fill: lists cut by year, totals and failures whole."""

import re
from functools import cache

from buildsite.pages.field.field_page import field_pages
from buildsite.pages.indexes.split_lists import LEAST, MOST
from tests.pages.field.fills import PROJECT, context, day, field_one, one

FOLDER = f"projects/{PROJECT}/field"
EACH, YEARS = 150, (2024, 2025, 2026)
FAILED = "F2024-007"


@cache
def pages() -> dict[str, str]:
    """A fill of three years, with one old failure that nothing closed."""
    tests = [
        field_one(id, on=f"{year}-06-01", verdict="fail" if id == FAILED else "pass")
        for year in YEARS
        for number in range(EACH)
        for id in [f"F{year}-{number:03d}"]
    ]
    days = [one(f"D{year}", day(f"{year}-06-01", ())) for year in YEARS]
    made = dict(field_pages(context([*tests, *days])))
    return {
        path.removeprefix(f"{FOLDER}/"): data.decode()
        for path, data in made.items()
        if path.endswith(".html")
    }


def listed(page: str, table: str = "tests") -> list[str]:
    """The tests in a list, in its order."""
    rows = page[page.index(f'<h2 id="{table}"') :]
    rows = rows[: rows.index("</table>")]
    return re.findall(r'<th scope="row"[^>]*>(?:<a[^>]*>)?(F\d{4}-\d{3})', rows)


def test_every_test_is_in_one_part() -> None:
    assert len(YEARS) * EACH > MOST
    assert EACH > LEAST
    parts = {path for path in pages() if path != "index.html"}
    assert parts == {"tests/2024/index.html", "tests/2025/index.html"}

    found = [id for page in pages().values() for id in listed(page)]
    assert len(found) == len(set(found)) == len(YEARS) * EACH
    assert {id[:5] for id in listed(pages()["index.html"])} == {"F2026"}


def test_the_first_page_leads_to_the_parts_and_a_part_back() -> None:
    first, part = pages()["index.html"], pages()["tests/2024/index.html"]

    assert f'href="../../../{FOLDER}/tests/2024/index.html"' in first
    assert f'href="../../../../../{FOLDER}/index.html"' in part


def test_totals_and_failures_are_whole_on_the_first_page() -> None:
    first = pages()["index.html"]

    assert f"1 failure is not closed: {FAILED}" in first
    assert listed(first, "failures") == [FAILED]
    assert f"{len(YEARS) * EACH} tests" in first
    assert first.count(f'id="{FAILED}"') == 0  # its row is in the part
    assert all(f"D{year}" in first for year in YEARS)  # a short list stays whole
