"""A record by itself: nothing is looked up, and what it needs may stand in it."""

import pytest

from buildsite.archive.archive import compute_standalone
from tests.archives import sound
from tests.kinds.making import FILE, in_archive, text_of

close = pytest.approx

# 1800 - 10 (w - 12)² and 10 % of 2.60 in it, as worked out in test_compute.
WHOLE = """\
units: {density: kg/m3}
specific_gravity: {value: 2.70, basis: measured}
oversize: {percent_retained: 10, bulk_specific_gravity: 2.60, bulk_basis: oven-dry,
  water_content: 1}
points:
  - {water_content: 10, dry_density: 1760}
  - {water_content: 12, dry_density: 1800}
  - {water_content: 14, dry_density: 1760}
"""


def test_what_it_needs_may_stand_in_it() -> None:
    made, flags = compute_standalone(text_of(WHOLE).encode(), "here.yaml")

    assert made is not None
    assert made.results["maximum_dry_density"].value == close(1800)
    assert made.results["corrected_maximum_dry_density"].value == close(1857.142857)
    assert made.case.values.points[0].saturation is not None
    assert list(made.inputs) == ["here.yaml"]
    assert {flag.file for flag in flags} == {"here.yaml"}


def test_a_flag_says_that_nothing_was_looked_up() -> None:
    _, flags = compute_standalone(text_of(WHOLE).encode(), "here.yaml")

    assert "computed-alone" in {flag.flag for flag in flags}
    assert "computed-alone" not in {flag.flag for flag in in_archive(WHOLE).flags}
    assert "reference-to-nothing" not in {flag.flag for flag in flags}


def test_a_test_out_of_its_archive_is_computed_without_what_it_names() -> None:
    data = sound()["records/marsh-lane/tests/ML-101.yaml"]

    made, _ = compute_standalone(data, "ML-101.yaml")

    assert made is not None
    assert made.case.values.points[0].water_content is not None
    assert made.case.values.points[0].wet_density is None  # the mold is not known
    assert made.results == {}


@pytest.mark.parametrize("name", [name for name in sound() if "/tests/" not in name])
def test_every_kind_may_be_shown_alone(name: str) -> None:
    made, _ = compute_standalone(sound()[name], name)

    assert made is not None
    assert made.sheet().title


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\xff\xfe",
        b"a: [1\n",
        b"- a list\n",
        b"kind: nothing we know\nid: x\n",
        b"kind: sample\n",
        b"kind: moisture-density\nid: T-1\npoints: 7\n",
    ],
)
def test_what_cannot_be_read_says_why(data: bytes) -> None:
    made, flags = compute_standalone(data, FILE)

    assert made is None
    assert flags
    assert all(flag.mend for flag in flags)
