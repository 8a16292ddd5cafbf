"""Long lists on a phone and on paper: short rows, what is asked for most first."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.eyes import visit
from tests.browser.printed import read

TESTS, METHOD = "tests/index.html", "methods/aashto-t-99/index.html"
ROWS = "#tests ~ .scroll tbody tr"
BOX = "e => { const b = e.getBoundingClientRect(); return [b.top, b.bottom]; }"

NARROW = pytest.mark.parametrize(("width", "height"), [(320, 568), (390, 844)])


@pytest.fixture(scope="module")
def browser(still: Browser) -> Browser:
    return still


@NARROW
def test_a_phone_meets_compaction_tests_first(
    browser: Browser, site: Path, width: int, height: int
) -> None:
    with visit(browser, site / TESTS, home=site, width=width) as seen:
        seen.page.set_viewport_size({"width": width, "height": height})
        rows = seen.page.locator(ROWS)
        boxes = rows.evaluate_all(f"rows => rows.map({BOX})")
        first = [
            rows.nth(i).locator('td[data-label="Result"]').inner_text()
            for i, box in enumerate(boxes)
            if box[1] < height
        ]
        last = rows.last.inner_text()

    assert len(first) >= 3
    assert [text for text in first if " at " not in text] == []  # maximum at optimum
    assert "Daily report" in last or "acceptance" in last
    high = sorted(bottom - top for top, bottom in boxes)
    assert high[len(high) // 2] < 5 * 16  # two or three lines, mostly
    assert high[-1] < 7.5 * 16


@pytest.mark.parametrize("width", [320, 1280])
def test_no_blank_stands_above_a_list_that_nobody_asked(
    browser: Browser, site: Path, width: int
) -> None:
    with visit(browser, site / TESTS, home=site, width=width) as seen:
        fold = seen.page.locator(".finder-bar details").evaluate(BOX)
        table = seen.page.locator("#tests ~ .scroll").evaluate(BOX)

    assert 0 < table[0] - fold[1] < 24


def test_a_method_is_folded_and_a_link_to_its_row_opens_it(
    browser: Browser, site: Path
) -> None:
    row = "#method-c-mold-volume"
    with visit(browser, site / METHOD, home=site, width=320) as seen:
        page = seen.page
        assert page.locator("#all-methods ~ .scroll tbody tr").first.is_visible()
        assert not page.locator(row).is_visible()
        page.goto((site / METHOD).as_uri() + row)
        assert page.locator(row).is_visible()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_head_of_a_list_is_on_every_sheet(
    browser: Browser, site: Path, paper: str
) -> None:
    with visit(browser, site / TESTS, home=site) as seen:
        printed = read(seen.page.pdf(format=paper, prefer_css_page_size=True))

    assert len(printed.pages) >= 3
    assert [words for words in printed.pages if "Verdict" not in words] == []
    assert not printed.small


def test_what_is_folded_on_a_page_of_a_standard_is_printed(
    browser: Browser, site: Path
) -> None:
    with visit(browser, site / METHOD, home=site) as seen:
        words = " ".join(read(seen.page.pdf(format="A4")).pages)

    assert "Method C" in words
    assert "Mold volume" in words


def test_field_control_is_printed_in_legible_type(browser: Browser, site: Path) -> None:
    path = site / "projects/heron-flats/field/index.html"
    with visit(browser, path, home=site) as seen:
        printed = read(seen.page.pdf(format="A4", prefer_css_page_size=True))

    assert not printed.small
