"""
Printed steps agree with the intermediate figures that published examples print.

The figures, their tolerances and their sources are in `buildsite/published/`, a file an
example; where the source made a slip, its own figures worked again by hand count.
"""

from collections.abc import Callable, Mapping
from typing import Any

import pytest

from buildsite.kinds.outcome import Outcome
from buildsite.validation import field_tests, other_tests, records
from buildsite.validation.examples import Example, examples
from tests.by_hand import UNITS

SHOWN = {"g/cm3": "g/cm³", "Mg/m3": "Mg/m³", "lb/ft3": "lb/ft³", "ft3": "ft³"}
QUANTITIES = {
    "wet_soil": "mass",
    "wet_density": "density",
    "dry_density": "density",
    "maximum_dry_density": "density",
    "corrected_maximum_dry_density": "density",
    "hole_volume": "volume",
}


def compacted(example: Example) -> Outcome:
    test = records.test_record(example, example.given)
    molds = records.mold_records(example, example.given)
    return records.compute_records(test, *molds)[example.id]


def corrected(example: Example) -> Outcome:
    given = example.given
    coarse = {
        "percent_retained": given["percent_excluded"],
        "bulk_specific_gravity": given["excluded_specific_gravity"],
        "bulk_basis": "oven-dry",
    }
    test = dict(records.test_record(example, given)) | {"oversize": coarse}
    molds = records.mold_records(example, given)
    return records.compute_records(test, *molds)[example.id]


def other(kind: str, more: Callable[[Example], Mapping[str, Any]]) -> Any:
    def made(example: Example) -> Outcome:
        record = other_tests.test_record(example, kind, dict(more(example)))
        return other_tests.compute_record(record)

    return made


def cans(example: Example) -> Mapping[str, Any]:
    rows = [
        dict(zip(other_tests.CONTAINER, row, strict=True))
        for row in example.given["containers"]
    ]
    return {"units": {"moisture": "g"}, "containers": rows}


def stones(example: Example) -> Mapping[str, Any]:
    specimens = example.given["specimens"]
    return {"sieve": "No. 4", "units": {"gravity": "g"}, "specimens": specimens}


def flasks(example: Example) -> Mapping[str, Any]:
    return {"units": {"mass": "g"}, "determinations": example.given["determinations"]}


def hole(example: Example) -> Outcome:
    return field_tests.computed(example, None, example.given["wet_soil"])


CASES: list[tuple[str, Callable[[Example], Outcome], dict[str, str]]] = [
    ("b02", compacted, {"wet_soil": "wet-soil", "dry_density": "dry-density"}),
    (
        "b04",
        compacted,
        {
            "wet_soil": "wet-soil",
            "wet_density": "wet-density",
            "water_content_each": "water-content",
            "water_content": "water-content-mean-2",
            "dry_density": "dry-density",
        },
    ),
    (
        "b01",
        corrected,
        {
            "maximum_dry_density": "step-maximum_dry_density",
            "optimum_water_content": "step-optimum_water_content",
            "corrected_maximum_dry_density": "step-corrected_maximum_dry_density",
            "corrected_optimum_water_content": "step-corrected_optimum_water_content",
        },
    ),
    (
        "m01",
        other("water-content", cans),
        {
            "water_content_each": "water_content-containers",
            "water_content": "step-water_content",
        },
    ),
    (
        "c01",
        other("coarse-fraction", stones),
        {
            "bulk_specific_gravity": "each-bulk",
            "ssd_bulk_specific_gravity": "each-surface_dry",
        },
    ),
    (
        "g01",
        other("specific-gravity", flasks),
        {"specific_gravity": "step-specific_gravity"},
    ),
    (
        "d01",
        hole,
        {"hole_volume": "step-hole_volume", "dry_density": "step-dry_density"},
    ),
]


def printed(outcome: Outcome, step: str) -> list[float]:
    """The values of a step, in SI, percents as they are."""
    assert outcome.kind.working is not None
    lines = [
        line
        for part in outcome.kind.working(outcome.case)
        for one in part.steps
        if one.anchor == step
        for line in one.lines
    ]
    factors = {"kg/m3": 1.0, "cm3": 1e-6, "ft3": UNITS["ft³"], "m3": 1.0, **UNITS}
    return [
        float(line.value.replace("−", "-")) * factors.get(line.unit, 1.0)
        for line in lines
    ]


@pytest.mark.parametrize(
    ("id", "made", "steps"), CASES, ids=lambda one: one if isinstance(one, str) else ""
)
def test_printed_steps_are_those_of_the_source(
    id: str, made: Callable[[Example], Outcome], steps: dict[str, str]
) -> None:
    example = next(one for one in examples() if one.id == id)
    outcome = made(example)

    for key, step in steps.items():
        figures = example.tree["published"][key]
        ways = (
            [(key, i) for i in range(len(figures))]
            if isinstance(figures, list)
            else [(key,)]
        )
        found = printed(outcome, step)
        unit = example.units.get(QUANTITIES.get(key, ""), "")
        factor = UNITS.get(SHOWN.get(unit, unit), 1.0)
        assert len(found) == len(ways), (key, found)
        for way, value in zip(ways, found, strict=True):
            figure = figures[way[1]] if len(way) > 1 else figures
            wanted = float(example.mended(way) or figure)
            off = abs(value / factor - wanted)
            assert off <= float(example.tolerance(way)) * 1.000001, (way, value)
