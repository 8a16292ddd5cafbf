"""From an SI value to the text of a report."""

import pytest

from buildsite.kinds.kind import Result
from buildsite.kinds.reporting import (
    density_result,
    fitting_unit,
    percent_result,
    point_density,
    result_text,
    result_word,
    to_places,
)
from buildsite.standards.tables import designations, find, standard

# 121.4 lb/ft³ × 16.01846337 = 1944.6414 kg/m³; × 9.80665 / 1000 = 19.07042 kN/m³.
DENSITY = 1944.6414


@pytest.mark.parametrize(
    ("designation", "unit", "reported"),
    [
        # to the step of each standard's row: ASTM D698-00, 12.1.5 for lbf/ft3, 0.02
        # for kN/m3 (from memory); AASHTO T 99: 1 kg/m3, 0.1 lb/ft3 (from memory)
        ("ASTM D698", "lbf/ft3", "121.4 lbf/ft3"),
        ("ASTM D698", "kN/m3", "19.08 kN/m3"),
        ("AASHTO T 99", "kg/m3", "1945 kg/m3"),
        ("AASHTO T 99", "lb/ft3", "121.4 lb/ft3"),
        ("AASHTO T 99", "Mg/m3", "1.945 Mg/m3"),
    ],
)
def test_a_density_is_reported_to_the_methods_step(
    designation: str, unit: str, reported: str
) -> None:
    method = find(designation, "A")

    result = density_result("maximum_dry_density", DENSITY, method, unit)

    assert result == Result(DENSITY, "kg/m3", reported)


def test_without_a_row_a_density_has_four_figures_and_a_percent_three() -> None:
    assert density_result("maximum_dry_density", DENSITY, None, "kg/m3").reported == (
        "1945 kg/m3"
    )
    assert percent_result("optimum_water_content", 12.345, None).reported == "12.3 %"


def test_a_percent_keeps_its_zero() -> None:
    method = find("AASHTO T 99", "A")

    assert percent_result("optimum_water_content", 12.0, method).reported == "12.0 %"


@pytest.mark.parametrize(
    ("reported", "shown"),
    [
        ("121.4 lb/ft3", "121.4 lb/ft³"),
        ("1.945 Mg/m3", "1.945 Mg/m³"),
        ("12.3 %", "12.3 %"),
        ("943.6 cm3", "943.6 cm³"),
        ("2.69", "2.69"),
    ],
)
def test_a_result_is_printed_with_the_unit_as_on_paper(
    reported: str, shown: str
) -> None:
    assert result_text(Result(0.0, "", reported)) == shown


@pytest.mark.parametrize(
    ("unit", "shown"),
    [
        ("kg/m3", "1945"),
        ("Mg/m3", "1.945"),
        ("lb/ft3", "121.4"),
        ("lbf/ft3", "121.4"),
        ("kN/m3", "19.07"),
    ],
)
def test_a_points_density_in_each_unit(unit: str, shown: str) -> None:
    assert point_density(DENSITY, unit) == shown


def test_what_is_not_there_is_a_dash() -> None:
    assert point_density(None, "kg/m3") == "—"
    assert to_places(None, 1) == "—"


def methods() -> list[tuple[str, str]]:
    found = []
    for designation in designations("compaction"):
        known = standard(designation)
        assert known is not None
        if known.test != "compaction":
            continue
        found += [(designation, method) for method in known.methods]
    return found


@pytest.mark.parametrize("unit", ["kg/m3", "Mg/m3", "lb/ft3", "lbf/ft3", "kN/m3"])
@pytest.mark.parametrize(("designation", "name"), methods())
def test_every_method_reports_every_result_in_every_unit(
    designation: str, name: str, unit: str
) -> None:
    method = find(designation, name)

    for lead in ("", "corrected_"):
        density = density_result(f"{lead}maximum_dry_density", DENSITY, method, unit)
        water = percent_result(f"{lead}optimum_water_content", 12.3, method)
        assert density.reported.endswith(f" {unit}")
        assert water.reported.endswith(" %")


@pytest.mark.parametrize(
    ("designation", "unit", "called"),
    [
        # ASTM D698-00, 12.1.5: a unit weight, a force per volume; in a unit of mass
        # the same result is a density, and is called one. Pounds are written for both.
        ("ASTM D698", "lbf/ft3", "standard maximum dry unit weight"),
        ("ASTM D698", "lb/ft3", "standard maximum dry unit weight"),
        ("ASTM D698", "kN/m3", "standard maximum dry unit weight"),
        ("ASTM D698", "kg/m3", "standard maximum dry density"),
        ("ASTM D698", "Mg/m3", "standard maximum dry density"),
        ("AASHTO T 99", "lb/ft3", "maximum dry density"),
        ("AASHTO T 99", "kN/m3", "maximum dry density"),
    ],
)
def test_a_result_is_called_what_its_unit_measures(
    designation: str, unit: str, called: str
) -> None:
    assert result_word(find(designation, "A"), "maximum_dry_density", unit) == called


def test_pounds_are_of_force_where_the_standard_speaks_of_weight() -> None:
    weight, density = find("ASTM D1557", "A"), find("AASHTO T 180", "A")

    assert fitting_unit("lb/ft3", weight) == "lbf/ft3"
    assert fitting_unit("lb/ft3", density) == "lb/ft3"
    assert fitting_unit("lb/ft3", None) == "lb/ft3"
    assert fitting_unit("kg/m3", weight) == "kg/m3"
