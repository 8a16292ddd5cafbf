"""What the page that compares any two tests is told of each."""

import json
from typing import Any

import pytest

from tests.archives import sound
from tests.pages.builds import made

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


def test_without_a_script_the_page_says_what_it_needs(site: dict[str, bytes]) -> None:
    page = site["compare/index.html"].decode()

    assert "this needs JavaScript" in page
    # No two of these tests are of one sample: there is no table to lead to.
    assert "the table below" not in page
    assert 'id="pairs"' not in page
