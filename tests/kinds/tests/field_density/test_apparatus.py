"""Densities by each apparatus, from records computed by themselves."""

import pytest

from tests.kinds.tests.field_density.records import changed, computed, value

NO_HOLE = (
    ("apparatus_before: 8084\n", ""),
    ("apparatus_after: 4172\n", ""),
    ("sand: {bulk_density: 1.507, cone: 1480}\n", ""),
)


def test_sand_cone() -> None:
    made = computed(changed())

    assert value(made, "hole_volume") == pytest.approx(2432 / 1.507e6)
    assert value(made, "wet_density") == pytest.approx(3136 / 2432 * 1507)
    assert value(made, "dry_density") == pytest.approx(3136 / 2432 * 1507 / 1.12)
    assert made.results["hole_volume"].reported == "1614 cm3"


def test_sand_cone_of_a_published_exercise() -> None:
    # Open teaching page, solved sand-cone example, undated:
    # civilengineering-softstudies.com/?p=21, an unattributed teaching exercise. Its
    # 112.293 lb/ft³ comes of a hole rounded to 0.065 ft³; unrounded it is 111.686.
    made = computed(
        changed(
            ("mass: g", "mass: lb"),
            ("density: g/cm3, volume: cm3", "density: lb/ft3, volume: ft3"),
            ("apparatus_before: 8084", "apparatus_before: 10.2"),
            ("apparatus_after: 4172", "apparatus_after: 3.2"),
            ("wet_soil: 3136", "wet_soil: 8.11"),
            ("water_content: 12.0", "water_content: 11.11"),
            ("bulk_density: 1.507, cone: 1480", "bulk_density: 99, cone: 0.53"),
            ("maximum_dry_density: 1.85", "maximum_dry_density: 115"),
        )
    )

    assert made.results["dry_density"].reported == "111.7 lb/ft3"
    assert made.results["hole_volume"].reported == "0.0654 ft3"


def test_rough_ground_is_measured_in_place_of_the_cone() -> None:
    made = computed(changed(more="surface: {before: 9000, after: 7420}\n"))

    assert value(made, "hole_volume") == pytest.approx((3912 - 1580) / 1.507e6)


def test_soil_in_a_container() -> None:
    both = "container_mass: 410\ncontainer_and_wet_soil: 3546"
    made = computed(changed(("wet_soil: 3136", both)))

    assert value(made, "wet_density") == pytest.approx(3136 / 2432 * 1507)


def test_drive_cylinder_of_a_published_exercise() -> None:
    # University soil practice sheet (in Spanish), undated:
    # ja.scribd.com/document/407656234: 497.75 cm³, 2145 - 1238 g, 1.8222 g/cm³; tins
    # of 9.155, 12.5 and 15.385 % (a mean is not printed).
    made = computed(
        changed(
            *NO_HOLE,
            ("apparatus: sand-cone", "apparatus: drive-cylinder"),
            ('AASHTO T 191, edition: "14(2018)"', 'AASHTO T 204, edition: "90"'),
            ("wet_soil: 3136\n", "cylinder_and_wet_soil: 2145\n"),
            ("water_content: 12.0", "water_content: 12.5"),
            more="cylinder: {volume: 497.75, mass: 1238}\n",
        )
    )

    assert value(made, "wet_density") == pytest.approx(1822.2, abs=0.05)
    assert value(made, "dry_density") == pytest.approx(1822.2 / 1.125, abs=0.05)
    assert "hole_volume" not in made.results


def test_a_void_specimen_has_no_density() -> None:
    made = computed(
        changed(
            *NO_HOLE,
            ("apparatus: sand-cone", "apparatus: drive-cylinder"),
            ("wet_soil: 3136\n", "cylinder_and_wet_soil: 2145\n"),
            more="cylinder: {volume: 497.75, mass: 1238}\n"
            "cylinder_specimen: {recovery: short}\n",
        )
    )

    assert "wet_density" not in made.results
    assert made.detail()["acceptance"]["verdict"] == "none"
    assert "void" in made.detail()["acceptance"]["why"]


def test_balloon() -> None:
    made = computed(
        changed(
            *NO_HOLE,
            ("apparatus: sand-cone", "apparatus: balloon"),
            more="volume_before: 350\nvolume_after: 1918\n",
        )
    )

    assert value(made, "hole_volume") == pytest.approx(0.001568)
    assert value(made, "wet_density") == pytest.approx(2000.0)


GAUGE = (
    *NO_HOLE,
    ("apparatus: sand-cone", "apparatus: nuclear-gauge"),
    ('AASHTO T 191, edition: "14(2018)"', 'AASHTO T 310, edition: "22"'),
    ("wet_soil: 3136\n", ""),
    ("water_content_by: oven", "water_content_by: gauge"),
    ("water_content: 12.0\n", ""),
)
READINGS = (
    "readings: [{wet_density: 2.014, water: 0.182}, {wet_density: 2.022, water: 0.180}]"
)


def gauge(more: str = "") -> str:
    return changed(
        *GAUGE, more=f"gauge: {{mode: direct, depth: 200, {READINGS}{more}}}\n"
    )


def test_gauge_readings_are_averaged() -> None:
    made = computed(gauge())

    assert value(made, "wet_density") == pytest.approx(2018.0)
    assert value(made, "dry_density") == pytest.approx(2018.0 - 181.0)
    assert value(made, "water_content") == pytest.approx(100 * 181 / 1837)


def test_a_rejected_reading_does_not_count() -> None:
    more = READINGS.replace(
        "water: 0.180}", 'water: 0.180, rejected: {by: E02, reason: "bumped"}}'
    )
    made = computed(gauge().replace(READINGS, more))

    assert value(made, "wet_density") == pytest.approx(2014.0)


@pytest.mark.parametrize(
    ("offset", "water"),
    [
        ("{value: -0.012, unit: g/cm3, applied: here}", 169.0),
        ("{value: -0.012, applied: here}", 169.0),  # in units.density
        ("{value: -0.012, unit: g/cm3, applied: in-gauge}", 181.0),  # readings have it
    ],
)
def test_an_offset_is_applied_once(offset: str, water: float) -> None:
    # AASHTO T 310: DD = WD - M, %M = 100 M / DD, M the corrected water.
    made = computed(gauge(f", offset: {offset}"))

    assert value(made, "dry_density") == pytest.approx(2018.0 - water)
    assert value(made, "water_content") == pytest.approx(100 * water / (2018 - water))


@pytest.mark.parametrize(
    ("offset", "flagged"),
    [
        ("{value: 0.015, unit: g/cm3, applied: here}", ["soil"]),
        ("{value: 0.015, unit: g/cm3, applied: here, soil: lean clay}", []),
        ("{value: 0.015, unit: g/cm3}", ["applied", "soil"]),
        ("{value: 0}", []),  # nothing was added
    ],
)
def test_an_offset_states_its_soil(offset: str, flagged: list[str]) -> None:
    # Found from oven samples of that soil, used for that soil alone: common practice.
    made = computed(gauge(f", offset: {offset}"))

    found = [one for one in made.flags if one.flag == "gauge-offset-unclear"]
    assert [one.field[-1] for one in found] == flagged


def test_an_offset_in_percent_is_added_to_the_percentage() -> None:
    made = computed(gauge(', offset: {value: 1.5, unit: "%", applied: here}'))

    water = 100 * 181 / 1837 + 1.5
    assert value(made, "water_content") == pytest.approx(water)
    assert value(made, "dry_density") == pytest.approx(2018 / (1 + water / 100))


def test_the_ovens_water_of_a_gauge_counts_and_both_stay() -> None:
    made = computed(gauge() + "oven_check: {water_content: 11.0}\n")

    told = made.detail()["field"]["water"]
    assert value(made, "dry_density") == pytest.approx(2018 / 1.11)
    assert (told["by"], told["oven"]) == ("gauge", 11.0)
    assert told["field"] == pytest.approx(100 * 181 / 1837)


def test_densities_of_an_old_report() -> None:
    made = computed(changed(*NO_HOLE, ("wet_soil: 3136", "dry_density: 1.735")))

    assert value(made, "dry_density") == pytest.approx(1735.0)
    assert value(made, "wet_density") == pytest.approx(1735.0 * 1.12)
