"""Data of the search: small files, every test once, and what is ours stays with us."""

import json
from typing import Any

import pytest

from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.things import index_of, things
from buildsite.pages.page import site_of
from buildsite.pages.site_sources import Options
from tests.archives import archive_of, sound
from tests.benchmarks.search import many_files, many_rows
from tests.pages.builds import made

LARGEST = 500_000
"""Bytes of the largest file that a search loads, or a list has: the issue's bound."""


@pytest.fixture(scope="module")
def many() -> dict[str, bytes]:
    return dict(many_files(10_000))


def data_of(data: bytes) -> Any:
    """What a script of data hands over."""
    text = data.decode().removesuffix(");\n")
    return json.loads(text.partition(",")[2])


def ids_in(files: dict[str, bytes]) -> list[str]:
    parts = [
        data_of(data)
        for name, data in files.items()
        if name.startswith("search/tests-")
    ]
    return [str(row[0]) for part in parts for row in part["tests"]]


def test_no_file_of_ten_thousand_tests_is_large(many: dict[str, bytes]) -> None:
    assert {name: len(data) for name, data in many.items() if len(data) > LARGEST} == {}


def test_every_test_is_in_one_file_that_the_first_names(many: dict[str, bytes]) -> None:
    named = data_of(many["search/data.js"])
    listed = [f"search/{name}.js" for name in (*named["tests"], *named["things"])]
    there = [name for name in many if name.startswith("search/")]

    assert sorted(listed) == sorted({*there} - {"search/data.js"})
    assert sorted(ids_in(many)) == sorted(row.id for row in many_rows(10_000))


def test_a_row_has_the_cells_of_the_list(many: dict[str, bytes]) -> None:
    columns = data_of(many["search/data.js"])["columns"]
    part = data_of(many["search/tests-2024.js"])
    row = part["tests"][0]
    texts = [part["shared"][one] if isinstance(one, int) else one for one in row]

    # Behind the cells: other words, the standard alone, the mark of the row.
    assert len(texts) == len(columns) + 3
    assert texts[columns.index("Kind")] in ("Moisture-density test", "Field density")
    assert texts[-2] in ("ASTM D698", "ASTM D1556")


def test_people_and_flags_are_found_in_our_own_copy_alone() -> None:
    own, clients = made(sound()), made(sound(), Options(release=True))

    assert b"T07" in own["search/tests-all.js"]
    assert '["Person","T07"' in own["search/things-1.js"].decode()
    assert b"T07" not in clients["search/tests-all.js"]
    for ours in ('["Person"', '["Equipment"'):
        assert ours in own["search/things-1.js"].decode()
        assert ours not in clients["search/things-1.js"].decode()


def test_the_index_to_be_read_leaves_out_what_has_lists_of_its_own() -> None:
    site = site_of(archive_of(sound()), Options())
    found = things(IndexContext(site, ()))

    assert {"Check", "Sample", "Soil class", "Standard"} <= {one.what for one in found}
    assert "Check" not in {one.what for one in index_of(found, 1000)}
    assert "Sample" in {one.what for one in index_of(found, 1000)}
    assert "Sample" not in {one.what for one in index_of(found, 3)}
