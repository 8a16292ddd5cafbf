"""What is usual for a class of soil."""

import pytest

from buildsite.standards.soils import SoilClass, soil_class, symbols

POUND_PER_FT3 = 0.45359237 / 0.3048**3  # [kg/m³], yard and pound agreement of 1959


def found(symbol: str) -> SoilClass:
    known = soil_class(symbol)
    assert known is not None
    return known


@pytest.mark.parametrize(
    ("symbol", "density", "water"),
    # NAVFAC DM-7.02 (1986), table 1, from memory: lb/ft3 and %.
    [
        ("GW", (125, 135), (8, 11)),
        ("CL", (95, 120), (12, 24)),
        ("CH", (75, 105), (19, 36)),
    ],
)
def test_ranges_of_standard_effort(
    symbol: str, density: tuple[float, float], water: tuple[float, float]
) -> None:
    ends = tuple(end * POUND_PER_FT3 for end in density)

    assert found(symbol).dry_density() == pytest.approx(ends)
    assert found(symbol).water_content() == water


# Bureau of Reclamation averages (1977) of maximum dry density [lb/ft3] and optimum
# water content [%]: another source, whose means lie inside the ranges above or at
# their edge. SW and the rest of the gravels are given there as bounds only.
BUREAU = [
    ("SP", 110, 12.4),
    ("SM", 114, 14.5),
    ("SC", 115, 14.7),
    ("SC-SM", 119, 12.8),
    ("ML", 103, 19.2),
    ("CL-ML", 109, 16.8),
    ("CL", 108, 17.3),
    ("MH", 82, 36.3),
    ("CH", 94, 25.5),
]


@pytest.mark.parametrize(("symbol", "density", "water"), BUREAU)
def test_averages_of_another_source_lie_in_the_ranges(
    symbol: str, density: float, water: float
) -> None:
    densities, waters = found(symbol).dry_density(), found(symbol).water_content()
    assert densities is not None
    assert waters is not None

    assert densities[0] <= density * POUND_PER_FT3 <= densities[1]
    assert waters[0] <= water <= waters[1]


@pytest.mark.parametrize("symbol", symbols())
def test_modified_effort_is_denser_and_drier(symbol: str) -> None:
    soil = found(symbol)
    densities = soil.dry_density("standard"), soil.dry_density("modified")
    waters = soil.water_content("standard"), soil.water_content("modified")

    assert densities[0] < densities[1]  # type: ignore[operator] # a class has ranges
    assert waters[0] > waters[1]  # type: ignore[operator] # a class has ranges
    assert waters[1][0] > 0  # type: ignore[index] # a class has ranges


@pytest.mark.parametrize(
    ("symbol", "grain", "often_no_peak"),
    [
        ("SP", "sand", True),
        ("SP-SM", "sand", True),
        ("sw-sc", "sand", True),
        ("SM", "sand", False),
        ("GW-GM", "gravel", True),
        ("CL-ML", "fine", False),
        ("ML-CL", "fine", False),
        ("CL", "fine", False),
        ("sand", "sand", False),
        ("fine", "fine", False),
    ],
)
def test_symbols_duals_and_words(symbol: str, grain: str, often_no_peak: bool) -> None:
    assert found(symbol).grain == grain
    assert found(symbol).often_no_peak == often_no_peak


def test_a_dual_symbol_spans_its_classes() -> None:
    both, clean, silty = found("SP-SM"), found("SP"), found("SM")
    spans = [soil.water_content() for soil in (both, clean, silty)]
    assert None not in spans

    assert both.symbol == "SP-SM"
    assert both.water_content() == (11, 21)


def test_saturation_bands() -> None:
    # From memory of practice: 75 to 95 % for fine soils, 60 to 95 % for sands.
    assert found("CL").saturation == (75, 95)
    assert found("SP").saturation == (60, 95)
    assert found("CL").wet_leg_saturation == (82, 98)
    assert found("ML").wet_leg_saturation == (80, 98)  # docs/false-alarms.md
    assert found("CL-MH").wet_leg_saturation == (80, 98)
    assert found("fine").wet_leg_saturation == (82, 98)
    assert found("SP").wet_leg_saturation is None


def test_heavy_clay_is_known() -> None:
    assert found("CH").heavy_clay
    assert not found("CL").heavy_clay


@pytest.mark.parametrize("symbol", ["", "XX", "SP-XX", "A-6", "SP-SM-SC"])
def test_what_is_no_symbol_is_nothing(symbol: str) -> None:
    assert soil_class(symbol) is None
