"""One browser for all tests of pages."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, sync_playwright

from tests.browser.eyes import find_browser, start_browser


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = find_browser()
    if path is None:
        pytest.skip("no Chromium here: on Debian, apt-get install chromium")
    with sync_playwright() as playwright:
        started = start_browser(playwright, path)
        yield started
        started.close()
