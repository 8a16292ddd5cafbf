"""What the script is told of a figure: curves and points in the units shown."""

import json

import pytest

from buildsite.kinds.laboratory.soil_curves import NamedCurve
from buildsite.kinds.sheet import Axis, Dot, DrawnCurve, Plot, packed_line
from buildsite.pages.figure.read_off import figure_data
from buildsite.pages.figure.scripts import MOST_OFFERED, curves_file

POUND_PER_CUBIC_FOOT = 16.01846337
"""1 lb/ft³ in kg/m³: NIST Special Publication 811 (2008), appendix B.8."""

CURVE = DrawnCurve(
    unit="lb/ft3",
    line=packed_line([(10.0, 1850.0), (12.0, 1900.0), (14.0, 1860.0)]),
    peak=(12.0, 1900.0),
    governing=(11.0, 1950.0),
    maximum="121.7",
    optimum="11.0",
    specific_gravity=2.7,
    water_density=998.2,
)
PLOT = Plot(
    "curve",
    "Compaction curve",
    Axis("Water content", "%", 8, 16, 1, 0),
    Axis("Dry density", "lb/ft³", 110, 125, 5, 0),
    (),
    (Dot("point", 10.0, 115.5, 1), Dot("peak", 12.0, 118.6)),
    "A curve.",
    curve=CURVE,
)


def test_the_curve_is_told_in_the_unit_of_the_figure() -> None:
    told = dict(figure_data(PLOT))
    (curve,) = json.loads(told["curves"])

    assert curve["si"] == pytest.approx(1 / POUND_PER_CUBIC_FOOT)
    # To six digits.
    top = pytest.approx([12, 1900 / POUND_PER_CUBIC_FOOT], rel=5e-6)
    assert curve["line"][1] == top
    assert curve["peak"] == top
    assert curve["water"] == pytest.approx(998.2 / POUND_PER_CUBIC_FOOT, rel=5e-6)
    assert (curve["maximum"], curve["gravity"]) == ("121.7", 2.7)
    assert curve["of"] == "maximum for field control"  # it is not the curve's peak
    assert json.loads(told["points"]) == [[1, 10.0, 115.5]]
    assert (told["x0"], told["x1"], told["y0"], told["y1"]) == ("8", "16", "110", "125")


def test_the_curves_of_a_soil_are_in_si_the_latest_first() -> None:
    latest = NamedCurve("T-2", "T-2 r1", "ASTM D698 A", CURVE)

    path, data = curves_file(("soil", "cl"), [latest])

    told = json.loads(data.decode().removeprefix("figureCurves(").removesuffix(");\n"))
    assert path == "soils/CL/curves.js"
    assert told["of"] == "soil class cl"
    (test,) = told["tests"]
    assert test["line"] == [[10.0, 1850.0], [12.0, 1900.0], [14.0, 1860.0]]
    assert (test["peak"], test["whole"]) == ([12.0, 1900.0], [11.0, 1950.0])
    assert (test["name"], test["pair"]) == ("T-2 r1", "121.7 lb/ft³ at 11.0 %")


def test_of_a_soil_with_very_many_the_latest_are_offered() -> None:
    many = [NamedCurve(f"T-{i}", "", "", CURVE) for i in range(MOST_OFFERED + 3)]

    _, data = curves_file(("soil", "CL"), many)

    told = json.loads(data.decode().removeprefix("figureCurves(").removesuffix(");\n"))
    assert len(told["tests"]) == MOST_OFFERED
    assert told["left"] == 3
    assert len(data) < 500_000
