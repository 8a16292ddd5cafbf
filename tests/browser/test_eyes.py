"""The browser sees what is wrong with a page: without this, no page could fail."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.eyes import visit

SOUND = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Test HF-1</title>
<meta name="viewport" content="width=device-width">
<link rel="icon" href="data:,"></head>
<body><main><h1>Test HF-1</h1><p>Sound.</p>%s</main></body></html>
"""


@pytest.fixture(scope="module", params=["browser", "still"])
def browser(request: pytest.FixtureRequest) -> Browser:
    found: Browser = request.getfixturevalue(request.param)
    return found


@pytest.fixture
def write(tmp_path: Path) -> Callable[[str], Path]:
    def page(more: str) -> Path:
        path = tmp_path / "index.html"
        path.write_text(SOUND % more, "utf-8")
        return path

    return page


def test_a_sound_page_passes(
    browser: Browser, write: Callable[[str], Path], tmp_path: Path
) -> None:
    with visit(browser, write(""), home=tmp_path, width=320) as seen:
        assert seen.violations() == []
        assert seen.sideways() == 0
        assert (seen.complaints, seen.foreign, seen.broken_images()) == ([], [], [])
        assert seen.lines() == ["Test HF-1", "Sound."]


@pytest.mark.parametrize(
    ("more", "rule"),
    [
        ('<img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">', "image-alt"),
        ('<p style="color: #999; background: #fff">pale</p>', "color-contrast"),
        ('<input type="search">', "label"),
    ],
)
def test_a_barrier_is_named(
    browser: Browser,
    write: Callable[[str], Path],
    tmp_path: Path,
    more: str,
    rule: str,
) -> None:
    with visit(browser, write(more), home=tmp_path) as seen:
        assert any(found.startswith(f"{rule}:") for found in seen.violations())


def test_a_wide_table_scrolls_sideways(
    browser: Browser, write: Callable[[str], Path], tmp_path: Path
) -> None:
    wide = '<p style="width: 400px">wide</p>'

    with visit(browser, write(wide), home=tmp_path, width=320) as seen:
        assert seen.sideways() > 0


def test_another_host_is_seen(
    browser: Browser, write: Callable[[str], Path], tmp_path: Path
) -> None:
    # A closed port of this machine stands for the other host: nothing leaves it.
    with visit(
        browser, write('<img src="http://127.0.0.1:9/x.png" alt="">'), home=tmp_path
    ) as seen:
        assert seen.foreign == ["http://127.0.0.1:9/x.png"]
        assert seen.broken_images() == ["http://127.0.0.1:9/x.png"]
        assert seen.complaints != []


def test_an_error_in_a_script_is_heard(
    browser: Browser, write: Callable[[str], Path], tmp_path: Path
) -> None:
    bad = write("<script>throw new Error('lost')</script>")

    with visit(browser, bad, home=tmp_path) as seen:
        assert seen.complaints == ["lost"]
    with visit(browser, bad, home=tmp_path, scripts=False) as seen:
        assert seen.complaints == []
