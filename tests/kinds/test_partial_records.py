"""A record with anything left out is judged all the same: no check falls over."""

from collections.abc import Iterator
from copy import deepcopy
from dataclasses import replace
from itertools import combinations
from typing import Any

import pytest

from buildsite.archive.archive import Archive
from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.kind import Inputs
from buildsite.kinds.outcome import Outcome, outcome
from buildsite.record.flags import Severity
from buildsite.record.source import Source
from buildsite.record.typed import without_blanks
from tests.archives import sound

TESTS = ("ML-101", "ML-102")
NEEDED = {"format", "kind", "id", "project", "sample", "compacted", "status"}
POINT_FIELDS = (
    "water_added_ml",
    "specimen_mass",
    "mold_and_wet_soil",
    "container",
    "container_mass",
    "container_and_wet",
    "container_and_dry",
)


def computed(name: str) -> Outcome:
    files = sound()
    archive = Archive(sorted(files), files.__getitem__)
    made = archive.outcome(f"records/marsh-lane/tests/{name}.yaml")
    assert made is not None
    return made


def again(made: Outcome, tree: dict[str, Any], inputs: Inputs) -> Outcome:
    """The same record with another tree, and perhaps other answers."""
    old = made.source
    source = Source(
        old.file, old.data, old.sha256, tree, (), True, old.blanks, old.spots
    )
    record = made.kind.model.model_validate(without_blanks(tree))
    return outcome(made.kind, source, record, inputs, files={})


def without_a_field(tree: dict[str, Any]) -> Iterator[dict[str, Any]]:
    for name in tree.keys() - NEEDED - {"standard", "units", "points"}:
        yield {key: value for key, value in tree.items() if key != name}
    for part in ("units", "standard", "equipment", "oven", "compacted"):
        for name in tree[part].keys() - {"designation", "method"}:
            less = deepcopy(tree)
            del less[part][name]
            yield less


def without_a_reading(tree: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Without one reading, without one or two columns of them, or with fewer points."""
    columns = [*combinations(POINT_FIELDS, 1), *combinations(POINT_FIELDS, 2)]
    every = range(len(tree["points"]))
    gaps = [((i,), names) for i in every for names in combinations(POINT_FIELDS, 1)]
    for where, names in [*gaps, *((every, names) for names in columns)]:
        less = deepcopy(tree)
        for i in where:
            for name in names:
                del less["points"][i][name]
        yield less
    yield from ({**tree, "points": tree["points"][:count]} for count in every)


@pytest.mark.parametrize("status", ["complete", "in-progress", "withdrawn"])
@pytest.mark.parametrize("name", TESTS)
def test_no_check_falls_over_a_record_with_a_gap(name: str, status: str) -> None:
    made = computed(name)

    tree = {**made.source.tree, "status": status}

    for less in (*without_a_field(tree), *without_a_reading(tree)):
        for inputs in (made.case.inputs, Inputs(), Inputs(alone=True)):
            again(made, less, inputs)


@pytest.mark.parametrize("name", TESTS)
def test_a_test_under_way_may_still_lack_anything(name: str) -> None:
    made = computed(name)
    tree = {key: made.source.tree[key] for key in sorted(NEEDED)}
    begun = {
        **tree,
        "status": "in-progress",
        "standard": made.source.tree["standard"],
        "units": made.source.tree["units"],
        "equipment": made.source.tree["equipment"],
        "mold_mass": made.source.tree["mold_mass"],
        "weighed_with": "mold",
        "points": [
            *(
                {"mold_and_wet_soil": point["mold_and_wet_soil"]}
                for point in made.source.tree["points"][:2]
            ),
            {"mold_and_wet_soil": None},  # laid out, and not yet read
        ],
    }

    found = again(made, begun, made.case.inputs).flags

    (few,) = [flag for flag in found if flag.flag == "too-few-points"]
    assert (few.found, few.expected) == ("0 on the curve, 2 not used", "4 or more")
    assert "compact more points" in few.mend
    assert {flag.flag for flag in found} >= {"missing-reading", "too-few-points"}
    assert {flag.severity for flag in found} == {Severity.NOTE}


def test_heavy_clay_may_take_wider_steps() -> None:
    # AASHTO T 99 (from memory): 2.5 points, 4 in heavy clay. A step of 3.9 points.
    made = computed("ML-101")
    points = deepcopy(made.source.tree["points"])
    tree = {**made.source.tree, "points": [*points[:3], points[4]]}
    clay = {
        key: replace(answer, soil_class="CH")
        if isinstance(answer, SampleFacts)
        else answer
        for key, answer in made.case.inputs.answers.items()
    }

    lean = again(made, tree, made.case.inputs)
    heavy = again(made, tree, Inputs(clay))

    step = "water-content-step-too-large"
    assert step in {flag.flag for flag in lean.flags}
    assert step not in {flag.flag for flag in heavy.flags}
