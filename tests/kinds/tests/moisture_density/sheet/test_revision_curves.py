"""Curves of two revisions on one figure: the standard's words, zero air voids."""

from typing import Any

import pytest

from buildsite.kinds.sheet import Line, Plot
from buildsite.kinds.tests.moisture_density.sheet.revision_curves import compare
from buildsite.standards.tables import find

KG = 16.01846337
"""1 lb/ft³ in kg/m³: 0.45359237 kg over (0.3048 m)³, NIST SP 811 (2008), B.8."""


def result(gravity: float | None, peak: float = 110.0) -> dict[str, Any]:
    """A kept result: five points in lb/ft³, a peak at 15 %."""
    ys = [peak - 4, peak - 1, peak, peak - 1.5, peak - 5]
    points = [
        {"water_content": 11.0 + 2 * i, "dry_density": y * KG, "rejected": False}
        for i, y in enumerate(ys)
    ]
    found = {
        "maximum_dry_density": {"value": peak * KG, "reported": f"{peak} lb/ft3"},
        "optimum_water_content": {"value": 15.0, "reported": "15.0 %"},
    }
    line = [[one["water_content"], one["dry_density"]] for one in points]
    curve = {
        "line": line,
        "density_unit": "lb/ft3",
        "specific_gravity": gravity,
        "water_density": 998.2,
    }
    return {"results": found, "points": points, "curve": curve}


def compared(*gravities: float | None, standard: str = "AASHTO T 99") -> Plot:
    kept = [(f"r{i}", result(one)) for i, one in enumerate(gravities)]
    plot = compare(kept, find(standard, "A", "none", "22"))
    assert plot is not None
    return plot


def voids(plot: Plot) -> list[Line]:
    return [line for line in plot.lines if line.kind == "air-voids"]


@pytest.mark.parametrize(
    ("standard", "words"),
    [
        ("AASHTO T 99", ("Moisture content", "Dry density")),
        ("ASTM D698", ("Water content", "Dry unit weight")),
    ],
)
def test_the_axes_say_what_the_standard_says(
    standard: str, words: tuple[str, str]
) -> None:
    plot = compared(2.7, 2.7, standard=standard)

    assert (plot.x.label, plot.y.label) == words


def test_a_line_of_zero_air_voids_stands_where_the_definition_puts_it() -> None:
    (line,) = voids(compared(2.7, 2.7))

    assert line.label == "zero air voids curve, Gs 2.70"
    for water, dry in zip(line.x, line.y, strict=True):
        # From the definitions: V = 1/(Gs ρw) + w/ρw for a unit mass of solids.
        volume = 1 / (2.7 * 998.2) + water / 100 / 998.2
        assert dry == pytest.approx(1 / volume / KG, rel=1e-6)


def test_two_specific_gravities_have_a_line_each() -> None:
    first, second = voids(compared(2.65, 2.7))

    assert first.label == "zero air voids curve, Gs 2.65 (r0)"
    assert second.label == "zero air voids curve, Gs 2.70 (r1)"


def test_without_a_specific_gravity_there_is_no_line() -> None:
    assert voids(compared(None, None)) == []
    (line,) = voids(compared(None, 2.7))
    assert line.label == "zero air voids curve, Gs 2.70"


def test_the_figure_in_words_has_units_as_on_paper() -> None:
    assert compared(2.7, 2.7).alt == (
        "r0: peak of 110.0 lb/ft³ at 15.0 %; r1: peak of 110.0 lb/ft³ at 15.0 %."
    )


def moves(plot: Plot) -> list[tuple[float, ...]]:
    return [(*line.x, *line.y) for line in plot.lines if line.kind == "move"]


def test_a_point_that_moved_has_an_arrow_from_where_it_was() -> None:
    before, after = result(2.7), result(2.7)
    before["id"] = after["id"] = "HF-1"
    after["points"][2] = {"water_content": 15.5, "dry_density": 111.0 * KG}

    plot = compare([("r0", before), ("r1", after)], None)

    assert plot is not None
    # Point 3 stood at 15 %, 110 lb/ft³: see `result`.
    assert moves(plot) == [pytest.approx((15.0, 15.5, 110.0, 111.0))]
    hollow = [(dot.x, dot.y) for dot in plot.dots if dot.kind == "point-before"]
    assert hollow == [pytest.approx((15.0, 110.0))]
    assert "hollow: where its points were" in plot.caption


def test_two_tests_have_no_arrows_between_their_points() -> None:
    one, other = result(2.7), result(2.7, peak=112.0)
    one["id"], other["id"] = "HF-1", "HF-2"

    plot = compare([("HF-1", one), ("HF-2", other)], None)

    assert plot is not None
    assert moves(plot) == []
    assert len([dot for dot in plot.dots if dot.kind == "point-before"]) == 5
    labels = [dot.label for dot in plot.dots if dot.label]
    assert labels == ["HF-2: 112.0 at 15.0 %", "HF-1: 110.0 at 15.0 %"]
