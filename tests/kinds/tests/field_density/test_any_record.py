"""Whatever a field sheet says, the record is computed, judged and shown."""

import pytest

from tests.kinds.tests.field_density.records import SAND_CONE, acceptance, computed

LINES = [
    "coarse: {sieve: No. 4, percent_retained: 100}",
    "coarse: {percent_retained: 100, specific_gravity: {value: 2.65, basis: oven-dry}}",
    "coarse: {percent_retained: 99.9, specific_gravity: {value: 1.01}}",
    "coarse: {sieve: No. 4, wet_retained: 10, wet_passing: 0}",
    "coarse: {sieve: No. 4, wet_retained: -1, wet_passing: 3}",
    "coarse: {sieve: no sieve, wet_retained: 400, wet_passing: 3000}",
    "coarse: {sieve: No. 4, wet_retained: 400, wet_passing: 600, water_retained: 90}",
    "surface: {before: 100, after: 900}",
    "oven_check: {}",
    "water_fraction: fine",
    "water_basis: wet",
    "gauge: {readings: [{}], offset: {value: 5}}",
    "position: {}",
    "disposition: {as: removed}",
    "works: {}",
    "cylinder: {}",
    "specific_gravity: {value: 2.65, basis: measured, water_temperature_c: 99}",
    "uncertainty: {percent_compaction: 1.2, dry_density: 0.02}",
    "equipment: {}",
]


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("rule", ["laboratory-to-field", "field-to-fine", "none"])
def test_an_odd_line_stops_nothing(line: str, rule: str) -> None:
    asked = SAND_CONE.replace("compare: rounded", f"compare: rounded, oversize: {rule}")
    made = computed(f"{asked}{line}\n")

    assert acceptance(made)["verdict"] in ("pass", "fail", "none")
    assert made.sheet().table("verdict") is not None
    assert all(flag.found and flag.expected and flag.mend for flag in made.flags)


READINGS = SAND_CONE[SAND_CONE.index("apparatus_before") :].splitlines()


@pytest.mark.parametrize("missing", READINGS)
def test_a_missing_line_stops_nothing(missing: str) -> None:
    made = computed(SAND_CONE.replace(f"{missing}\n", ""))

    assert made.sheet().table("verdict") is not None
    assert all(flag.found for flag in made.flags)


def test_other_apparatus_with_the_readings_of_a_sand_cone() -> None:
    for name in ("drive-cylinder", "nuclear-gauge", "balloon"):
        made = computed(SAND_CONE.replace("apparatus: sand-cone", f"apparatus: {name}"))

        assert acceptance(made)["verdict"] == "none"
        assert "missing-reading" in [flag.flag for flag in made.flags]


def test_a_standard_that_is_not_on_file() -> None:
    made = computed(SAND_CONE.replace("AASHTO T 191", "BS 1377-9"))

    assert acceptance(made)["verdict"] == "fail"
    assert "unknown-standard" in [flag.flag for flag in made.flags]
