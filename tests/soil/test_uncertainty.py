"""The law of propagation, against an independent library of uncertain numbers."""

from math import sqrt

import GTC  # type: ignore[import-untyped]  # it has no stubs
import pytest

from buildsite.soil.uncertainty import (
    Quantity,
    combined,
    expanded,
    of_resolution,
    rectangular,
    sensitivities,
)

# Wet density of a mold's soil and its dry density: masses [kg], volume [m³], water [%].
INPUTS = [
    Quantity(3.854, 0.0006),
    Quantity(2.001, 0.0006),
    Quantity(943.6e-6, 1.2e-6),
    Quantity(12.3, 0.2),
]


def test_a_dry_density_is_as_uncertain_as_an_independent_library_says() -> None:
    # GTC (Measurement Standards Laboratory of New Zealand): exact derivatives.
    full, empty, volume, water = (GTC.ureal(*one) for one in INPUTS)
    dry = (full - empty) / volume / (1 + water / 100)

    def model(x: list[float]) -> tuple[float]:
        return ((x[0] - x[1]) / x[2] / (1 + x[3] / 100),)

    slopes = sensitivities(model, INPUTS)  # type: ignore[arg-type]  # a list will do
    own = combined(
        slope * one.standard for (slope,), one in zip(slopes, INPUTS, strict=True)
    )

    assert own == pytest.approx(GTC.uncertainty(dry), rel=1e-4)
    for (slope,), uncertain in zip(slopes, (full, empty, volume, water), strict=True):
        part = abs(GTC.component(dry, uncertain))
        assert abs(slope) * uncertain.u == pytest.approx(part, rel=1e-3)


def test_an_input_without_uncertainty_moves_nothing() -> None:
    assert sensitivities(lambda x: (x[0], 2.0), [Quantity(1.0, 0.0)]) == ((0.0, 0.0),)


def test_standard_uncertainties_of_limits_and_of_digits() -> None:
    # JCGM 100:2008, 4.3.7: a/√3; F.2.2.1: 0.29 of the step.
    assert rectangular(1.0) == pytest.approx(1 / sqrt(3))
    assert of_resolution(1.0) == pytest.approx(0.29, abs=0.005)
    assert expanded(0.25) == 0.5
