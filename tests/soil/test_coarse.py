"""Coarse particles and fractions, against published figures."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.soil.coarse import (
    absorption,
    apparent_specific_gravity,
    bulk_specific_gravity,
    mean_absorption,
    mean_specific_gravity,
    shares,
    surface_dry_specific_gravity,
)
from buildsite.soil.oversize import oven_dry_bulk
from buildsite.soil.wetting import dry_mass

# WAQTC, FOP for AASHTO T 85, sample calculations (from memory; they agree with their
# own differences): A, B, C [g], oven-dry, SSD, apparent [1], absorption [%].
WAQTC = [
    (2030.9, 2044.9, 1304.3, 2.742, 2.761, 2.795, 0.7),
    (1820.0, 1832.5, 1168.1, 2.739, 2.758, 2.792, 0.7),
    (2035.2, 2049.4, 1303.9, 2.730, 2.749, 2.783, 0.7),
]


@pytest.mark.parametrize(("a", "b", "c", "dry", "ssd", "apparent", "water"), WAQTC)
def test_one_specimen(
    a: float,
    b: float,
    c: float,
    dry: float,
    ssd: float,
    apparent: float,
    water: float,
) -> None:
    assert bulk_specific_gravity(a, b, c) == pytest.approx(dry, abs=0.0005)
    assert surface_dry_specific_gravity(b, c) == pytest.approx(ssd, abs=0.0005)
    assert apparent_specific_gravity(a, c) == pytest.approx(apparent, abs=0.0005)
    assert absorption(a, b) == pytest.approx(water, abs=0.05)


def test_several_sizes() -> None:
    # ASTM C127, appendix on several sizes (from memory): 44, 35 and 21 % of specific
    # gravity 2.72, 2.56, 2.54 and absorption 0.4, 2.5, 3.0 % make 2.62 and 1.7 %.
    gravities = [(44.0, 2.72), (35.0, 2.56), (21.0, 2.54)]
    waters = [(44.0, 0.4), (35.0, 2.5), (21.0, 3.0)]

    assert mean_specific_gravity(gravities) == pytest.approx(2.62, abs=0.005)
    assert mean_absorption(waters) == pytest.approx(1.7, abs=0.05)


STONES = st.tuples(
    st.floats(0.5, 20), st.floats(1.0, 1.08), st.floats(2.2, 3.2)
)  # dry mass, mass soaked over dry, apparent specific gravity


@given(STONES)
def test_the_three_gravities_and_the_absorption_agree(
    stone: tuple[float, float, float],
) -> None:
    dry, ratio, apparent = stone
    soaked, sunk = dry * ratio, dry * (1 - 1 / apparent)

    bulk = bulk_specific_gravity(dry, soaked, sunk)
    ssd = surface_dry_specific_gravity(soaked, sunk)

    # 1/bulk = 1/apparent + absorption: volumes of solid and of pores are added.
    pores = absorption(dry, soaked) / 100
    assert math.isclose(1 / bulk, 1 / apparent + pores, rel_tol=1e-9)
    assert math.isclose(oven_dry_bulk(ssd, 100 * pores), bulk, rel_tol=1e-9)
    assert bulk <= ssd * (1 + 1e-12)
    assert bulk <= apparent_specific_gravity(dry, sunk) * (1 + 1e-12)


@given(st.lists(st.tuples(st.floats(1, 100), st.floats(2, 3)), min_size=1, max_size=5))
def test_a_mean_lies_between_its_parts(parts: list[tuple[float, float]]) -> None:
    found = mean_specific_gravity(parts)

    gravities = [gravity for _, gravity in parts]
    assert min(gravities) * (1 - 1e-12) <= found <= max(gravities) * (1 + 1e-12)


def test_a_share_is_of_dry_masses() -> None:
    # By hand: 3.06 kg at 2 % is 3.00 dry, 19.04 kg at 12 % is 17.00: 15 and 85 %, and
    # the whole holds (3.06 + 19.04 - 20) / 20 = 10.5 % (as NDDOT T 224, 2011).
    coarse, fine = dry_mass(3.06, 2.0), dry_mass(19.04, 12.0)

    assert shares([coarse, fine]) == pytest.approx((15, 85))
    assert mean_absorption([(15, 2.0), (85, 12.0)]) == pytest.approx(10.5)


@pytest.mark.parametrize(
    ("a", "b", "c"), [(1000.0, 990.0, 600.0), (1000.0, 1010.0, 1010.0)]
)
def test_what_no_stone_does_is_refused(a: float, b: float, c: float) -> None:
    with pytest.raises(ValueError, match="weigh"):
        bulk_specific_gravity(a, b, c)


def test_a_whole_needs_parts() -> None:
    with pytest.raises(ValueError, match="sum is above zero"):
        shares([0.0, 0.0])
    with pytest.raises(ValueError, match="sum is above zero"):
        mean_specific_gravity([(0.0, 2.6)])
    with pytest.raises(ValueError, match="above zero"):
        mean_specific_gravity([(100.0, 0.0)])
    with pytest.raises(ValueError, match="below zero"):
        dry_mass(1.0, -1.0)
    with pytest.raises(ValueError, match="weigh less in water"):
        apparent_specific_gravity(600.0, 700.0)
