"""The bench of a compaction test: order, units, and how fine each reading must be."""

from decimal import Decimal

import pytest

from buildsite.kinds.bench_spec import Bench, Reading
from tests.kinds.making import kind, made, text_of


def bench(rest: str) -> Bench:
    case = made(text_of(rest)).case
    laid_out = kind("moisture-density").bench
    assert laid_out is not None
    return laid_out(case)


def readings(rest: str) -> dict[str, Reading]:
    return {one.name: one for part in bench(rest).parts for one in part.readings}


def test_the_mold_is_weighed_empty_first_and_the_dry_soil_after_the_oven() -> None:
    order = [one.name for part in bench("points: []\n").parts for one in part.readings]

    wanted = [
        "mold_mass",
        "water_added_ml",
        "mold_and_wet_soil",
        "container",
        "container_mass",
        "container_and_wet",
        "in",
        "out",
        "container_and_dry",
    ]
    assert [name for name in order if name in wanted] == wanted


# ASTM D698 (from memory): the compacted mass to 1 g, the moisture specimen to 0.1 g.
@pytest.mark.parametrize(("unit", "step"), [("g", "1"), ("kg", "0.001")])
def test_the_step_is_that_of_the_methods_row_in_the_columns_unit(
    unit: str, step: str
) -> None:
    found = readings(f"units: {{compacted: {unit}, moisture: g}}\npoints: []\n")

    assert found["mold_and_wet_soil"].resolution == Decimal(step)
    assert found["mold_and_wet_soil"].unit == unit
    assert found["mold_and_wet_soil"].basis.startswith("ASTM D698")
    assert found["container_and_dry"].resolution == Decimal("0.1")


def test_an_unnamed_unit_has_no_step() -> None:
    assert readings("points: []\n")["mold_and_wet_soil"].resolution is None


def test_the_method_says_layers_blows_and_points() -> None:
    # ASTM D698 method A: 3 layers of 25 blows; four points at least (from memory).
    found = readings("points: []\n")
    points = [p for p in bench("points: []\n").parts if p.at == ("points",)]

    assert (found["layers"].usual, found["blows_per_layer"].usual) == ("3", "25")
    assert [part.times for part in points] == [4, 4]


def test_a_method_that_is_not_on_file_prescribes_nothing() -> None:
    found = readings(
        "standard: {designation: XY 1, method: A}\n"
        "units: {compacted: g, moisture: g}\npoints: []\n"
    )

    assert found["layers"].usual == ""
    assert found["mold_and_wet_soil"].resolution is None


def test_water_is_asked_for_as_the_record_counts_it() -> None:
    each = readings("points: []\n")["water_added_ml"].words
    whole = readings("water_added: cumulative\npoints: []\n")["water_added_ml"].words

    assert each != whole


def test_a_stated_volume_needs_no_mold() -> None:
    units = "units: {volume: cm3}\n"
    assert readings("points: []\n")["mold"].needed
    assert not readings(f"{units}mold_volume: 943.6\npoints: []\n")["mold"].needed


def test_a_mould_is_written_as_its_standard_writes_it() -> None:
    british = "standard: {designation: BS 1377-4, method: '3.3'}\npoints: []\n"
    american = "standard: {designation: AASHTO T 99, method: A}\npoints: []\n"

    def words(rest: str) -> str:
        laid_out = bench(rest)
        asked = [one.words for part in laid_out.parts for one in part.readings]
        titles = [part.title for part in laid_out.parts]
        return " ".join((*titles, *asked, *laid_out.steps, *laid_out.cautions))

    assert "Mould and wet soil" in words(british)
    assert "mold" not in words(british).lower()
    assert "mould" not in words(american).lower()
    # What is answered is a word of the record, whatever the standard.
    assert readings(british)["weighed_with"].usual == "mold and base plate"
