"""Specific gravity of soil solids, against printed tables and a worked example."""

import pytest

from buildsite.soil.solids import (
    apparent_of_bulk,
    displaced,
    filled_mass,
    specific_gravity,
    temperature_factor,
)

# ASTM D854-14, table 2 (from memory): temperature [°C], K to five places.
D854_TABLE_2 = [
    (15.0, 1.00090),
    (18.0, 1.00039),
    (20.0, 1.00000),
    (22.0, 0.99957),
    (25.0, 0.99884),
    (30.0, 0.99744),
]

# AASHTO T 100, table 1 (from memory): temperature [°C], K to four places.
T100_TABLE_1 = [
    (18.0, 1.0004),
    (19.0, 1.0002),
    (20.0, 1.0000),
    (21.0, 0.9998),
    (22.0, 0.9996),
    (23.0, 0.9993),
    (24.0, 0.9991),
    (26.0, 0.9986),
    (27.0, 0.9983),
    (28.0, 0.9980),
    (29.0, 0.9977),
    (30.0, 0.9974),
]

# G. S. Kell, J. Chem. Eng. Data 20 (1975) 97-105, as handbooks print it (from memory):
# density of water [g/cm³], an older formula than ours, by other measurements.
KELL_1975 = [
    (15.0, 0.9991026),
    (18.0, 0.9985986),
    (22.0, 0.9977735),
    (25.0, 0.9970479),
    (30.0, 0.9956502),
]
KELL_AT_20 = 0.9982071


@pytest.mark.parametrize(("temperature", "printed"), D854_TABLE_2)
def test_the_factor_agrees_with_the_table_of_d854(
    temperature: float, printed: float
) -> None:
    assert temperature_factor(temperature) == pytest.approx(printed, abs=0.00001)


@pytest.mark.parametrize(("temperature", "printed"), T100_TABLE_1)
def test_the_factor_agrees_with_the_table_of_t_100(
    temperature: float, printed: float
) -> None:
    assert temperature_factor(temperature) == pytest.approx(printed, abs=0.00006)


@pytest.mark.parametrize(("temperature", "density"), KELL_1975)
def test_the_factor_follows_from_another_formula_of_water(
    temperature: float, density: float
) -> None:
    expected = density / KELL_AT_20

    assert temperature_factor(temperature) == pytest.approx(expected, abs=0.000002)


def test_a_textbooks_example() -> None:
    # D. P. Coduto, Geotechnical Engineering: Principles and Practices, exercise on
    # specific gravity, as solved in a course (CIE444, homework 1): 81.8 g of soil at
    # 11.2 %, in a pycnometer of 77.12 g and 250 mL; 373.18 g with soil and water, water
    # of 1 g/mL. Solids 73.56 g, water 222.50 g, volume of solids 27.50 mL, 2.67.
    dry = 81.8 / 1.112
    full = 77.12 + 250.0

    assert dry == pytest.approx(73.56, abs=0.005)
    assert displaced(dry, full, 373.18) == pytest.approx(27.50, abs=0.005)
    assert specific_gravity(dry, full, 373.18) == pytest.approx(2.67, abs=0.005)


def test_a_pycnometer_at_its_own_temperature_weighs_what_it_weighed() -> None:
    # Mass of water over its density is the volume, and back: a definition.
    volume = (0.66640 - 0.16842) / 997.6805  # water of 22.4 °C [kg/m³]

    assert filled_mass(0.16842, volume, 22.4) == pytest.approx(0.66640, abs=1e-6)


def test_cold_water_is_heavier_so_that_less_of_it_is_displaced_in_numbers() -> None:
    # Solids of one volume: in water 0.1 % denser they seem 0.1 % less dense.
    cold = temperature_factor(15.0) / temperature_factor(20.0)

    assert 1.0008 < cold < 1.0010


def test_soil_that_displaces_no_water_is_refused() -> None:
    with pytest.raises(ValueError, match="displaces"):
        specific_gravity(0.05, 0.6, 0.65)


def test_apparent_from_bulk_and_absorption_agrees_with_the_definitions() -> None:
    # Stones of 1000 g dry, 1010 g surface-dry, 629 g in water: bulk 1000 / 381,
    # absorption 1.0 %, apparent 1000 / 371, by the definitions of AASHTO T 85.
    assert apparent_of_bulk(1000 / 381, 1.0) == pytest.approx(1000 / 371)


def test_stones_that_would_be_all_pores_are_refused() -> None:
    with pytest.raises(ValueError, match="pores"):
        apparent_of_bulk(2.0, 60.0)
