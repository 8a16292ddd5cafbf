"""The numbers of a report's page lead to the lines of its working that give them."""

import json
import re
from pathlib import Path

from tests import by_hand

LINK = re.compile(r'<a href="[^"]*/working/index\.html#([^"]+)">(.*?)</a>')
TAG = re.compile(r"<[^>]+>")
VALUE = re.compile(r"(?:^|= )(\d[\d.]*)(?:\u00a0(\S+))?(?= =|$)")
IN_GRAMS = {"kg": 1000, "lb": 453.59237}


def links(page: Path) -> dict[str, str]:
    """Each place that a page leads to in its working, and the number that does."""
    found = LINK.findall(page.read_text("utf-8"))
    assert len(dict(found)) == len(found), page
    return {place: TAG.sub("", text).strip("\u2007\u2008") for place, text in found}


def test_every_number_leads_to_the_line_that_tells_it(site: Path) -> None:
    count = 0
    for path in sorted(site.glob("tests/*/working/index.html")):
        lines = {
            line.anchor: line
            for line in by_hand.Reader(path.read_text("utf-8")).lines
            if line.anchor
        }
        for place, text in links(path.parent.parent / "index.html").items():
            if place == "verdict":
                assert 'id="verdict"' in path.read_text("utf-8"), path
                continue
            number = text.replace("−", "-").split()[0]
            line = lines[place]
            told = line.told.replace("−", "-").split()
            if told:  # reported 110.5 lb/ft³
                assert told[1] == number, line
            else:  # a value on the way, which the report rounds
                half = 0.5001 * 10.0 ** -len(number.partition(".")[2])
                values = VALUE.findall(line.sum)
                assert any(
                    abs(float(value) * IN_GRAMS.get(unit, 1) - float(number)) <= half
                    for value, unit in values
                ), (number, line)
            count += 1
    assert count > 500


def test_every_result_with_a_line_is_led_to_it(site: Path) -> None:
    for path in sorted(site.glob("tests/*/working/index.html")):
        reader = by_hand.Reader(path.read_text("utf-8"))
        page = path.parent.parent / "index.html"
        result = json.loads((page.parent / "result.json").read_text("utf-8"))
        lines = {line.anchor for line in reader.lines}
        withdrawn = ">Withdrawn: " in page.read_text("utf-8")
        expected = lines & set(result["results"]) if not withdrawn else set()
        assert expected <= set(links(page)), page


def test_no_report_leads_to_a_working_that_is_not_there(site: Path) -> None:
    # Nor to that of the demo's HF-0104 r1, which says why it shows no steps.
    for page in sorted(site.glob("tests/*/index.html")):
        found = links(page)
        working = page.parent / "working/index.html"
        assert not found or f'id="{min(found)}"' in working.read_text("utf-8"), page
    assert links(site / "tests/HF-0104/index.html") == {}
