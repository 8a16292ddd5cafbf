"""
Workings that the demo lacks, worked again by hand: every curve type, every mean.

The readings are invented. What is right is arithmetic alone: `tests/by_hand.py`
evaluates each printed line.
"""

from typing import Any

import pytest

from buildsite.kinds.outcome import Outcome
from buildsite.pages.steps_html import Drawing, StepsBlock
from buildsite.pages.working import places_of, working_parts
from buildsite.soil.curves import AUTO, FORMS
from buildsite.validation.records import compute_records
from tests import by_hand

FIVE = [(8.0, 1850.0), (10.0, 1925.0), (12.0, 1960.0), (14.0, 1930.0), (16.0, 1860.0)]
SHAPES = {
    "five": FIVE,
    "peak dry of the highest": [*FIVE[:1], (10.0, 1952.0), *FIVE[2:]],
    "two at one water content": [*FIVE, (12.05, 1952.0)],
    "many near the top": sorted(
        [*FIVE, (11.0, 1951.0), (12.6, 1957.0), (13.0, 1950.0)]
    ),
    "uneven": [(8.0, 1850.0), (11.0, 1955.0), (12.0, 1960.0), (17.0, 1800.0)],
}


class Nowhere:
    """Links of a page without a site around it."""

    def to(self, target: object) -> str:
        return ""


def read(outcome: Outcome) -> by_hand.Reader:
    """The working of an outcome as its page prints it."""
    parts = working_parts(outcome, laboratory=True)
    anchors = frozenset(places_of(parts))
    links: Any = Nowhere()
    return by_hand.Reader(
        "".join(
            text
            for part in parts
            for step in part.steps
            for text in Drawing(StepsBlock(part, anchors), links).step(step)
        )
    )


def compaction(points: list[tuple[float, float]], form: str) -> Outcome:
    rows = [{"water_content": f"{w}", "dry_density": f"{d}"} for w, d in points]
    record = {
        "kind": "moisture-density",
        "id": "X-1",
        "project": "published",
        "sample": "X-1",
        "standard": {"designation": "ASTM D698", "method": "A"},
        "compacted": {},
        "status": "complete",
        "units": {"compacted": "g", "moisture": "g", "density": "kg/m3"},
        "specific_gravity": {"value": "2.68", "basis": "measured"},
        "curve": {"form": form},
        "points": rows,
    }
    return compute_records(record)["X-1"]


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("form", [AUTO, *FORMS])
def test_a_curve_of_any_type_is_worked_to_its_peak(form: str, shape: str) -> None:
    made = compaction(SHAPES[shape], form)
    reader = read(made)
    lines = {line.anchor: line for line in reader.lines}

    assert list(by_hand.faults(reader)) == []
    peaks = [name for name in made.results if name.startswith(("maximum", "optimum"))]
    assert peaks or made.case.values.no_peak is not None
    assert set(peaks) <= set(lines)


STONE = {"oven_dry": "2000.0", "surface_dry": "2018.0", "in_water": "1250.0"}
OTHER = {"oven_dry": "1500.0", "surface_dry": "1522.0", "in_water": "930.0"}
THIRD = {"oven_dry": "3000.0", "surface_dry": "3024.0", "in_water": "1890.0"}
SPLIT = [
    {"retained_on": "3/4 in", "mass": "800"},
    {"retained_on": "3/8 in", "mass": "1700"},
    {"retained_on": "pan", "mass": "5500"},
]


def stones(*specimens: tuple[dict[str, str], str]) -> Outcome:
    record = {
        "kind": "coarse-fraction",
        "id": "X-2",
        "project": "published",
        "sample": "X-2",
        "standard": {"designation": "AASHTO T 85", "method": "none"},
        "tested": {},
        "status": "complete",
        "sieve": "3/8 in",
        "units": {"gravity": "g", "split": "g"},
        "split_masses": "dry",
        "fractions": SPLIT,
        "specimens": [
            {**masses, "retained_on": size} if size else masses
            for masses, size in specimens
        ],
    }
    return compute_records(record)["X-2"]


@pytest.mark.parametrize(
    "specimens",
    [
        ((STONE, ""),),
        ((STONE, ""), (OTHER, "")),
        ((STONE, "3/4 in"), (OTHER, "3/8 in")),
        ((STONE, "3/4 in"), (OTHER, "3/8 in"), (THIRD, "3/8 in")),
    ],
    ids=["one", "two alike", "two sizes", "two of one size beside another size"],
)
def test_specimens_are_worked_to_the_mean(
    specimens: tuple[tuple[dict[str, str], str], ...],
) -> None:
    made = stones(*specimens)
    reader = read(made)
    told = {line.anchor: line for line in reader.lines if line.told}

    assert list(by_hand.faults(reader)) == []
    assert set(told) == set(made.results)
    assert "bulk_specific_gravity" in told


def test_two_specimens_of_one_size_have_a_mean_of_their_own() -> None:
    made = stones((STONE, "3/4 in"), (OTHER, "3/8 in"), (THIRD, "3/8 in"))
    lines = {line.anchor: line for line in read(made).lines}

    mean = lines["absorption-size-2"]
    assert mean.label.strip() == "Retained on 3/8 in"
    # By hand: 22 / 1500 and 24 / 3000 of dry mass, their mean, then by 800 and 1700.
    value = float(mean.parts[-1].partition("\u00a0")[0])
    assert value == pytest.approx((22 / 15 + 24 / 30) / 2, rel=1e-7)
    whole = float(lines["absorption"].parts[-1].partition("\u00a0")[0])
    expected = (800 * 100 * 18 / 2000 + 1700 * value) / 2500
    assert whole == pytest.approx(expected, rel=1e-7)


def test_the_whole_soil_of_a_specific_gravity_is_worked() -> None:
    record = {
        "kind": "specific-gravity",
        "id": "X-3",
        "project": "published",
        "sample": "X-3",
        "standard": {"designation": "AASHTO T 100", "method": "none"},
        "tested": {},
        "status": "complete",
        "units": {"mass": "g"},
        "determinations": [{"specific_gravity": "2.70"}],
        "coarse": {
            "percent_retained": "25",
            "specific_gravity": "2.5",
            "basis": "apparent",
        },
    }
    made = compute_records(record)["X-3"]
    reader = read(made)
    lines = {line.anchor: line for line in reader.lines}

    assert list(by_hand.faults(reader)) == []
    whole = lines["combined_specific_gravity"]
    # By hand, volumes added: 100 / (25 / 2.5 + 75 / 2.7).
    assert float(whole.parts[-1]) == pytest.approx(100 / (10 + 75 / 2.7), rel=1e-7)
