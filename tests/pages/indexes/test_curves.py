"""The curves of a project and a sample on its page, and as scripts for its tests."""

import json
from dataclasses import replace
from html import unescape
from typing import Any

import pytest

from buildsite.pages.indexes.curves import named_curves
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


@pytest.fixture(scope="module")
def rows() -> list[Row]:
    archive = archive_of(FILES)
    found = []
    for name in archive.files("test"):
        outcome = archive.outcome(name)
        if outcome is not None:
            found.append(row_of(archive, outcome, outcome.sheet()))
    return found


def told(site: dict[str, bytes], path: str) -> dict[str, Any]:
    text = site[path].decode()
    found: dict[str, Any] = json.loads(text[text.index("(") + 1 : text.rindex(")")])
    return found


def test_a_project_shows_the_curves_of_its_tests(site: dict[str, bytes]) -> None:
    page = site["projects/marsh-lane/index.html"].decode()
    drawn = site["projects/marsh-lane/curves.svg"].decode()

    assert 'src="curves.svg"' in page
    for test in ("ML-101", "ML-107", "ML-108"):
        assert f">{test}</text>" in drawn
        assert f"tests/{test}/index.html" in page
    assert '<title id="what">Compaction curves' in drawn
    assert "project marsh-lane" in drawn


def test_every_script_that_a_test_names_is_there(site: dict[str, bytes]) -> None:
    named = set()
    for path, data in site.items():
        if path.startswith("tests/") and path.endswith("/index.html"):
            for part in data.decode().split('data-others="')[1:]:
                for address in unescape(part.partition('"')[0]).split():
                    assert address.startswith("../../"), path
                    named.add(address.removeprefix("../../"))

    assert "samples/ML-S1/curves.js" in named
    assert named <= set(site)


def test_the_script_of_a_sample_has_the_curves_of_its_tests(
    site: dict[str, bytes], rows: list[Row]
) -> None:
    path = "samples/ML-S1/curves.js"
    expected = {
        one.id for one in named_curves([r for r in rows if r.sample == "ML-S1"])
    }

    assert {test["id"] for test in told(site, path)["tests"]} == expected
    assert "ML-101" in expected


def test_only_measured_curves_that_stand_are_shown(rows: list[Row]) -> None:
    row = next(row for row in rows if row.id == "ML-101")
    assert row.curve is not None

    unlike = (
        replace(row, status="withdrawn"),
        replace(row, issued_as="withdrawal", revision=1),
        replace(row, status="in-progress"),
        replace(row, blocked=True),
        replace(row, page=False),
        replace(row, curve=replace(row.curve, found=True)),
        replace(row, curve=replace(row.curve, line=b"")),
        replace(row, curve=None),
    )

    assert [one.id for one in named_curves([row])] == ["ML-101"]
    assert named_curves(unlike) == []


def test_an_issued_curve_is_named_with_its_revision(rows: list[Row]) -> None:
    row = next(row for row in rows if row.id == "ML-101")

    (one,) = named_curves([replace(row, revision=2, issued_as="report", blocked=True)])

    assert one.name == "ML-101 r2"


def offered(site: dict[str, bytes]) -> dict[str, bool]:
    """Whether the page of each test with a curve offers others to lay over it."""
    return {
        path.split("/")[1]: b"data-others=" in data
        for path, data in site.items()
        if path.startswith("tests/")
        and path.count("/") == 2
        and path.endswith("/index.html")
        and b'src="curve.svg"' in data
    }


def other_curves(site: dict[str, bytes]) -> dict[str, set[str]]:
    """The tests in the scripts of the sample and the soil class of each test."""
    found: dict[str, set[str]] = {}
    for path in site:
        if path.endswith("/curves.js"):
            ids = {test["id"] for test in told(site, path)["tests"]}
            for id in ids:
                found.setdefault(id, set()).update(ids - {id})
    return found


def test_other_curves_are_offered_only_where_there_is_one(
    site: dict[str, bytes],
) -> None:
    more = other_curves(site)
    assert offered(site)
    for id, has in offered(site).items():
        assert has == bool(more.get(id)), id

    # Two tests, each of a sample and of a soil class of its own.
    assert offered(made(sound())) == {"ML-101": False, "ML-102": False}


def test_a_curve_that_does_not_stand_is_none_to_be_offered() -> None:
    sample, test = (
        f"records/marsh-lane/{name}.yaml" for name in ("samples/ML-S2", "tests/ML-102")
    )
    files = sound()
    alike = files[sample].replace(b"class: SM", b"class: CL")
    assert alike != files[sample]
    files = {**files, sample: alike}
    assert offered(made(files)) == {"ML-101": True, "ML-102": True}

    begun = files[test].replace(b"status: complete", b"status: in-progress")
    assert begun != files[test]
    assert offered(made({**files, test: begun})) == {"ML-101": False, "ML-102": True}
