"""The list of all tests and the search, by keyboard, by touch and by address."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.eyes import visit

ROWS = "#tests ~ .scroll tbody tr"


def ids(page: Page) -> list[str]:
    found: list[str] = page.locator(f"{ROWS} th").all_inner_texts()
    return [text.strip() for text in found]


def answers(page: Page) -> list[str]:
    found: list[str] = page.locator("dialog .answer-name").all_inner_texts()
    return found


def test_a_view_is_in_the_address_and_the_way_back_leads_out_of_it(
    browser: Browser, site: Path
) -> None:
    with visit(browser, site / "tests/index.html", home=site) as seen:
        page = seen.page
        every = ids(page)
        page.focus("#find-standard")
        page.select_option("#find-standard", "AASHTO T 180")
        expect(page.locator(".count")).to_contain_text(f"of {len(every)}")
        some = ids(page)
        page.select_option("#find-class", "SM")
        address = page.url
        fewer = ids(page)
        page.go_back()
        expect(page.locator("#find-class")).to_have_value("")
        back = ids(page)
        page.go_back()
        expect(page.locator(".count")).to_have_text("")
        first = ids(page)
        page.goto(address)
        expect(page.locator(".count")).to_contain_text("of")

        assert "standard=AASHTO+T+180&class=SM" in address
        assert 0 < len(fewer) < len(some) < len(every)
        assert back == some
        assert first == every
        assert ids(page) == fewer
        assert page.input_value("#find-standard") == "AASHTO T 180"
    assert seen.complaints == []


@pytest.mark.parametrize(
    ("asked", "id"),
    [("q=hf0104", "HF-0104"), ("q=lean+clay&kind=moisture-density+test", "HF-0104")],
)
def test_what_is_asked_is_forgiven(
    browser: Browser, site: Path, asked: str, id: str
) -> None:
    with visit(browser, site / "tests/index.html", home=site) as seen:
        page = seen.page
        page.goto(f"{(site / 'tests/index.html').as_uri()}?{asked}")
        expect(page.locator(".count")).to_contain_text("of")

        assert id in ids(page)
        assert len(ids(page)) < 40


def test_days_bound_the_list(browser: Browser, site: Path) -> None:
    with visit(browser, site / "tests/index.html", home=site) as seen:
        page = seen.page
        address = (site / "tests/index.html").as_uri()
        page.goto(f"{address}?from=2026-03-01&to=2026-03-31")
        expect(page.locator(".count")).to_contain_text("of")
        days = page.locator(f'{ROWS} td[data-label="Tested"]').all_inner_texts()

    assert days
    assert {day[:7] for day in days} == {"2026-03"}


@pytest.mark.parametrize("keys", ["/", "Control+k"])
def test_the_search_is_worked_by_keys_alone(
    browser: Browser, site: Path, keys: str
) -> None:
    path = site / "checks/index.html"
    with visit(browser, path, home=site) as seen:
        page = seen.page
        page.keyboard.press(keys)
        field = page.get_by_role("combobox", name="Search")
        expect(field).to_be_focused()
        page.keyboard.type("hf0104")
        expect(page.locator("dialog .answers li").first).to_contain_text("HF-0104")
        page.keyboard.press("ArrowDown")
        named = field.get_attribute("aria-activedescendant")
        chosen = page.locator("dialog [aria-selected='true']")
        assert chosen.get_attribute("id") == named
        page.keyboard.press("Enter")
        page.wait_for_url("**/tests/HF-0104/index.html")
    assert (seen.complaints, seen.foreign) == ([], [])


def test_escape_closes_the_search_and_the_place_is_kept(
    browser: Browser, site: Path
) -> None:
    with visit(browser, site / "index.html", home=site, width=390) as seen:
        page = seen.page
        link = page.locator("header.site").get_by_role("link", name="Search")
        box = link.bounding_box()
        link.click()
        expect(page.get_by_role("dialog")).to_be_visible()
        page.keyboard.press("Escape")

        expect(page.get_by_role("dialog")).to_have_count(0)
        expect(link).to_be_focused()
        assert box is not None
        assert min(box["width"], box["height"]) >= 24  # WCAG 2.2, 2.5.8


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("T180", "AASHTO T 180"),
        ("lean clay", "CL"),
        ("borrowpit1", "borrow pit 1"),
        ("m 04", "M-04"),
        ("peak not bracketed", "peak-not-bracketed"),
        ("E02", "E02"),
        ("heron", "heron-flats"),
    ],
)
def test_everything_is_found(
    browser: Browser, site: Path, typed: str, found: str
) -> None:
    with visit(browser, site / "index.html", home=site) as seen:
        page = seen.page
        page.keyboard.press("/")
        page.locator("dialog").get_by_role("combobox", name="Search").fill(typed)
        expect(page.locator("dialog .answer-count")).to_contain_text("found")

        assert found in answers(page)


def test_the_dialog_has_no_barrier(browser: Browser, site: Path) -> None:
    with visit(browser, site / "index.html", home=site, width=320) as seen:
        seen.page.keyboard.press("/")
        field = seen.page.locator("dialog").get_by_role("combobox", name="Search")
        field.fill("clay")
        expect(seen.page.locator("dialog .answers li").first).to_be_visible()

        assert seen.violations() == []
        assert seen.sideways() == 0


def test_the_key_can_be_switched_off(browser: Browser, site: Path) -> None:
    # WCAG 2.2, 2.1.4: a shortcut of one character can be turned off.
    with visit(browser, site / "index.html", home=site) as seen:
        page = seen.page
        page.keyboard.press("/")
        page.get_by_label("The / key opens this").uncheck()
        page.keyboard.press("Escape")
        page.keyboard.press("/")
        closed = page.get_by_role("dialog").count()
        page.keyboard.press("Control+k")
        page.get_by_label("The / key opens this").check()

    assert closed == 0
