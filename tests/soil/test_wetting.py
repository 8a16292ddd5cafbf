"""Water into soil: by the published example, and there and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.soil.phase import water_to_add
from buildsite.soil.wetting import dry_mass, water_content_after


def test_ten_millilitres_raise_a_kilogram_of_dry_soil_by_one_point() -> None:
    # 10 g over 1000 g is 1 %: the definition of water content.
    assert water_content_after(1.0, 0.0, 0.010) == pytest.approx(1.0)


def test_the_published_example_comes_back() -> None:
    # Unattributed teaching exercise, university sheet on the modified Proctor test
    # (published/b08-water-to-add.yaml): 4.545 kg of dry soil take 90 g, by the source,
    # which cuts its digits, to rise by 2 %. 90.9 g do.
    assert water_content_after(4.545, 0.0, 0.0909) == pytest.approx(2.0, abs=0.005)


@given(st.floats(0.1, 20), st.floats(0, 50), st.floats(0, 50))
def test_the_water_that_is_needed_is_the_water_that_does_it(
    moist: float, before: float, wanted: float
) -> None:
    water = water_to_add(moist, before, wanted)

    assert water_content_after(moist, before, water) == pytest.approx(wanted, abs=1e-9)
    # The solids stay.
    assert dry_mass(moist + water, wanted) == pytest.approx(dry_mass(moist, before))


def test_a_water_content_below_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="below zero"):
        dry_mass(1.0, -1.0)
