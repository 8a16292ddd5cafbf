"""The volumes of a mold over time, as a figure."""

import pytest

from buildsite.kinds.sheet import Plot
from tests.kinds.making import made


def figure(*calibrations: str) -> Plot:
    text = "kind: mold\nid: T-1\nnominal: 4 in\ncalibrations:\n"
    lines = "".join(f"  - {{{one}}}\n" for one in calibrations)
    (plot,) = [b for b in made(text + lines).sheet().blocks if isinstance(b, Plot)]
    return plot


def test_volumes_over_time_are_a_step_from_one_calibration_to_the_next() -> None:
    plot = figure("on: 2025-01-01, volume: 945", "on: 2024-01-01, volume: 943")

    assert plot.lines[0].x == (2024.0, 2025.0, 2025.0, plot.x.high)
    assert plot.lines[0].y == (943.0, 943.0, 945.0, 945.0)
    assert plot.x.low <= 2024.0
    assert plot.x.high > 2025.0
    assert plot.y.low < 943.0
    assert plot.y.high > 945.0
    assert "943.0 cm³ from 2024-01-01; 945.0 cm³ from 2025-01-01" in plot.alt


def test_what_was_found_wrong_since_a_day_is_in_force_from_that_day() -> None:
    plot = figure(
        "on: 2024-01-01, volume: 943",
        "on: 2026-01-01, volume: 950, state: as found, wrong_since: 2025-01-01",
        "on: 2026-01-01, volume: 944, state: as left",
    )

    assert plot.lines[0].x == (2024.0, 2025.0, 2025.0, 2026.0, 2026.0, plot.x.high)
    assert plot.lines[0].y == (943.0, 943.0, 950.0, 950.0, 944.0, 944.0)


def test_each_way_of_measuring_has_its_own_mark() -> None:
    # 942.3 g of water at 20 °C: 943.993 cm³ (CRC Handbook: 0.998207 g/cm³); a diameter
    # of 101.6 mm over 116.4 mm: π / 4 × 101.6² × 116.4 = 943.695 cm³.
    plot = figure(
        "on: 2026-07-02, water: {empty_with_plates: 3110.2, full_with_plates: 4052.5, "
        "temperature_c: 20}, dimensions: {diameters: [101.6, 101.6], heights: [116.4]}"
    )

    assert [(dot.kind, round(dot.y, 1)) for dot in plot.dots] == [
        ("point", 944.0),
        ("second", 943.7),
    ]


@pytest.mark.parametrize("volumes", [("943", "943"), ("1", "9999999"), ("943", "944")])
@pytest.mark.parametrize(
    "days", [("2026-12-31", "2026-12-31"), ("1926-01-01", "2026-12-31")]
)
def test_axes_have_few_round_ticks_whatever_was_written(
    volumes: tuple[str, str], days: tuple[str, str]
) -> None:
    plot = figure(
        *(f"on: {d}, volume: {v}" for d, v in zip(days, volumes, strict=True))
    )

    for axis in (plot.x, plot.y):
        assert 1 <= (axis.high - axis.low) / axis.step <= 12
    assert all(plot.x.low <= x <= plot.x.high for x in plot.lines[0].x)
    assert all(plot.y.low <= y <= plot.y.high for y in plot.lines[0].y)


def test_a_mold_without_a_volume_has_no_figure() -> None:
    sheet = made("kind: mold\nid: T-1\nnominal: 4 in\n").sheet()

    assert not [block for block in sheet.blocks if isinstance(block, Plot)]
