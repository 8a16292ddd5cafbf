"""Two browsers for all tests of pages: to move in a page, and to look at it alone."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Playwright, sync_playwright

from tests.browser.eyes import STILL, find_browser, start_browser


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as playwright:
        yield playwright


def started(playwright: Playwright, *more: str) -> Iterator[Browser]:
    path = find_browser()
    if path is None:
        pytest.skip("no Chromium here: on Debian, apt-get install chromium")
    browser = start_browser(playwright, path, *more)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """A browser in which a test points, types and scrolls."""
    yield from started(playwright)


@pytest.fixture(scope="session")
def still(playwright: Playwright) -> Iterator[Browser]:
    """
    A browser for pages that are looked at and printed; `test_eyes.py` tries both.

    It draws nothing by itself: who clicks waits for a movement that does not come.
    """
    yield from started(playwright, STILL)
