"""Figures of field tests: the window of acceptance, limits, order and stations."""

import pytest

from buildsite.kinds.field_control.curve_figure import curve_figure, window_of
from buildsite.kinds.field_control.percent_figure import by_date, by_station, station
from buildsite.kinds.sheet import Line, Plot
from buildsite.record.units import to_si
from tests.pages.field.fills import field_one, told


def lines(plot: Plot | None, kind: str) -> list[Line]:
    assert plot is not None
    return [line for line in plot.lines if line.kind == kind]


def test_the_window_is_that_of_the_target_as_printed() -> None:
    """95 % of 108.0 lb/ft³ is 102.6 lb/ft³; 17.7 − 2 and + 2 are 15.7 and 19.7 %."""
    window = window_of(field_one("F1"))
    assert window is not None

    assert window.least == pytest.approx(102.6 * 16.018463)  # NIST SP 811, B.8
    assert window.driest == pytest.approx(15.7)
    assert window.wettest == pytest.approx(19.7)


def test_a_window_in_percent_of_the_optimum() -> None:
    """−20 to +20 % of an optimum of 10 % is 8 to 12 %."""
    from dataclasses import replace

    test = replace(field_one("F1"), optimum=10.0)
    bounds = tuple(
        replace(one, limit=one.limit.replace("2", "20"), unit="% of optimum")
        if one.name == "water_content"
        else one
        for one in test.criteria
    )
    window = window_of(replace(test, criteria=bounds))
    assert window is not None

    assert window.driest == pytest.approx(8.0)
    assert window.wettest == pytest.approx(12.0)


def test_the_window_ends_at_zero_air_voids() -> None:
    """At 19.7 % with Gs 2.71, ρ = 2.71 · 998.2 / (1 + 0.197 · 2.71) = 1763.6 kg/m³."""
    curve = {
        "density_unit": "kg/m3",
        "line": [[14.0, 1600.0], [17.7, 1730.0], [21.0, 1680.0]],
        "specific_gravity": 2.71,
        "water_density": 998.2,
    }
    axes = ("Moisture content", "Dry unit weight")
    plot = curve_figure("HF-0117 r2", {"curve": curve}, [field_one("F1")], axes)
    assert plot is not None
    assert (plot.x.label, plot.y.label) == axes
    (window,) = lines(plot, "window")

    top = max(
        y for x, y in zip(window.x, window.y, strict=True) if abs(x - 19.7) < 1e-9
    )
    assert top == pytest.approx(1763.6, abs=0.1)
    assert window.x[0] == window.x[-1]
    assert window.y[0] == window.y[-1]
    assert min(window.y) == pytest.approx(102.6 * 16.018463)


def test_a_test_without_a_value_is_in_no_figure() -> None:
    bare = told(point=None)
    bare = {**bare, "results": {}}
    from tests.pages.field.fills import one

    test = one("F1", bare)

    assert curve_figure("HF-0117", {}, [test]) is None  # type: ignore[list-item]
    assert by_date("", [test], [], 5) is None  # type: ignore[list-item]


def test_limits_and_moving_mean_by_date() -> None:
    tests = [field_one(f"F{n}", percent=95.0 + n) for n in range(4)]
    plot = by_date("embankment", tests, [(2, 96.0), (3, 97.0)], 3)

    (limit,), (mean,) = lines(plot, "limit"), lines(plot, "curve")
    assert limit.y == (95.0, 95.0)
    assert (mean.x, mean.y) == ((3.0, 4.0), (96.0, 97.0))
    assert "last 3 first tests" in plot.caption if plot else False


def test_failing_tests_are_named() -> None:
    tests = [field_one("F1", verdict="fail", percent=93.0), field_one("F2")]
    plot = by_date("", tests, [], 5)
    assert plot is not None

    assert [(dot.kind, dot.label) for dot in plot.dots] == [
        ("failed", "F1"),
        ("point", ""),
    ]
    assert plot.alt.endswith("failing: F1.")


def test_stations_are_lengths() -> None:
    tests = [
        field_one(f"F{n}", position={"station": text})
        for n, text in enumerate(("2+50", "18+00"))
    ]
    plot = by_station("", tests)
    assert plot is not None

    assert [dot.x for dot in plot.dots] == [250.0, 1800.0]
    assert plot.x.plus == 2
    assert by_station("", tests[:1]) is None


@pytest.mark.parametrize(
    ("text", "length"),
    [("0+00", 0.0), ("12+40.5", 1240.5), ("1+240", 1240.0), ("350", 350.0)],
)
def test_a_station_counts_its_digits(text: str, length: float) -> None:
    """Full stations are 100 ft or 1 km, by the digits after the plus."""
    assert station(text) == length


def test_units_agree() -> None:
    from decimal import Decimal

    assert to_si(Decimal(1), "lb/ft3") == pytest.approx(16.018463)
