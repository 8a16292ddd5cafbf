"""The rows of field density and one point, against the publications' own figures."""

from decimal import Decimal

import pytest

from buildsite.kinds.sieves import by_size
from buildsite.standards.method import Method
from buildsite.standards.tables import designations, find

FIELD = designations("field-density")
SAND_CONES = ("AASHTO T 191", "ASTM D1556")
GAUGES = ("AASHTO T 310", "ASTM D6938")


def method(designation: str, name: str = "none") -> Method:
    found = find(designation, name)
    assert found is not None
    return found


def test_every_apparatus_has_a_standard() -> None:
    served = {method(one).cell("apparatus").value for one in FIELD}

    assert served == {"sand-cone", "drive-cylinder", "nuclear-gauge", "balloon"}


@pytest.mark.parametrize("designation", FIELD)
def test_a_field_method_answers_what_every_field_test_asks(designation: str) -> None:
    row = method(designation)

    for unit in ("kg/m3", "Mg/m3", "g/cm3", "lb/ft3", "lbf/ft3", "kN/m3"):
        assert Decimal(row.report("dry_density", unit).step) > 0
    for quantity in ("water_content", "water_content_deviation", "percent_compaction"):
        assert row.report(quantity, "%").step == "0.1"
    assert (row.oven_low_c, row.oven_high_c) == (105, 115)
    assert by_size(row, "specimen_at_least", "No. 4") is not None
    assert row.cell("calibration_interval").si == 12
    assert row.default_density_unit == "lb/ft3"


@pytest.mark.parametrize(
    ("designation", "millimetres"),
    [
        # AASHTO T 191-14, clause 1.1: 50 mm (2 in.).
        ("AASHTO T 191", 50),
        # ASTM D1556-00 and -15e1, clause 1.2: 1 1/2 in. (38 mm).
        ("ASTM D1556", 38),
        # ASTM D2167-94, clause 1.4: 1 1/2 in. (37.5 mm).
        ("ASTM D2167", 37.5),
        # ASTM D2937-04, clause 1.2: gravel is coarser than 4.75 mm.
        ("ASTM D2937", 4.75),
    ],
)
def test_the_largest_particle_of_a_method(designation: str, millimetres: float) -> None:
    cell = method(designation).cell("largest_particle")

    assert cell.si * 1000 == pytest.approx(millimetres)
    assert cell.status == "read"


@pytest.mark.parametrize("designation", SAND_CONES)
@pytest.mark.parametrize(
    ("size", "cm3"),
    # Table of T 191 and D1556 (from memory): 0.025, 0.050, 0.075 and 0.100 ft3.
    [("No. 4", 710), ("1/2 in", 1420), ("3/4 in", 2120), ("2 in", 2830)],
)
def test_the_least_hole_by_largest_particle(
    designation: str, size: str, cm3: int
) -> None:
    cell = by_size(method(designation), "hole_volume_at_least", size)

    assert cell is not None
    assert cell.si * 1e6 == pytest.approx(cm3)
    assert cell.status == "from memory"


def test_a_particle_larger_than_the_table_has_no_hole() -> None:
    assert by_size(method("ASTM D2167"), "hole_volume_at_least", "2 in") is None


def test_the_moisture_specimen_of_the_sand_cone() -> None:
    # T 191 (from memory): 100, 250, 500 and 1000 g; D1556 by table 1 of D2216.
    sizes = ("No. 4", "1/2 in", "1 in", "2 in")
    cells = [by_size(method("AASHTO T 191"), "specimen_at_least", s) for s in sizes]

    assert [cell.value for cell in cells if cell] == ["100", "250", "500", "1000"]


@pytest.mark.parametrize("designation", SAND_CONES)
def test_the_sand(designation: str) -> None:
    # T 191-14, clause 3.3: 1 %, 2.00 mm. D1556: 1 % of the mean, at most 14 days.
    row = method(designation)

    assert row.cell("sand_determinations_within").printed.value == "1"
    assert row.cell("sand_determinations_within").status == "read"
    assert row.cell("sand_sieve_coarse").si == pytest.approx(0.002)
    assert str(row.cell("sand_interval")) == "14 days"


@pytest.mark.parametrize("designation", GAUGES)
def test_the_gauge(designation: str) -> None:
    # Rod to 300 mm (12 in.): D6938-10 and T 310-22, clause 1.2. Counts of density
    # within 1 %, of water within 2 % of the mean of four (from memory).
    row = method(designation)

    assert str(row.cell("rod_deepest")) == "300 mm (12 in.)"
    assert row.cell("rod_deepest").status == "read"
    assert row.cell("counts_mean_of").si == 4
    assert row.cell("density_count_within").si == 1
    assert row.cell("water_count_within").si == 2
    assert row.cell("trench_distance").si == pytest.approx(0.6)


@pytest.mark.parametrize("designation", FIELD)
def test_no_correction_holds_above_the_limits(designation: str) -> None:
    # ASTM D4718-15, scope: 40 % on No. 4, 30 % on 3/4 in.
    row = method(designation)
    limits = [by_size(row, "oversize_limit", s) for s in ("No. 4", "3/4 in")]

    assert [cell.si for cell in limits if cell] == [40, 30]


@pytest.mark.parametrize("name", "ABCD")
def test_the_range_of_one_point(name: str) -> None:
    # WAQTC FOP for AASHTO T 272 (October 2004), note 1: 80 to 100 percent of optimum.
    # AASHTO R 75-16, clause 4.2: at least three curves.
    row = method("AASHTO T 272", name)

    assert row.cell("percent_of_optimum_least").si == 80
    assert row.cell("percent_of_optimum_most").si == 100
    assert row.cell("members_at_least").si == 3
    assert row.cell("members_at_least").basis == "AASHTO R 75-16, clause 4.2"
    for effort in row.cell("methods_as").choices:
        assert find(effort, name) is not None
