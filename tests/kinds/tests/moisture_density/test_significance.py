"""Whether another peak matters: beside the published repeatability, and for targets."""

import json
from pathlib import Path
from typing import Any

import pytest

from buildsite.kinds.kind import Case
from buildsite.kinds.significance import Significance
from buildsite.kinds.tests.moisture_density.significance import significance
from buildsite.pages.causes_text import basis_line, significance_lines
from tests.archives import archive_of, folder

ROOT = Path(__file__).parents[4]
TEST = "heron-flats/tests/HF-0129"


@pytest.fixture(scope="module")
def case() -> Case[Any, Any]:
    files = {f"records/{name}": data for name, data in folder(ROOT / "records").items()}
    made = archive_of(files).outcome(f"records/{TEST}.yaml")
    assert made is not None
    return made.case


def kept(revision: int, **peak: str) -> dict[str, Any]:
    """The kept result of HF-0129, with another peak where one is given."""
    text = (ROOT / f"records/{TEST}.r{revision}.json").read_text("utf-8")
    result: dict[str, Any] = json.loads(text)
    for name, reported in peak.items():
        result["results"][name]["reported"] = reported
    return result


def test_targets_and_repeatability_of_an_amended_curve(case: Case[Any, Any]) -> None:
    found = significance(kept(0), kept(1), case)

    # HF-0129.issued.yaml: 111.2 lb/ft³ at 15.3 %, then 112.5 at 16.0 %.
    # 112.5 − 111.2 = 1.3 lb/ft³; 16.0 − 15.3 = 0.7 points.
    # AASHTO T 99, precision, two results of one operator: 2.2 lb/ft³, and 10 % of the
    # mean water content (from memory): 0.1 · 15.65 = 1.565, to 0.1: 1.6.
    # Embankment, 95 % of the maximum: 0.95 · 111.2 = 105.64 and 0.95 · 112.5 = 106.875
    # lb/ft³; water content within 2 points of the optimum.
    assert list(significance_lines(found)) == [
        "Maximum dry density: 1.3 lb/ft³, less than the single-operator repeatability "
        "of 2.2 lb/ft³; optimum moisture content: 0.7 points, less than its "
        "1.6 points.",
        "The target of zone embankment, clause 204.3 (invented) moves: dry density "
        "from 105.6 to 106.9 lb/ft³; moisture content from 13.3–17.3 % to 14.0–18.0 %.",
    ]
    assert list(basis_line(found)) == [
        "Repeatability, two results of one operator: AASHTO T 99, unchecked."
    ]


@pytest.mark.parametrize(
    ("density", "how"),
    # From 111.2 lb/ft³, beside the 35 kg/m³ (2.185 lb/ft³) of AASHTO T 99.
    [("113.3 lb/ft3", True), ("113.4 lb/ft3", False)],
)
def test_more_than_the_repeatability_is_told(
    case: Case[Any, Any], density: str, how: bool
) -> None:
    found = significance(kept(0), kept(0, maximum_dry_density=density), case)

    assert [one.within for one in found.precision] == [how]


def test_without_a_difference_there_is_nothing_to_hold_it_against(
    case: Case[Any, Any],
) -> None:
    found = significance(kept(1), kept(1), case)

    assert found == Significance((), found.targets)
    assert not any(one.moves for one in found.targets)


STATED = "alder-quay/tests/AQ-0017"


@pytest.fixture(scope="module")
def stated() -> Case[Any, Any]:
    """A test whose report states its expanded uncertainty."""
    files = {f"records/{name}": data for name, data in folder(ROOT / "records").items()}
    made = archive_of(files).outcome(f"records/{STATED}.yaml")
    assert made is not None
    return made.case


def kept_stated(**peak: str) -> dict[str, Any]:
    result: dict[str, Any] = json.loads(
        (ROOT / f"records/{STATED}.r0.json").read_text()
    )
    for name, reported in peak.items():
        result["results"][name]["reported"] = reported
    return result


@pytest.mark.parametrize(
    ("density", "water", "said"),
    # The report states ± 0.18 kN/m³ and ± 0.8 points beside 18.20 kN/m³ and 13.7 %
    # (AQ-0017.r0.html); a difference is inside up to and with that figure.
    [
        (
            "18.38 kN/m3",
            "14.5 %",
            "0.18 kN/m³, inside the result's own expanded uncertainty, ± 0.18 kN/m³; "
            "standard optimum water content: 0.8 points, inside its ± 0.8 points.",
        ),
        (
            "18.00 kN/m3",
            "12.8 %",
            "0.20 kN/m³, outside the result's own expanded uncertainty, ± 0.18 kN/m³; "
            "standard optimum water content: 0.9 points, outside its ± 0.8 points.",
        ),
        (
            "18.22 kN/m3",
            "13.7 %",
            "0.02 kN/m³, inside the result's own expanded uncertainty, ± 0.18 kN/m³.",
        ),
    ],
)
def test_a_difference_stands_beside_the_uncertainty_that_the_report_states(
    stated: Case[Any, Any], density: str, water: str, said: str
) -> None:
    new = kept_stated(maximum_dry_density=density, optimum_water_content=water)
    found = significance(kept_stated(), new, stated)

    lines = [one for one in significance_lines(found) if "expanded uncertainty" in one]
    assert lines == [f"Standard maximum dry unit weight: {said}"]


def test_the_earlier_report_may_be_the_one_that_states_it(
    stated: Case[Any, Any],
) -> None:
    new = kept_stated(maximum_dry_density="18.22 kN/m3")
    del new["uncertainty"]

    (found,) = significance(kept_stated(), new, stated).uncertainties
    assert (found.within, found.expanded) == (True, "0.18 kN/m³")


def test_where_no_report_states_an_uncertainty_nothing_is_said_of_it(
    case: Case[Any, Any],
) -> None:
    found = significance(kept(0), kept(1), case)

    assert found.uncertainties == ()
    assert "uncertainty" not in " ".join(significance_lines(found))
