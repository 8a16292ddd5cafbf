"""Curves of several tests on one figure: which go together, where they stand."""

from dataclasses import replace

import pytest

from buildsite.kinds.laboratory.soil_curves import (
    MOST_FIGURES,
    MOST_ON_ONE,
    NamedCurve,
    soil_blocks,
    split,
)
from buildsite.kinds.sheet import DrawnCurve, Plot, Table, packed_line

POUND_PER_CUBIC_FOOT = 16.01846337
"""1 lb/ft³ in kg/m³: NIST Special Publication 811 (2008), appendix B.8."""


def curve(number: int, made: str = "AASHTO T 99 A", unit: str = "kg/m3") -> NamedCurve:
    """A parabola about an optimum of its own, from two below it to two above."""
    optimum, top = 8 + number / 4, 2000 - 10 * number
    way = [(optimum + i / 5, top - 6 * (i / 5) ** 2) for i in range(-10, 11)]
    drawn = DrawnCurve(
        unit=unit,
        line=packed_line(way),
        peak=(optimum, top),
        governing=(optimum, top),
        maximum=str(top),
        optimum=f"{optimum:.1f}",
        specific_gravity=2.7,
        water_density=998.2,
    )
    return NamedCurve(f"T-{number}", f"T-{number} r0", made, drawn)


def plots(curves: list[NamedCurve]) -> list[Plot]:
    return [one for one in soil_blocks(curves) if isinstance(one, Plot)]


def tables(curves: list[NamedCurve]) -> list[Table]:
    return [one for one in soil_blocks(curves) if isinstance(one, Table)]


@pytest.mark.parametrize("count", [0, 1])
def test_one_curve_has_its_figure_on_its_own_page(count: int) -> None:
    assert list(soil_blocks([curve(i) for i in range(count)])) == []


@pytest.mark.parametrize("count", [2, MOST_ON_ONE])
def test_a_dozen_curves_stand_on_one_figure(count: int) -> None:
    (plot,) = plots([curve(i) for i in range(count)])

    assert len(plot.several) == count
    assert plot.title == "Compaction curves: AASHTO T 99 A"


def test_more_are_split_by_method_small_groups_together() -> None:
    many = [curve(i) for i in range(10)]
    many += [curve(10 + i, "AASHTO T 180 A") for i in range(3)]
    many += [curve(20 + i, "ASTM D698 B") for i in range(2)]

    found = list(split(many))

    assert [(words, len(group)) for words, group in found] == [
        ("AASHTO T 99 A", 10),
        ("AASHTO T 180 A and ASTM D698 B", 5),
    ]


def test_a_large_group_is_split_in_equal_parts_by_its_optimum() -> None:
    found = list(split([curve(i) for i in range(26)]))

    assert [len(group) for _, group in found] == [8, 9, 9]
    # 8 + 7/4, 8 + 8/4 and so on, to one place.
    assert found[0][0] == "AASHTO T 99 A, optimum 8.0 to 9.8 %"
    assert found[1][0] == "AASHTO T 99 A, optimum 10.0 to 12.0 %"


def test_every_curve_of_a_split_is_drawn_once() -> None:
    many = [curve(i, f"M {i % 5}") for i in range(40)]

    drawn = [name for plot in plots(many) for name, _ in plot.several]

    assert sorted(drawn) == sorted(one.id for one in many)


def test_beyond_four_dozen_the_page_says_that_the_latest_are_drawn() -> None:
    limit = MOST_ON_ONE * MOST_FIGURES
    many = [curve(i) for i in range(limit + 2)]  # the latest first

    drawn = {name for plot in plots(many) for name, _ in plot.several}

    assert drawn == {f"T-{i}" for i in range(limit)}
    note = f"The {limit} latest of {limit + 2} curves are drawn."
    assert next(table.note for table in tables(many)) == note


def test_a_row_has_the_number_of_its_curve() -> None:
    some = [curve(3), curve(1), curve(2)]
    (plot,), (table,) = plots(some), tables(some)

    for row in table.rows:
        name, _ = plot.several[row.point - 1]
        assert row.cells[0].to == ("test", name)
    assert [name for name, _ in plot.several] == ["T-1", "T-2", "T-3"]


def test_units_are_those_of_most_and_others_are_converted() -> None:
    some = [curve(1, unit="lb/ft3"), curve(2, unit="lb/ft3"), curve(3)]

    (plot,) = plots(some)

    peaks = sorted(dot.y for dot in plot.dots if dot.kind == "peak")
    expected = [top / POUND_PER_CUBIC_FOOT for top in (1970, 1980, 1990)]
    assert plot.y.unit == "lb/ft³"
    assert peaks == pytest.approx(expected)
    assert "converted" in plot.caption


def test_a_corrected_pair_is_marked_beside_the_peak() -> None:
    whole = (7.5, 2090.0)
    stony = curve(0)
    stony = replace(stony, curve=replace(stony.curve, governing=whole))

    (plot,) = plots([stony, curve(1)])

    (mark,) = (dot for dot in plot.dots if dot.kind == "governing")
    assert (mark.x, mark.y) == pytest.approx(whole)
    assert plot.x.low <= 7.5
    assert plot.y.high >= 2090
    assert "corrected for oversize" in plot.caption


def test_the_lightest_zero_air_voids_is_drawn_and_said_to_be_the_lowest() -> None:
    light = curve(1)
    light = replace(light, curve=replace(light.curve, specific_gravity=2.62))

    (plot,) = plots([light, curve(2)])

    (line,) = (line for line in plot.lines if line.kind == "air-voids")
    # 998.2 / (1 / 2.62 + w / 100): phase relations at full saturation.
    for water, dry in zip(line.x, line.y, strict=True):
        assert dry == pytest.approx(998.2 / (1 / 2.62 + water / 100))
    assert line.label == "zero air voids, Gs 2.62, the lowest"
