"""
How long the search of a site of N invented tests takes to answer, in the browser.

`python -m tests.benchmarks.search [N]` writes the lists and the data of such a site,
opens it from the disk, and prints sizes and times. Nothing else is drawn of it.
"""

import random
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from buildsite.archive.archive import Archive
from buildsite.kinds.field_control.results import FieldTest
from buildsite.pages.indexes.all_tests import pages_of_tests
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.search_data import search_data
from buildsite.pages.page import File, site_of
from buildsite.pages.render import template_file
from buildsite.pages.rows import Row
from buildsite.pages.site_sources import Options
from tests.benchmarks.archive import SOILS
from tests.browser.eyes import find_browser, start_browser

TYPED = ("p0100-007", "lean clay d698", "station 12+50", "T02", "zzz")
"""An id, words, a place, a person, and what nobody wrote."""

FIRST = date(2021, 1, 4)
DAYS = 5 * 365


def many_rows(number: int, seed: int = 1) -> Iterator[Row]:
    """Return rows of invented tests over five years, three of four of the fill."""
    chance = random.Random(seed)  # noqa: S311 (invented tests, not secrets)
    for i in range(number):
        project = f"p{i // 100:04d}"
        id = f"{project.upper()}-{i % 100:03d}"
        soil = SOILS[i % len(SOILS)]
        row = Row(
            f"records/{project}/tests/{id}.yaml",
            id,
            True,
            "moisture-density",
            "Moisture-density test",
            "complete",
            project,
            sample=f"{project.upper()}-S{i % 7:02d}",
            soil_class=soil.symbol,
            soil_name=soil.name.lower(),
            source=f"borrow pit {i % 9}",
            people=(f"T{i % 5:02d}", "E01"),
            standard="ASTM D698",
            method="A",
            day=FIRST + timedelta(days=chance.randrange(DAYS)),
            results=(
                ("maximum_dry_density", f"{chance.uniform(100, 130):.1f} lbf/ft³"),
                ("optimum_water_content", f"{chance.uniform(8, 20):.1f} %"),
            ),
            governing=("maximum_dry_density", "optimum_water_content"),
        )
        yield row if i % 4 == 0 else of_the_fill(row, chance)


def of_the_fill(row: Row, chance: random.Random) -> Row:
    """Return a test as a field test somewhere on the fill."""
    percent = f"{chance.uniform(92, 102):.1f} %"
    station, left = chance.randrange(100), chance.uniform(0, 9)
    told = FieldTest(
        row.id,
        row.project,
        zone=chance.choice(("embankment", "upper 2 ft", "abutment backfill")),
        lift=str(chance.randrange(1, 12)),
        place=f"station 12+{station:02d}, {left:.1f} m left",
        verdict="pass" if percent > "95" or percent[0] == "1" else "fail",
    )
    return replace(
        row,
        kind="field-density",
        title="Field density",
        standard="ASTM D1556",
        results=(("percent_compaction", percent),),
        governing=(),
        told=told,
    )


def many_files(number: int) -> Iterator[File]:
    """Return the lists of tests and the data of the search, and what pages need."""
    archive = Archive([], dict[str, bytes]().__getitem__)
    context = IndexContext(site_of(archive, Options()), tuple(many_rows(number)))
    yield from pages_of_tests(context)
    yield from search_data(context)
    for name in ("style.css", "site.js", "icon.svg"):
        yield name, template_file(name)


def milliseconds(page: Page, script: str) -> float:
    """Return how long a script takes in the page, to the next frame drawn. [ms]"""
    timed = f"""async () => {{
        const before = performance.now();
        await (async () => {{ {script} }})();
        await new Promise(requestAnimationFrame);
        return performance.now() - before;
    }}"""
    return float(page.evaluate(timed))


OPEN = """
document.dispatchEvent(new KeyboardEvent("keydown", {key: "/", bubbles: true}));
const said = () => document.querySelector("dialog .answer-count").textContent;
const field = document.querySelector("dialog input");
field.value = "TYPED";
field.dispatchEvent(new Event("input"));
while (!DONE) await new Promise(requestAnimationFrame);
"""
ANSWERED = 'document.querySelector("dialog .answers li")'
LOADED = 'said().includes("found")'
TYPE = """
const field = document.querySelector("dialog input");
field.value = "TYPED";
field.dispatchEvent(new Event("input"));
"""


def main() -> None:
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        root, path = Path(folder), find_browser()
        if path is None:
            raise SystemExit("no Chromium here")
        for name, data in many_files(number):
            target = root / name
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(data)
        for target in sorted(root.glob("search/*.js")):
            print(f"{target.name}: {target.stat().st_size / 1000:.0f} kB")  # noqa: T201
        page = start_browser(playwright, path).new_page()
        for what, done in (("first answer", ANSWERED), ("all answers", LOADED)):
            page.goto((root / "tests/index.html").as_uri())
            opened = OPEN.replace("TYPED", "clay").replace("DONE", done)
            took = milliseconds(page, opened)
            print(f"{what}, the loading with it: {took:.0f} ms")  # noqa: T201
        for typed in TYPED:
            took = milliseconds(page, TYPE.replace("TYPED", typed))
            print(f"{typed}: {took:.0f} ms")  # noqa: T201


if __name__ == "__main__":
    main()
