"""Lists: what was typed is found however it is written, and a phone can sort."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.eyes import visit

ROWS = "#tests-moisture-density ~ .scroll tbody tr"


def filtered(page: Page, typed: str) -> list[str]:
    """What the list of compaction tests still shows: texts of its rows."""
    page.fill("#filter-tests-moisture-density", typed)
    shown: list[str] = page.locator(f"{ROWS}:visible").all_inner_texts()
    return shown


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("T180", "AASHTO T 180"),
        ("t-180", "AASHTO T 180"),
        ("hf0104", "HF-0104"),
        ("HF 0104", "HF-0104"),
        ("sm t99", "AASHTO T 99"),
    ],
)
def test_blanks_hyphens_and_case_are_forgiven(
    browser: Browser, site: Path, typed: str, found: str
) -> None:
    path = site / "projects/heron-flats/index.html"
    with visit(browser, path, home=site) as seen:
        every = seen.page.locator(ROWS).count()
        shown = filtered(seen.page, typed)

    assert 0 < len(shown) < every
    assert [row for row in shown if found not in row.replace("\u00a0", " ")] == []


def test_a_phone_sorts_by_a_choice(browser: Browser, site: Path) -> None:
    path = site / "projects/heron-flats/index.html"
    with visit(browser, path, home=site, width=390) as seen:
        page, ids = seen.page, f"{ROWS} th"
        listed = page.locator(ids).all_inner_texts()
        page.select_option("#sort-tests-moisture-density", label="Test")
        up = page.locator(ids).all_inner_texts()
        bar = page.locator("#tests-moisture-density + .filter")
        bar.get_by_role("button", name="Turn round").click()
        down = page.locator(ids).all_inner_texts()
        page.select_option("#sort-tests-moisture-density", label="as listed")

        assert up == sorted(listed)
        assert down == up[::-1]
        assert page.locator(ids).all_inner_texts() == listed


def test_a_phone_shows_no_empty_cell(browser: Browser, site: Path) -> None:
    path = site / "projects/heron-flats/index.html"
    with visit(browser, path, home=site, width=390) as seen:
        cells = seen.page.locator(".list:not(.wide) td:visible").all_inner_texts()

    assert cells
    assert [text for text in cells if text.strip(" \u2007\u2008") == "—"] == []


SORTED_BY = """b => b.querySelectorAll("tbody tr").length < 3 || [...b.querySelectorAll(
    ".sort-by select, .finder-bar summary, thead .sort")].some(e => e.checkVisibility())
"""


@pytest.mark.parametrize(
    "page",
    [
        *("index.html", "tests/index.html", "flags/index.html", "due/index.html"),
        *("projects/heron-flats/index.html", "projects/heron-flats/field/index.html"),
    ],
)
def test_every_list_is_sorted_on_a_phone_and_has_no_empty_cell(
    browser: Browser, site: Path, page: str
) -> None:
    with visit(browser, site / page, home=site, width=320) as seen:
        lists = seen.page.locator(".list:has(table)").all()
        unsorted = [
            one.locator("h2").inner_text()
            for one in lists
            if not one.evaluate(SORTED_BY)
        ]
        cells = seen.page.locator(":is(.list, .more):not(.wide) td:visible")
        empty = [text for text in cells.all_inner_texts() if text.strip() == "—"]
        assert seen.sideways() == 0

    assert lists
    assert (unsorted, empty) == ([], [])
