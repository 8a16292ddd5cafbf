"""Density in place, against published figures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.record.units import from_si, to_si
from buildsite.soil.field_density import (
    balloon_volume,
    coarse_percent,
    gauge_dry_density,
    percent_compaction,
    sand_cone_volume,
    water_on_dry_basis,
)
from buildsite.soil.oversize import total_dry_density
from buildsite.soil.phase import dry_density, water_content, wet_density
from buildsite.soil.volume import volume_by_dimensions


def test_sand_cone_in_pounds() -> None:
    # Open teaching page, solved sand-cone example, undated:
    # civilengineering-softstudies.com/?p=21, an unattributed teaching exercise. Sand
    # 99 lb/ft³ from 3.3 lb in a 1/30 ft³ mold, cone 0.00535 ft³, 6.47 lb of sand in
    # the hole, 0.065 ft³. Its 112.293 lb/ft³ comes from rounding the hole to 0.065;
    # unrounded it is 8.11 / (6.47 / 99) / 1.1111 = 111.686.
    pound, foot = 0.45359237, 0.3048**3
    sand = wet_density(3.3 * pound, foot / 30)
    hole = sand_cone_volume(10.2 * pound, 3.2 * pound, 0.53 * pound, sand)
    wet = wet_density(8.11 * pound, hole)
    rounded = wet_density(8.11 * pound, 0.065 * foot)

    assert from_si(sand, "lb/ft3") == pytest.approx(99.0, abs=0.05)
    assert 0.53 * pound / sand / foot == pytest.approx(0.00535, abs=5e-6)
    assert hole / foot == pytest.approx(0.065, abs=0.0005)
    assert from_si(dry_density(wet, 11.11), "lb/ft3") == pytest.approx(
        111.686, abs=0.0005
    )
    assert from_si(dry_density(rounded, 11.11), "lb/ft3") == pytest.approx(
        112.293, abs=0.0005
    )


def test_sand_cone_in_kilograms() -> None:
    # B. M. Das, Principles of Geotechnical Engineering, chapter on compaction, example
    # of the sand-cone method (from memory): sand 1570 kg/m³, cone 0.545 kg, apparatus
    # 7.59 and 4.78 kg, moist soil 3.007 kg at 10.2 %: dry unit weight 18.55 kN/m³.
    hole = sand_cone_volume(7.59, 4.78, 0.545, 1570.0)
    dry = dry_density(wet_density(3.007, hole), 10.2)

    assert hole == pytest.approx(0.001443, abs=5e-7)
    assert from_si(dry, "kN/m3") == pytest.approx(18.55, abs=0.01)


def test_sand_density_by_a_measured_cylinder() -> None:
    # University laboratory calculation of a sand cone (in Spanish), undated:
    # es.scribd.com/document/620331335, steps 1-10. Cylinder 14.5 by 18 cm, 2972.34 cm³;
    # 6960 - 1510 - 810 = 4640 g of sand, 1.56 g/cm³. The steps of its hole are cut off.
    volume = volume_by_dimensions(0.145, 0.145, 0.18)

    assert volume * 1e6 == pytest.approx(2972.34, abs=0.005)
    assert wet_density(4.640, volume) == pytest.approx(1560, abs=5)


def test_drive_cylinders_and_their_water() -> None:
    # University soil practice sheet (in Spanish), undated:
    # ja.scribd.com/document/407656234, moisture table and volumetric method. The large
    # volume is printed as 497.73 cm³, by a short pi; 9.15 % is 9.155, cut off.
    small = volume_by_dimensions(0.04, 0.04, 0.08)
    large = volume_by_dimensions(0.065, 0.065, 0.15)
    waters = [water_content(27, 58, 55.4), water_content(23, 50, 47)]

    assert small * 1e6 == pytest.approx(100.53, abs=0.005)
    assert large * 1e6 == pytest.approx(497.73, abs=0.03)
    assert wet_density(0.450 - 0.257, small) == pytest.approx(1920, abs=5)
    assert wet_density(2.145 - 1.238, large) == pytest.approx(1820, abs=5)
    assert waters == pytest.approx([9.155, 12.5], abs=0.006)
    assert water_content(22, 94, 84.4) == pytest.approx(15.38, abs=0.006)


def test_required_dry_density() -> None:
    # US Navy training manual for engineering aids (course 14070), chapter 13, figures
    # 13-2 to 13-4: maximum 127.2 lb/ft³, 98 % required, 124.7 lb/ft³. So a test of
    # 124.7 lb/ft³ is at 98 %.
    assert percent_compaction(124.7, 127.2) == pytest.approx(98.0, abs=0.05)


def test_gauge() -> None:
    # Operator's manual of a nuclear density gauge, direct transmission, calculation of
    # dry density and percent moisture: DD = WD - M, %M = 100 M / DD. Its identity with
    # the definition of dry density is what is checked: figures of our own.
    dry = gauge_dry_density(2014.0, 182.0)

    assert dry_density(2014.0, 100 * 182.0 / dry) == pytest.approx(dry)


def test_balloon() -> None:
    # Data sheet of a rubber-balloon test (university laboratory): the volume of the
    # hole is the final less the initial reading.
    assert balloon_volume(0.0004, 0.0018) == pytest.approx(0.0014)


def test_wet_basis() -> None:
    # AASHTO T 217, conversion of a reading by wet mass (from memory); by definition:
    # 12 g of water in 100 g of moist soil is 12 in 88 of dry soil, 13.636 %.
    assert water_on_dry_basis(12.0) == pytest.approx(12 / 88 * 100)


@given(st.floats(0.1, 50), st.floats(0.1, 50), st.floats(0, 10), st.floats(0.0, 40))
def test_a_split_by_dry_mass(
    coarse: float, fine: float, water_coarse: float, water_fine: float
) -> None:
    wet_coarse = coarse * (1 + water_coarse / 100)
    wet_fine = fine * (1 + water_fine / 100)

    found = coarse_percent(wet_coarse, wet_fine, water_coarse, water_fine)

    assert found == pytest.approx(100 * coarse / (coarse + fine))


def test_like_with_like() -> None:
    # A field soil of 30 % coarse particles, packed as dense as the laboratory packs
    # its fines, is at 100 % of the total density: volumes added (AASHTO T 224).
    fines, coarse = 0.7 / 1900.0, 0.3 / (2.65 * 1000.0)
    field = 1.0 / (fines + coarse)

    total = total_dry_density(1900.0, 30.0, 2.65)

    assert percent_compaction(field, total) == pytest.approx(100.0)
    assert percent_compaction(field, 1900.0) > 109  # not like with like


@pytest.mark.parametrize(
    "impossible",
    [
        lambda: sand_cone_volume(7.0, 6.0, 1.0, 1500.0),
        lambda: sand_cone_volume(7.0, 4.0, 1.0, 0.0),
        lambda: balloon_volume(0.001, 0.001),
        lambda: gauge_dry_density(2000.0, -1.0),
        lambda: gauge_dry_density(180.0, 180.0),
        lambda: water_on_dry_basis(100.0),
        lambda: water_on_dry_basis(-0.1),
        lambda: coarse_percent(0.0, 0.0, 1.0, 1.0),
        lambda: coarse_percent(-1.0, 2.0, 1.0, 1.0),
        lambda: percent_compaction(0.0, 1900.0),
    ],
)
def test_what_can_not_be_is_refused(impossible: object) -> None:
    assert callable(impossible)
    words = "above|below|left|mass|no soil"
    with pytest.raises(ValueError, match=words):
        impossible()


def test_units_of_the_pinned_example() -> None:
    # Arithmetic of the definition: 8084 - 4172 - 1480 g of sand at 1.507 g/cm³.
    hole = sand_cone_volume(8.084, 4.172, 1.480, to_si(1.507, "g/cm3"))
    assert hole * 1e6 == pytest.approx(2432 / 1.507)
