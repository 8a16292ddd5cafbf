"""Density of water against printed tables and a reference library."""

import numpy as np
import pytest
from iapws import IAPWS95  # type: ignore[import-untyped]  # it has no stubs

from buildsite.soil.water import water_density

# Handbook of Chemistry and Physics, 53rd edition, page F-4: g/mL at whole degrees.
# Of ordinary air-free water on an older temperature scale, its greatest density
# 0.999973: hence up to 0.0035 kg/m³ beside the formula. [°C], [kg/m³]
HANDBOOK_53 = [
    (0.0, 999.841),
    (1.0, 999.900),
    (2.0, 999.941),
    (3.0, 999.965),
    (4.0, 999.973),
    (5.0, 999.965),
    (6.0, 999.941),
    (7.0, 999.902),
    (8.0, 999.849),
    (9.0, 999.781),
    (10.0, 999.700),
    (11.0, 999.605),
    (12.0, 999.498),
    (13.0, 999.377),
    (14.0, 999.244),
    (15.0, 999.099),
]


@pytest.mark.parametrize(("temperature", "printed"), HANDBOOK_53)
def test_agrees_with_a_handbook(temperature: float, printed: float) -> None:
    assert water_density(temperature) == pytest.approx(printed, abs=0.004)


def test_agrees_with_the_check_value_of_the_water_association() -> None:
    # IAPWS SR6-08(2011), table 8: 298.15 K, 0.1 MPa, 997.047013 kg/m³. From there to
    # one atmosphere, 0.101325 MPa, adds 0.0006; the two formulas differ by less.
    assert water_density(25.0) == pytest.approx(997.047013 + 0.0006, abs=0.001)


@pytest.mark.parametrize("temperature", range(0, 41, 5))
def test_agrees_with_a_reference_library(temperature: int) -> None:
    kelvin = temperature + 273.15

    expected = IAPWS95(T=max(kelvin, 273.16), P=0.101325).rho

    # Two international formulas of their own measurements, 2 parts in a million.
    assert water_density(float(temperature)) == pytest.approx(expected, rel=2e-6)


def test_is_densest_near_four_degrees() -> None:
    # Tanaka et al. 2001: 999.974950 kg/m³ at 3.983035 °C.
    assert water_density(3.983035) == 999.974950
    assert water_density(3.9) < 999.974950
    assert water_density(4.1) < 999.974950


def test_array_gives_what_its_members_give() -> None:
    temperatures = np.array([15.0, 20.0, 25.0])

    densities = water_density(temperatures)

    assert densities.tolist() == [water_density(t) for t in temperatures]


@pytest.mark.parametrize("temperature", [-0.1, 40.1])
def test_is_refused_outside_its_range(temperature: float) -> None:
    with pytest.raises(ValueError, match="°C"):
        water_density(temperature)
