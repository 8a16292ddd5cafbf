"""A specific gravity test from its masses to its result, its page and its answer."""

from decimal import Decimal
from typing import Any

import pytest

from buildsite.kinds.answers import OversizeFact, SpecificGravityFact
from buildsite.kinds.kind import Inputs, Ref
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Table
from buildsite.kinds.tests.specific_gravity.compute import compute
from tests.archives import archive_of, sound
from tests.kinds.making import archive, kind

FILE = "records/p/tests/G-1.yaml"
HEAD = """\
kind: specific-gravity
id: G-1
project: p
sample: S-1
status: complete
standard: {designation: AASHTO T 100, edition: "15"}
tested: {on: 2026-03-10, by: T07}
units: {mass: g}
"""

# D. P. Coduto, Geotechnical Engineering: Principles and Practices, exercise on specific
# gravity, as solved in a course (CIE444, homework 1): see tests/soil/test_solids.py.
# Soil of 81.8 g at 11.2 % is 73.56 g dry; pycnometer 77.12 g, with water 327.12 g, with
# soil and water 373.18 g: 2.67.
CODUTO = """\
determinations:
  - {pycnometer_mass: 77.12, pycnometer_and_water: 327.12, dry_soil: 73.56,
     pycnometer_soil_and_water: 373.18, temperature_c: 20.0}
"""


def made(rest: str) -> Outcome:
    found = archive({FILE: HEAD + rest}).outcome(FILE)
    assert found is not None
    return found


def value(rest: str) -> float:
    found: float | None = made(rest).case.values.mean
    assert found is not None
    return found


def test_a_textbooks_example_comes_out() -> None:
    result = made(CODUTO).results["specific_gravity"]

    assert result.value == pytest.approx(2.675, abs=0.0005)
    assert result.reported == "2.67"


def test_the_value_is_referred_to_water_of_20_degrees() -> None:
    # K of 25 °C is 0.99884 (ASTM D854, table 2, from memory): all masses at 25 °C give
    # the ratio times K.
    warm = value(CODUTO.replace("20.0", "25.0"))

    assert warm == pytest.approx(value(CODUTO) * 0.99884, rel=0.00001)


def test_a_filling_at_another_temperature_is_taken_to_that_of_the_soil() -> None:
    # Filled at 15 °C the pycnometer held water of 999.10 kg/m³; at 25 °C of 997.05
    # (CRC Handbook, from memory): 250 g become 249.487 g.
    apart = "water_temperature_c: 15.0, dry_soil"
    rest = CODUTO.replace("20.0", "25.0").replace("dry_soil", apart)
    full = 77.12 + 250 * 997.0470 / 999.1026

    expected = 73.56 / (full + 73.56 - 373.18) * 0.99884

    assert value(rest) == pytest.approx(expected, rel=0.00002)


def test_soil_may_be_weighed_with_its_container_the_last_mass_counting() -> None:
    held = "container_mass: 20.00, container_and_dry: [93.90, 93.56]"

    assert value(CODUTO.replace("dry_soil: 73.56", held)) == pytest.approx(
        value(CODUTO)
    )


def test_the_mean_leaves_out_what_was_rejected() -> None:
    more = (
        "  - {specific_gravity: 2.60, rejected: {by: E02, reason: bubbles}}\n"
        "  - {specific_gravity: 2.655}\n"
    )

    values = made(CODUTO + more).case.values

    assert values.mean == pytest.approx((2.675 + 2.655) / 2, abs=0.0005)
    assert values.spread == pytest.approx(0.020, abs=0.0005)


def test_coarse_grains_are_put_to_the_others_by_volume() -> None:
    # AASHTO T 100 and ASTM D854, weighted average: 100 / (R1 / G1 + R2 / G2).
    coarse = "coarse: {percent_retained: 30, specific_gravity: 2.80, basis: apparent}\n"
    fine = value(CODUTO)

    result = made(CODUTO + coarse).results["combined_specific_gravity"]

    assert result.value == pytest.approx(100 / (30 / 2.80 + 70 / fine))


def test_readings_that_are_wanting_leave_no_result_and_no_crash() -> None:
    for lost in ("dry_soil: 73.56,", "temperature_c: 20.0", "pycnometer_mass: 77.12,"):
        found = made(CODUTO.replace(lost, ""))
        assert found.results == {}
        assert "missing-reading" in {flag.flag for flag in found.flags}
    assert made("determinations: []\n").results == {}


def test_a_pycnometers_calibration_gives_its_mass_and_volume() -> None:
    # The base of the faults was worked backwards from 2.692 and 2.688.
    found = archive_of(sound(("specific-gravity",))).outcome(
        "records/marsh-lane/tests/GS-1.yaml"
    )
    assert found is not None
    values = [one.specific_gravity for one in found.case.values.determinations]

    assert values == pytest.approx([2.692, 2.688], abs=0.006)
    assert found.results["specific_gravity"].reported == "2.69"


def told(rest: str) -> Any:
    outcome = made(rest)
    ref = Ref(SpecificGravityFact, (), "G-1", ())
    return outcome.kind.answers(outcome.case, ref)


def test_others_are_told_the_reported_value() -> None:
    fact = told(CODUTO)

    assert (str(fact.value), fact.basis, fact.source) == ("2.67", "measured", "G-1")
    assert fact.passing == ""


def test_others_are_told_both_values_where_coarse_grains_were_put_to_them() -> None:
    fact = told(
        CODUTO + "processed_through: No. 4\n"
        "coarse: {percent_retained: 30, specific_gravity: 2.80, basis: apparent}\n"
    )

    assert (str(fact.value), str(fact.passing_value)) == ("2.71", "2.67")
    assert fact.passing == "No. 4"


def test_what_was_kept_of_an_issue_tells_the_same_as_the_record() -> None:
    outcome = made(CODUTO)
    result = {
        "results": {
            name: {"reported": one.reported} for name, one in outcome.results.items()
        },
        **outcome.detail(),
    }
    ref = Ref(SpecificGravityFact, (), "G-1", ())

    from_kept = kind("specific-gravity").answer_from_result
    assert from_kept is not None
    assert from_kept(result, ref) == told(CODUTO)


def test_the_page_has_results_determinations_method_people_and_cautions() -> None:
    sheet = made(CODUTO + "deaired: {by: boiling, hours: 1}\n").sheet()
    names = [block.name for block in sheet.blocks]

    assert names[:2] == ["results", "determinations"]
    assert {"sample", "method", "acts", "departures", "statements"} <= set(names)
    assert names[-1] == "cautions"
    table = sheet.table("determinations")
    assert isinstance(table, Table)
    assert [column.key for column in table.columns] == [
        "determination",
        "dry_soil_g",
        "full_of_water_g",
        "soil_and_water_g",
        "temperature_c",
        "temperature_factor",
        "specific_gravity",
    ]
    assert [cell.text for cell in table.rows[0].cells][-2:] == ["1.00000", "2.675"]


def test_a_withdrawn_test_shows_no_result() -> None:
    rest = CODUTO + "withdrawn: {on: 2026-04-01, by: E02, reason: wrong soil}\n"
    text = (HEAD + rest).replace("status: complete", "status: withdrawn")
    found = archive({FILE: text}).outcome(FILE)
    assert found is not None

    assert found.sheet().table("results") is None


def test_the_bench_asks_what_the_record_holds() -> None:
    outcome = made(CODUTO)
    assert outcome.kind.bench is not None
    bench = outcome.kind.bench(outcome.case)
    model = outcome.kind.model

    for part in bench.parts:
        name = part.at[0] if part.at else part.readings[0].name
        assert name in model.model_fields, name
    lists = [part for part in bench.parts if not part.once]
    readings = {one.name for part in lists for one in part.readings}
    assert {"pycnometer", "dry_soil", "temperature_c"} <= readings
    assert bench.progress().lines == ((1, "specific gravity 2.675"),)
    assert bench.steps
    assert bench.ticks
    assert bench.cautions


@pytest.mark.parametrize(("passed", "adds"), [("No. 4", True), ("3/4 in", False)])
def test_coarse_grains_of_a_test_are_those_of_the_same_sieve(
    passed: str, adds: bool
) -> None:
    # Absorption of 1.0 % and a bulk gravity of 2.62: apparent 1 / (1 / 2.62 - 0.01), by
    # the definitions of AASHTO T 85.
    fact = OversizeFact(
        "No. 4", Decimal(20), Decimal("2.62"), "oven-dry", None, Decimal("1.0"), "C-1"
    )
    rest = f"processed_through: {passed}\ncoarse: {{test: C-1}}\n"
    record = made(CODUTO + rest).case.record
    inputs = Inputs({("OversizeFact", "C-1", ""): fact})

    values = compute(record, inputs, None)

    assert (values.combined is not None) == adds
    if values.coarse is not None:
        apparent = 1 / (1 / 2.62 - 0.01)
        assert values.coarse.specific_gravity == pytest.approx(apparent)
        assert values.coarse.basis == "apparent"
