"""Two coarse fractions of one sample, and readings that stand in two tests."""

import pytest

from buildsite.archive.across import flags_across, repeated, traces_of
from buildsite.kinds.traces import Repeated
from tests.kinds.making import archive


def stones(id: str, masses: str) -> str:
    return (
        f"kind: coarse-fraction\nid: {id}\nproject: p\nsample: S-1\n"
        'standard: {designation: AASHTO T 85, edition: "22"}\nsieve: No. 4\n'
        "tested: {on: 2026-03-10, by: T07}\nstatus: complete\nunits: {gravity: g}\n"
        f"specimens:\n  - {{{masses}}}\n"
    )


def pair(first: str, second: str) -> Repeated:
    found = archive(
        {
            "records/p/tests/C-1.yaml": stones("C-1", first),
            "records/p/tests/C-2.yaml": stones("C-2", second),
        }
    )
    [one] = repeated(found, traces_of(found, found.files("test")))
    return one


# ASTM C127 and AASHTO T 85, precision (from memory): two results of one operator, bulk
# specific gravity oven-dry 0.025, absorption 0.25 points. A/(B - C) by hand: 2000/800
# = 2.500, 2000/792.2 = 2.5246, 2000/791.7 = 2.5262.
@pytest.mark.parametrize(
    ("masses", "suspect"),
    [
        ("oven_dry: 2000, surface_dry: 2020, in_water: 1227.8", ""),
        (
            "oven_dry: 2000, surface_dry: 2020, in_water: 1228.3",
            "bulk specific gravity differs by 0.026",
        ),
        ("oven_dry: 2000, surface_dry: 2024.9, in_water: 1224.9", ""),  # 1.245 %
        (
            "oven_dry: 2000, surface_dry: 2026, in_water: 1226",  # 1.3 %
            "absorption differs by 0.3 points",
        ),
    ],
)
def test_two_results_of_one_operator(masses: str, suspect: str) -> None:
    found = pair("oven_dry: 2000, surface_dry: 2020, in_water: 1220", masses)

    doubted = found.doubt.found if found.doubt is not None else ""
    assert suspect in doubted
    assert bool(doubted) == bool(suspect)
    assert "repeat tests of S-1" in found.words


def test_readings_of_another_test_are_seen() -> None:
    masses = "oven_dry: 2000, surface_dry: 2020, in_water: 1220"
    found = archive(
        {
            "records/p/tests/C-1.yaml": stones("C-1", masses),
            "records/p/tests/C-2.yaml": stones("C-2", masses),
        }
    )

    flags = flags_across(found, traces_of(found, found.files("test")))

    assert [flag.flag for flag in flags["records/p/tests/C-2.yaml"]] == [
        "readings-in-two-tests"
    ]
