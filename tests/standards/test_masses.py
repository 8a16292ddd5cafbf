"""What the standards beside compaction ask of a specimen, a soak, a reported figure."""

import pytest

from buildsite.kinds.sieves import by_size
from buildsite.standards.method import Method
from buildsite.standards.tables import designations, find, standard, unknown


def row(designation: str, method: str = "none", edition: str = "") -> Method:
    found = find(designation, method, edition=edition)
    assert found is not None
    return found


# NDDOT T 265 (2011), table of its procedure: largest particle, grams.
T_265 = [("No. 40", 10), ("No. 4", 100), ("1/2 in", 300), ("1 in", 500), ("2 in", 1000)]
# ASTM D2216, table 1 (from memory): sieve that passes all, grams for 1 % and 0.1 %.
D_2216 = [
    ("2 mm", 20, 20),
    ("4.75 mm", 20, 100),
    ("9.5 mm", 50, 500),
    ("19 mm", 250, 2500),
    ("37.5 mm", 1000, 10000),
    ("75 mm", 5000, 50000),
]
# ASTM C127 (from memory; 2 kg at 1/2 in and 5 kg at 1 1/2 in read in a course on it):
# nominal maximum size, kg.
C_127 = [("1/2 in", 2), ("3/4 in", 3), ("1 in", 4), ("1 1/2 in", 5), ("2 in", 8)]


def least(method: Method, size: str) -> float:
    cell = by_size(method, "specimen_at_least", size)
    assert cell is not None
    return cell.si


@pytest.mark.parametrize(("size", "grams"), T_265)
def test_a_moisture_specimen_grows_with_its_stones(size: str, grams: int) -> None:
    assert least(row("AASHTO T 265"), size) == pytest.approx(grams / 1000)


@pytest.mark.parametrize(("size", "whole", "tenth"), D_2216)
def test_a_finer_report_asks_for_more_soil(size: str, whole: int, tenth: int) -> None:
    assert least(row("ASTM D2216", "A"), size) == pytest.approx(whole / 1000)
    assert least(row("ASTM D2216", "B"), size) == pytest.approx(tenth / 1000)


@pytest.mark.parametrize("designation", ["AASHTO T 85", "ASTM C127"])
@pytest.mark.parametrize(("size", "mass"), C_127)
def test_stones_for_specific_gravity(designation: str, size: str, mass: int) -> None:
    assert least(row(designation), size) == mass


def test_a_size_between_two_takes_the_next_one_up() -> None:
    assert least(row("AASHTO T 265"), "3/8 in") == pytest.approx(0.3)
    assert by_size(row("AASHTO T 265"), "specimen_at_least", "3 in") is None
    assert by_size(row("AASHTO T 265"), "specimen_at_least", "a boulder") is None


def test_each_method_reports_to_its_own_place() -> None:
    # ASTM D2216 (from memory): method A to 1 %, method B to 0.1 %.
    assert row("ASTM D2216", "A").report("water_content", "%").step == "1"
    assert row("ASTM D2216", "B").report("water_content", "%").step == "0.1"


def test_how_long_stones_soak() -> None:
    # AASHTO T 85-14, clause 1.1: 15 h to 19 h; T 85-10: 15 h. C127-15, 4.1: 24 ± 4 h.
    def hours(method: Method) -> tuple[float, float | None]:
        cell = method.cell("soak")
        return cell.si, cell.si_tolerance

    assert hours(row("AASHTO T 85")) == (17, 2)
    assert hours(row("AASHTO T 85", edition="10")) == (15, None)
    assert hours(row("ASTM C127")) == (24, 4)


@pytest.mark.parametrize("test", ["water-content", "coarse-fraction"])
def test_a_test_names_standards_of_its_own(test: str) -> None:
    for designation in designations(test):
        known = standard(designation)
        assert known is not None
        assert known.test == test
        assert unknown(designation, known.methods[0], test=test) is None
    of_compaction = unknown("AASHTO T 99", "A", test=test)

    assert of_compaction is not None
    assert of_compaction[0] == "designation"
