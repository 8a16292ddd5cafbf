"""The page of field control as an engineer meets it: on a phone, dark, printed."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from buildsite.pages.field.field_page import field_pages
from buildsite.pages.render import template_file
from tests.browser.eyes import visit
from tests.pages.field.fills import PROJECT, filled

PAGE = f"projects/{PROJECT}/field/index.html"


@pytest.fixture(scope="module")
def fill(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The pages of an invented fill, with style and script beside them."""
    out = tmp_path_factory.mktemp("fill")
    files = dict(field_pages(filled()))
    files |= {name: template_file(name) for name in ("style.css", "site.js")}
    for name, data in files.items():
        path = out / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return out


@pytest.mark.parametrize("width", [320, 390, 1280])
def test_no_barrier(still: Browser, fill: Path, width: int) -> None:
    with visit(still, fill / PAGE, home=fill, width=width) as seen:
        assert seen.violations() == []
        assert seen.sideways() == 0
        assert seen.broken_images() == []
        seen.turns(width=width, scheme="dark")
        assert seen.violations(colours=True) == []
        assert seen.sideways() == 0


def test_the_first_screen_of_a_phone_says_which_lifts_fail(
    browser: Browser, fill: Path
) -> None:
    with visit(browser, fill / PAGE, home=fill, width=390) as seen:
        rows = seen.page.locator("#lifts ~ .scroll tbody tr")
        boxes = [rows.nth(i).bounding_box() for i in range(2)]
        first = rows.nth(0).inner_text()

    assert "Failing: " in first
    assert "3 of 3 made, 2 met" in first
    assert all(box is not None and box["y"] + box["height"] < 844 for box in boxes)


def test_lifts_are_found_by_their_name(browser: Browser, fill: Path) -> None:
    with visit(browser, fill / PAGE, home=fill, width=390) as seen:
        seen.page.fill("#filter-lifts", "embankment, lift 7")
        shown = seen.page.locator("#lifts ~ .scroll tbody tr:visible").all_inner_texts()

    assert len(shown) == 1
    assert "Met, not yet accepted" in shown[0]


def test_on_a_phone_figures_are_opened_one_by_one(browser: Browser, fill: Path) -> None:
    with visit(browser, fill / PAGE, home=fill, width=390) as seen:
        figures = seen.page.locator("figure img")
        shown = [one.is_visible() for one in figures.all()]
        assert shown == [True] + 6 * [False]

        seen.page.get_by_text("Percent compaction by station: abutment").click()
        assert figures.nth(1).is_visible()
        assert seen.violations() == []

        seen.page.emulate_media(media="print")
        assert all(one.is_visible() for one in figures.all())
        seen.page.emulate_media(media="screen")


def test_without_scripts_every_figure_is_open(browser: Browser, fill: Path) -> None:
    with visit(browser, fill / PAGE, home=fill, width=390, scripts=False) as seen:
        assert all(one.is_visible() for one in seen.page.locator("figure img").all())


def test_on_a_phone_a_field_test_is_one_line(browser: Browser, fill: Path) -> None:
    with visit(browser, fill / PAGE, home=fill, width=390) as seen:
        rows = seen.page.locator("#tests ~ .scroll tbody tr").all()
        boxes = [row.bounding_box() for row in rows]

    assert len({round(box["height"]) for box in boxes if box is not None}) == 1


def test_every_figure_prints_by_itself(browser: Browser, fill: Path) -> None:
    with visit(browser, fill / PAGE, home=fill, width=1280) as seen:
        seen.page.emulate_media(media="print")
        boxes = [one.bounding_box() for one in seen.page.locator("figure img").all()]
        seen.page.emulate_media(media="screen")

    corners = {(round(box["x"]), round(box["y"])) for box in boxes if box is not None}
    assert len(corners) == len(boxes) == 7
