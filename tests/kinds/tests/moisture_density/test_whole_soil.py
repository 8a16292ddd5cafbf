"""Oversize put back: agencies' rules, what is assumed, what the field is judged by."""

import pytest

from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Table
from buildsite.kinds.tests.moisture_density.reference import CORRECTED, PEAK
from buildsite.soil.oversize import (
    fine_dry_density,
    fine_water_content,
    total_dry_density,
    total_water_content,
)
from tests.kinds.making import PROJECT, in_archive, made, text_of, values

DRAWN = """\
units: {density: kg/m3}
curve: {drawn: {maximum_dry_density: 1800, optimum_water_content: 12}}
points: []
"""


def test_a_field_result_is_taken_to_the_laboratorys_fraction() -> None:
    # NDDOT T 224 (2011), pages 1 and 2, read backwards: 10.5 % of the whole, 15 % of
    # stones at 2.0 %, leave 12.0 % in the fines. Teaching exercise on BS compaction:
    # 1.97 Mg/m³ with 10 % of 2.73 makes the printed 2.03 Mg/m³.
    assert fine_water_content(10.5, 15, 2.0) == pytest.approx(12.0)
    assert fine_dry_density(2030, 10, 2.73) == pytest.approx(1970, abs=5)


@pytest.mark.parametrize("percent", [0.0, 5.0, 30.0, 60.0])
def test_there_and_back_is_where_it_began(percent: float) -> None:
    whole = total_dry_density(1850, percent, 2.65)
    water = total_water_content(14, percent, 1.5)

    assert fine_dry_density(whole, percent, 2.65) == pytest.approx(1850)
    assert fine_water_content(water, percent, 1.5) == pytest.approx(14)


def test_the_printed_form_of_the_equation_agrees() -> None:
    # ASTM D4718 (from memory): Df = Dd k Pf / (100 k - Dd Pc), in lb/ft³.
    dry, coarse, k = 125.0, 20.0, 62.4 * 2.60

    printed = dry * k * (100 - coarse) / (100 * k - dry * coarse)

    unit = 1000 / 62.4
    assert fine_dry_density(dry * unit, coarse, 2.60) == pytest.approx(printed * unit)


@pytest.mark.parametrize(
    ("dry", "percent", "gravity"),
    [(2000, 100, 2.6), (2000, -1, 2.6), (2000, 10, 0.0), (2600, 100 - 1e-9, 2.5)],
)
def test_stones_that_can_not_be(dry: float, percent: float, gravity: float) -> None:
    with pytest.raises(ValueError, match="oversize"):
        fine_dry_density(dry, percent, gravity)


def test_stones_can_not_hold_more_water_than_there_is() -> None:
    with pytest.raises(ValueError, match="more than all the water"):
        fine_water_content(1.0, 50, 3.0)
    with pytest.raises(ValueError, match="below 100"):
        fine_water_content(1.0, 100, 3.0)


def used(variant: str) -> str:
    return (
        f"standard: {{designation: AASHTO T 99, method: A, variant: {variant}}}\n"
        + DRAWN
    )


@pytest.mark.parametrize(
    ("variant", "percent", "absorption", "is_corrected"),
    [
        # Arizona DOT 227d (November 2016): above 10 %, up to 50 %, absorption 4.0 %.
        ("Arizona 227d", "9.8", "1", False),
        ("Arizona 227d", "10.2", "1", True),
        ("Arizona 227d", "50", "1", True),
        ("Arizona 227d", "51", "1", False),
        ("Arizona 227d", "20", "4.0", True),
        ("Arizona 227d", "20", "4.1", False),
        # Virginia DOT study guide (2012), chapter 7: 10 % or more on the No. 4 sieve.
        ("Virginia DOT 2012", "9.8", "1", False),
        ("Virginia DOT 2012", "12", "5", True),
        ("none", "6", "5", True),
    ],
)
def test_agencies_have_limits_of_their_own(
    variant: str, percent: str, absorption: str, *, is_corrected: bool
) -> None:
    stones = (
        f"oversize: {{percent_retained: {percent}, bulk_specific_gravity: 2.6, "
        f"absorption: {absorption}}}\n"
    )

    found = values(used(variant) + stones).corrected

    assert (found is not None) == is_corrected


def test_a_specific_gravity_that_an_agency_allows_to_assume_is_said_so() -> None:
    # WAQTC FOP T 99/T 180, annex A (from memory): 2.600 where it was not measured.
    # 1 / (0.9 / 1800 + 0.1 / 2600) = 1857.143 kg/m³; 0.9 × 12 + 0.1 × 1 = 10.9 %.
    stones = "oversize: {percent_retained: 10, water_content: 1}\n"

    outcome = made(text_of(used("WAQTC") + stones))

    found = outcome.case.values.corrected
    assert found.maximum_dry_density == pytest.approx(1857.143, abs=0.001)
    assert found.assumed == ("bulk specific gravity 2.60",)
    assert "Assumed for the oversize: bulk specific gravity 2.60." in note(outcome)
    assert "oversize-not-corrected" not in {flag.flag for flag in outcome.flags}
    assert values(used("none") + stones).corrected is None


STONES = "oversize: {percent_retained: 10, bulk_specific_gravity: 2.6}\n"


def note(outcome: Outcome) -> str:
    table = outcome.sheet().table("results")
    assert table is not None
    return table.note


def pairs(outcome: Outcome) -> list[tuple[str, tuple[str, ...]]]:
    """The tables of results in reading order: title, names of the results."""
    return [
        (block.title, tuple(row.mark for row in block.rows))
        for block in outcome.sheet().blocks
        if isinstance(block, Table) and block.role in ("results", "lesser")
    ]


def judged_by(line: str) -> Outcome:
    files = {"records/p/project.yaml": PROJECT + line}
    return in_archive(DRAWN + STONES, files)


def test_both_results_stand_and_the_field_is_judged_by_the_corrected() -> None:
    outcome = judged_by("")

    assert set(outcome.results) == {
        "maximum_dry_density",
        "optimum_water_content",
        "corrected_maximum_dry_density",
        "corrected_optimum_water_content",
    }
    assert pairs(outcome) == [
        ("For field control: whole soil, corrected for oversize", CORRECTED),
        ("Fraction passing No. 4", PEAK),
    ]
    assert outcome.detail()["field_reference"] == "corrected"


def test_a_project_may_judge_by_the_uncorrected() -> None:
    outcome = judged_by("field_tests_against: uncorrected\n")

    assert pairs(outcome) == [
        ("For field control: fraction passing No. 4", PEAK),
        ("Whole soil, corrected for oversize", CORRECTED),
    ]
    assert "compared with the uncorrected result" in note(outcome)
    assert outcome.detail()["field_reference"] == "uncorrected"
    assert outcome.used != judged_by("").used


def test_without_oversize_there_is_nothing_to_choose() -> None:
    outcome = in_archive(DRAWN)

    assert "field_reference" not in outcome.detail()
    assert pairs(outcome) == [("Results", PEAK)]
