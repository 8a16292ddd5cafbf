"""Definitions against published figures, against one another, and on arrays."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.soil.lines import (
    air_voids_line,
    saturation_line,
    water_content_at_zero_air_voids,
    zero_air_voids_density,
)
from buildsite.soil.phase import (
    air_voids,
    dry_density,
    porosity,
    saturation,
    void_ratio,
    water_content,
    wet_density,
)

CONTENTS = st.floats(0, 60)
DENSITIES = st.floats(800, 2600)
GRAVITIES = st.floats(2.5, 3.2)
WATER = 998.2


@given(DENSITIES, CONTENTS)
def test_dry_is_never_denser_than_wet(wet: float, content: float) -> None:
    assert dry_density(wet, content) <= wet


@given(st.floats(0.5, 5), st.floats(0.0, 0.6), st.floats(0.01, 0.3))
def test_water_content_gives_back_the_water(
    dry: float, share: float, container: float
) -> None:
    content = water_content(container, container + dry * (1 + share), container + dry)

    assert content == pytest.approx(share * 100, abs=1e-9)


@given(CONTENTS, GRAVITIES)
def test_line_of_zero_air_voids_and_its_inverse(content: float, gravity: float) -> None:
    density = zero_air_voids_density(content, gravity, WATER)

    back = water_content_at_zero_air_voids(density, gravity, WATER)

    assert back == pytest.approx(content, abs=1e-9)
    assert air_voids(density, content, gravity, WATER) == pytest.approx(0, abs=1e-9)


@given(CONTENTS, GRAVITIES, st.floats(0, 30))
def test_air_voids_line_holds_its_air_voids(
    content: float, gravity: float, share: float
) -> None:
    density = air_voids_line(content, share, gravity, WATER)

    assert air_voids(density, content, gravity, WATER) == pytest.approx(share, abs=1e-9)


@given(st.floats(1, 60), GRAVITIES, st.floats(10, 100))
def test_saturation_line_holds_its_saturation(
    content: float, gravity: float, degree: float
) -> None:
    density = saturation_line(content, degree, gravity, WATER)

    assert saturation(density, content, gravity, WATER) == pytest.approx(degree)


@given(st.floats(1000, 2200), GRAVITIES)
def test_voids_hold_either_air_or_water(density: float, gravity: float) -> None:
    ratio = void_ratio(density, gravity, WATER)
    voids = porosity(density, gravity, WATER)

    assert voids == pytest.approx(100 * ratio / (1 + ratio))
    assert air_voids(density, 0.0, gravity, WATER) == pytest.approx(voids)


def test_an_array_gives_what_its_members_give() -> None:
    contents = np.array([8.0, 12.0, 16.0])
    wets = np.array([1900.0, 2100.0, 2050.0])

    dries = dry_density(wets, contents)
    degrees = saturation(dries, contents, 2.7, WATER)
    lines = zero_air_voids_density(contents, 2.7, WATER)

    singly = [dry_density(w, c) for w, c in zip(wets, contents, strict=True)]
    assert dries.tolist() == singly
    assert lines.tolist() == [zero_air_voids_density(c, 2.7, WATER) for c in contents]
    assert degrees.tolist() == [
        saturation(d, c, 2.7, WATER) for d, c in zip(singly, contents, strict=True)
    ]


def test_what_physics_forbids_is_refused() -> None:
    with pytest.raises(ValueError, match="no dry soil"):
        water_content(30.0, 130.0, 30.0)
    with pytest.raises(ValueError, match="added mass"):
        water_content(30.0, 120.0, 130.0)
    with pytest.raises(ValueError, match="below zero"):
        dry_density(2000.0, -0.1)
    with pytest.raises(ValueError, match="own solids"):
        void_ratio(2800.0, 2.7, WATER)
    with pytest.raises(ValueError, match="volume"):
        wet_density(2.0, 0.0)
    with pytest.raises(ValueError, match="mass of a specimen is above zero"):
        wet_density(0.0, 0.001)


def test_one_bad_member_refuses_an_array() -> None:
    with pytest.raises(ValueError, match="below zero"):
        dry_density(np.array([2000.0, 2000.0]), np.array([8.0, -1.0]))
