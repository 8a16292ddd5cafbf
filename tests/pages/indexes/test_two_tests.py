"""What the page that compares any two tests is told of each."""

import json
import re
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from buildsite.pages.indexes.two_tests import pair_link
from buildsite.pages.rows import Row, row_of
from tests.archives import sound
from tests.pages.builds import archive_of, made

FILES = {
    name: data
    for name, data in sound(("family",)).items()
    if name.endswith(".yaml") and ".issued" not in name
}


@pytest.fixture(scope="module")
def site() -> dict[str, bytes]:
    return made(FILES)


def told(site: dict[str, bytes], path: str) -> Any:
    text = site[path].decode()
    return json.loads(text[text.index("(") + 1 : text.rindex(")")])


def test_the_ids_are_those_of_the_curves_that_are_there(site: dict[str, bytes]) -> None:
    ids = told(site, "compare/tests.js")

    assert ids == sorted(ids)
    assert {f"tests/{id}/curve-data.js" for id in ids} == {
        path for path in site if path.endswith("/curve-data.js")
    }


def test_a_curve_comes_with_the_pair_that_field_tests_are_judged_by(
    site: dict[str, bytes],
) -> None:
    for id in told(site, "compare/tests.js"):
        found = told(site, f"tests/{id}/curve-data.js")
        kept = json.loads(site[f"tests/{id}/result.json"])
        maximum, optimum = (
            kept["results"][name]["reported"] for name in sorted(kept["governing"])
        )
        number = maximum.partition(" ")[0]
        assert found["pair"] == f"{number} {found['unit']} at {optimum}"
        assert {name for name, _, _ in found["results"]} == set(kept["results"])
        assert ("whole" in found) == any(
            "corrected" in one for one in kept["governing"]
        )


def test_the_axes_are_called_as_the_standard_calls_them(site: dict[str, bytes]) -> None:
    # AASHTO T 99 (17), 1.1: moisture content; ASTM D698 (07e1), 1.1: water content and
    # dry unit weight.
    words = {
        "AASHTO T 99": ["Moisture content", "Dry density"],
        "ASTM D698": ["Water content", "Dry unit weight"],
    }
    axes = {}
    for id in told(site, "compare/tests.js"):
        found = told(site, f"tests/{id}/curve-data.js")
        axes[found["made"].rpartition(" ")[0]] = found["axes"]

    shown = {standard: axes[standard] for standard in words if standard in axes}
    assert shown
    assert shown == {standard: words[standard] for standard in shown}


def test_without_a_script_the_page_says_what_it_needs(site: dict[str, bytes]) -> None:
    page = site["compare/index.html"].decode()

    assert "this needs JavaScript" in page
    # No two of these tests are of one sample: there is no table to lead to.
    assert "the table below" not in page
    assert 'id="pairs"' not in page


def test_a_soil_with_several_tests_leads_to_their_comparison(
    site: dict[str, bytes],
) -> None:
    ids = told(site, "compare/tests.js")
    for path in ("projects/marsh-lane/index.html", "soils/CL/index.html"):
        page = site[path].decode()
        (asked,) = re.findall(
            r'href="../../compare/index.html\?a=(.*?)&amp;b=(.*?)"', page
        )
        assert set(asked) <= set(ids), path
        assert len(set(asked)) == 2, path


def test_the_latest_two_tests_of_one_sample_are_named_first() -> None:
    archive = archive_of(FILES)
    made_of = (archive.outcome(file) for file in archive.files("test"))
    rows = [row_of(archive, one, one.sheet()) for one in made_of if one is not None]
    rows = [row for row in rows if row.stands][:3]
    first, second, third = (
        replace(row, sample=sample, day=date(2026, 3, day))
        for row, sample, day in zip(rows, ("S1", "S2", "S1"), (1, 2, 3), strict=True)
    )

    def asked(*tests: Row) -> list[str]:
        return [where.partition("?")[2] for _, where in pair_link(tests)]

    assert asked(first, second, third) == [f"a={first.id}&b={third.id}"]
    assert asked(first, second) == [f"a={first.id}&b={second.id}"]
    assert asked(first) == []
    assert asked(first, replace(third, status="withdrawn")) == []
