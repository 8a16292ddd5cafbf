"""The curve as an instrument: read by pointer, keys and touch, others laid over it."""

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from itertools import pairwise
from math import hypot
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from PIL.PngImagePlugin import PngImageFile
from playwright.sync_api import Browser, Page

from tests.browser.eyes import visit

TEST = "HF-0117"
POUND_PER_CUBIC_FOOT = 16.01846337
"""1 lb/ft³ in kg/m³: NIST Special Publication 811 (2008), appendix B.8, with the digits
that 0.45359237 / 0.3048³ has."""

SVG = "{http://www.w3.org/2000/svg}"
CURVE = "stroke: #14506b; stroke-width: 2;"
Spot = tuple[float, float]


def result(site: Path, test: str = TEST) -> dict[str, Any]:
    """What the laboratory issued: the figures that a reading is held against."""
    kept = json.loads((site / f"tests/{test}/result.json").read_text("utf-8"))
    return dict(kept)


def drawing(site: Path, test: str = TEST) -> ElementTree.Element:
    text = (site / f"tests/{test}/curve.svg").read_text("utf-8")
    return ElementTree.fromstring(text)  # noqa: S314 (our own drawing)


def picture_path(site: Path) -> list[Spot]:
    """The places of the curve in the picture, as its file has them."""
    paths = [p for p in drawing(site).iter(f"{SVG}path") if CURVE in p.get("style", "")]
    (path,) = paths
    numbers = re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.get("d", ""))
    return [(float(x), float(y)) for x, y in numbers]


def picture_dots(site: Path) -> list[Spot]:
    """The places of the points in the picture: the marks of the first kind."""
    uses = list(drawing(site).iter(f"{SVG}use"))
    form = uses[0].attrib["{http://www.w3.org/1999/xlink}href"]
    return [
        (float(use.attrib["x"]), float(use.attrib["y"]))
        for use in uses
        if use.attrib["{http://www.w3.org/1999/xlink}href"] == form
    ]


def axis(site: Path, name: str) -> tuple[float, float]:
    """Slope and start of an axis, from two numbers printed at its ticks."""
    texts = [
        (float(one.attrib["x"]), float(one.attrib["y"]), one.text or "")
        for one in drawing(site).iter(f"{SVG}text")
    ]
    numbers = [(x, y, float(t)) for x, y, t in texts if re.fullmatch(r"[\d.]+", t)]
    if name == "x":  # along the foot, their middle at the tick
        foot = max(y for _, y, _ in numbers)
        ticks = [(x, value) for x, y, value in numbers if y == foot]
    else:  # at the left; baselines 0.36 em of 12 below the tick
        side = min(x for x, _, _ in numbers)
        ticks = [(y - 0.36 * 12, value) for x, y, value in numbers if x == side]
    (a, first), (b, last) = ticks[0], ticks[-1]
    slope = (b - a) / (last - first)
    return slope, a - slope * first


def on_picture(site: Path, water: float, density: float) -> Spot:
    """Where the ticks of the picture put a pair."""
    (xs, x0), (ys, y0) = axis(site, "x"), axis(site, "y")
    return x0 + xs * water, y0 + ys * density


def away(spot: Spot, path: list[Spot]) -> float:
    """Distance of a spot from a path. [points]"""

    def from_one(a: Spot, b: Spot) -> float:
        (ax, ay), (bx, by) = a, b
        long = (bx - ax) ** 2 + (by - ay) ** 2
        t = ((spot[0] - ax) * (bx - ax) + (spot[1] - ay) * (by - ay)) / (long or 1)
        t = min(max(t, 0), 1)
        return hypot(ax + t * (bx - ax) - spot[0], ay + t * (by - ay) - spot[1])

    return min(from_one(a, b) for a, b in pairwise(path))


def density_at(line: list[list[float]], water: float) -> float:
    """Density along a kept curve. [lb/ft³]"""
    for (w0, d0), (w1, d1) in pairwise(line):
        if w0 <= water <= w1:
            return (d0 + (d1 - d0) * (water - w0) / (w1 - w0)) / POUND_PER_CUBIC_FOOT
    raise AssertionError(water)


def saturation(kept: dict[str, Any], water: float, density: float) -> float:
    """w Gs / e with e = Gs ρw / ρd - 1: the definition of ASTM D7263. [%]"""
    gravity, rho = kept["curve"]["specific_gravity"], kept["curve"]["water_density"]
    voids = gravity * rho / (density * POUND_PER_CUBIC_FOOT) - 1
    return float(water * gravity / voids)


READING = re.compile(
    r"(?:[^:]*: )?([\d.]+) lbf/ft³ at ([\d.]+) %; saturation (\d+) %; "
    r"([\d.]+) % of the maximum, 108\.0 lbf/ft³"
)


def parts_of(text: str) -> list[float]:
    """Density, water content, saturation and percent of the maximum of a reading."""
    found = READING.fullmatch(text)
    assert found, text
    return [float(one) for one in found.groups()]


def held(site: Path, text: str) -> None:
    """Hold a reading against the issued curve, at the water content that it tells."""
    kept = result(site)
    density, water, full, percent = parts_of(text)
    # The tenth that is told may be half a tenth off what was pointed at.
    near = [
        density_at(kept["curve"]["line"], min(max(w, 13.5269), 21.2005))
        for w in (water - 0.05, water, water + 0.05)
    ]
    assert min(near) - 0.05 <= density <= max(near) + 0.05
    assert full == pytest.approx(saturation(kept, water, density), abs=1.1)
    assert percent == pytest.approx(100 * density / 108.0, abs=0.06)


def reading(page: Page) -> str:
    return page.locator("figure .reading").inner_text()


def cross(page: Page, form: str = "circle") -> Spot:
    """Where the mark of the reading is, in points of the figure."""
    mark = page.locator(f".cross {form}")
    return float(mark.get_attribute("cx") or 0), float(mark.get_attribute("cy") or 0)


@contextmanager
def opened(browser: Browser, site: Path, test: str = TEST) -> Iterator[Page]:
    with visit(browser, site / f"tests/{test}/index.html", home=site) as seen:
        seen.page.locator(".reader").scroll_into_view_if_needed()
        yield seen.page
        assert seen.complaints == []


def hover(page: Page, x: float, y: float) -> None:
    """Point at a place of the figure, in its points."""
    box = page.locator(".reader").bounding_box()
    assert box is not None
    scale = box["width"] / 400
    page.mouse.move(box["x"] + x * scale, box["y"] + y * scale)


def test_the_pointer_snaps_to_the_curve_and_reads_it(
    browser: Browser, site: Path
) -> None:
    path = picture_path(site)
    with opened(browser, site) as page:
        for water in (14.4, 16.1, 18.4, 20.3):
            x, _ = on_picture(site, water, 100)
            hover(page, x, 200)  # far below the curve: the water content is meant

            assert away(cross(page), path) < 0.3
            assert cross(page)[0] == pytest.approx(x, abs=1.0)
            assert parts_of(reading(page))[1] == pytest.approx(water, abs=0.1)
            held(site, reading(page))


def test_the_keys_read_the_curve_its_ends_its_peak_and_the_points(
    browser: Browser, site: Path
) -> None:
    kept = result(site)
    line = kept["curve"]["line"]
    with opened(browser, site) as page:
        page.locator(".reader").focus()
        told = {}
        for key in ("p", "ArrowRight", "ArrowLeft", "Home", "End", "ArrowUp"):
            page.keyboard.press(key)
            told[key] = reading(page)
            held(site, told[key])
        spoken = page.locator(".reader").get_attribute("aria-valuetext")

    peak = kept["results"]["optimum_water_content"]["value"]
    assert parts_of(told["p"])[:2] == [108.0, round(peak, 1)]
    assert parts_of(told["ArrowRight"])[1] == pytest.approx(17.8)
    assert parts_of(told["ArrowLeft"])[1] == pytest.approx(17.7)
    assert parts_of(told["Home"])[1] == pytest.approx(line[0][0], abs=0.05)
    assert parts_of(told["End"])[1] == pytest.approx(line[-1][0], abs=0.05)
    assert told["ArrowUp"].startswith("Point 1: ")
    assert spoken == told["ArrowUp"]


def test_a_point_and_its_row_light_up_together(browser: Browser, site: Path) -> None:
    kept, dots = result(site), picture_dots(site)
    with opened(browser, site) as page:
        rows = page.locator("tr[data-point]")
        for i, dot in enumerate(dots):
            hover(page, dot[0] + 3, dot[1] - 2)
            lit = page.locator("tr.lit")
            assert lit.get_attribute("data-point") == str(i + 1)
            assert cross(page, ".lit") == pytest.approx(dot, abs=0.01)
            density, water, full, _ = parts_of(reading(page))
            point = kept["points"][i]
            shown = point["dry_density"] / POUND_PER_CUBIC_FOOT
            assert density == pytest.approx(shown, abs=0.051)
            assert water == pytest.approx(point["water_content"], abs=0.051)
            assert full == pytest.approx(point["saturation"], abs=0.51)
        page.mouse.move(0, 0)
        assert page.locator("tr.lit").count() == 0
        rows.nth(2).hover()
        assert cross(page, ".lit") == pytest.approx(dots[2], abs=0.01)
        page.mouse.move(0, 0)
        rows.nth(3).locator("button").focus()
        assert cross(page, ".lit") == pytest.approx(dots[3], abs=0.01)
        assert reading(page).startswith("Point 4: ")


def test_a_finger_reads_and_may_still_scroll_the_page(
    browser: Browser, site: Path
) -> None:
    context = browser.new_context(
        has_touch=True, is_mobile=True, viewport={"width": 390, "height": 844}
    )
    page = context.new_page()
    page.goto((site / f"tests/{TEST}/index.html").as_uri())
    reader = page.locator(".reader")
    reader.scroll_into_view_if_needed()
    box = reader.bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    told = reading(page)
    action = reader.evaluate("one => getComputedStyle(one).touchAction")
    context.close()

    held(site, told)
    assert action == "pan-y"


def test_another_curve_of_the_soil_is_laid_over_it_in_its_place(
    browser: Browser, site: Path
) -> None:
    other = result(site, "HF-0129")
    with opened(browser, site) as page:
        page.locator(".others summary").click()
        choice = page.locator(".others li", has_text="HF-0129")
        choice.locator("input").check()
        path = page.locator(".other path").first.get_attribute("d") or ""
        named = page.locator(".other text").text_content()
        choice.locator("input").uncheck()
        left = page.locator(".other").count()
        href = choice.get_by_role("link", name="Open HF-0129").get_attribute("href")
        beside = choice.get_by_role("link", name="Compare with HF-0129")
        compared = beside.get_attribute("href")

    places = [
        on_picture(site, w, d / POUND_PER_CUBIC_FOOT) for w, d in other["curve"]["line"]
    ]
    drawn = re.findall(r"(-?[\d.]+) (-?[\d.]+)", path)
    assert len(drawn) > 10
    assert max(away((float(x), float(y)), places) for x, y in drawn) < 0.3
    assert named == "HF-0129"
    assert left == 0
    assert href == "../../tests/HF-0129/index.html"
    assert compared == f"../../compare/index.html?a={TEST}&b=HF-0129"


def test_a_figure_is_saved_as_a_picture_that_says_whose_it_is(
    browser: Browser, site: Path
) -> None:
    context = browser.new_context(accept_downloads=True)
    page = context.new_page()
    page.goto((site / f"tests/{TEST}/index.html").as_uri())
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Save as PNG").click()
    data, name = waiting.value.path().read_bytes(), waiting.value.suggested_filename
    context.close()

    picture = PngImageFile(BytesIO(data))
    picture.load()  # checks the sums of every chunk
    ground = picture.convert("L")
    assert name == f"{TEST}-curve.png"
    assert picture.size == (1600, 1344)
    assert picture.text["Title"].startswith(f"Compaction curve: {TEST} r2 · ASTM D698")
    assert picture.text["Description"].startswith("5 points from 13.5 to 21.2 %")
    assert picture.text["Software"] == "buildsite"
    assert ground.getpixel((2, 2)) == 255
    strip = ground.crop((0, 4 * 321, 1600, 4 * 335))
    assert min(strip.tobytes()) < 200, "the line below is empty"


def test_a_row_beside_curves_of_several_tests_lights_its_curve(
    browser: Browser, site: Path
) -> None:
    path = site / "projects/heron-flats/index.html"
    with visit(browser, path, home=site) as seen:
        row = seen.page.locator(".pairs tr[data-point]", has_text="HF-0128")
        row.hover()
        told = seen.page.locator("figure .reading").first.inner_text()
        lit = seen.page.locator(".cross .whole").count()

    assert told.startswith("HF-0128, peak: 116.2 lb/ft³ at 13.0 %")
    assert lit == 1
