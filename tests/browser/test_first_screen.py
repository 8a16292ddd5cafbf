"""What a reader on a phone meets first: which report, whether it stands, its result."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.eyes import Visit, visit
from tests.browser.test_pages import pages

PHONES = ((390, 844), (320, 568))
"""Two common phones, one of them small, in CSS pixels."""

HEADED = re.compile(r'class="status \w+">(\w+).*?class="kicker">([^<]*)', re.DOTALL)
# Of the first screen: the status and its bottom, text and bottom of the results, and
# the height of the bar above all.
FIRST = """() => {
    const bottom = one => one.getBoundingClientRect().bottom;
    const status = document.querySelector(".status");
    return {
        status: [status.innerText, bottom(status)],
        lists: document.querySelectorAll(".results").length,
        figures: [...document.querySelectorAll(".results dt + dd")]
            .map(one => [one.innerText.trim(), bottom(one)]),
        bar: document.querySelector("header.site .bar").getBoundingClientRect().height,
    };
}"""


@pytest.fixture(scope="module")
def browser(still: Browser) -> Browser:
    return still


def one_of_each(site: Path) -> Iterator[Path]:
    """A page of a test of each kind and status: the longest and the shortest."""
    found: dict[tuple[str, ...], list[Path]] = {}
    for path in pages(site, "test"):
        head = HEADED.search(path.read_text("utf-8"))
        assert head is not None, path
        found.setdefault(head.groups(), []).append(path)
    for alike in found.values():
        yield from dict.fromkeys((alike[0], alike[-1]))


def assert_answered(seen: Visit, height: int) -> None:
    """The answer is on the first screen: its figures, or that there is none."""
    first = seen.page.evaluate(FIRST)
    assert first["bar"] < 48
    status, bottom = first["status"]
    assert bottom < height
    if "ithdrawn" in status:
        assert "o not use the result" in status
        assert first["lists"] == 0
        return
    assert first["figures"]
    for text, bottom in first["figures"][:2]:
        assert text
        assert bottom < height


@pytest.mark.parametrize("copy", ["site", "released"])
def test_the_result_is_on_the_first_screen(
    browser: Browser, request: pytest.FixtureRequest, copy: str
) -> None:
    site: Path = request.getfixturevalue(copy)
    sample = list(one_of_each(site))

    assert len(sample) > 8
    for path in sample:
        with visit(browser, path, home=site, width=390) as seen:
            for width, height in PHONES:
                seen.page.set_viewport_size({"width": width, "height": height})
                try:
                    assert_answered(seen, height)
                except AssertionError as fault:
                    fault.add_note(f"{path}, {width} by {height}")
                    raise


def test_a_reader_hears_report_status_and_result_in_this_order(
    browser: Browser, site: Path
) -> None:
    """In the order of the page, which a screen reader follows; amended last."""
    path = site / "tests/HF-0117/index.html"
    with visit(browser, path, home=site, width=390) as seen:
        text = str(seen.page.locator("main").evaluate("e => e.textContent"))

    wanted = ("HF-0117", "Amended:", "Results", "108.0", "What was amended", "108.7")
    places = [text.find(words) for words in wanted]
    assert -1 not in places
    assert places == sorted(places)


def test_the_navigation_opens_without_a_script(browser: Browser, site: Path) -> None:
    path = site / "tests/HF-0117/index.html"
    with visit(browser, path, home=site, width=320, scripts=False) as seen:
        links = seen.page.locator("#menu a")
        assert not links.first.is_visible()
        seen.page.locator("button.menu").press("Enter")
        assert links.first.is_visible()
        seen.page.keyboard.press("Escape")
        assert not links.first.is_visible()
    with visit(browser, path, home=site, scripts=False) as seen:
        assert seen.page.locator("#menu a").last.is_visible()
        assert not seen.page.locator("button.menu").is_visible()
