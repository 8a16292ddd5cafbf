"""Finding a method, its edition and its variant, and what it then asks for."""

import pytest

from buildsite.standards import reading
from buildsite.standards.cells import UNCHECKED, cell_from
from buildsite.standards.method import Method
from buildsite.standards.tables import (
    designations,
    find,
    nearest,
    standard,
    unknown,
    variants,
)


def row(designation: str, method: str, variant: str = "none", ed: str = "") -> Method:
    found = find(designation, method, variant, ed)
    assert found is not None
    return found


# ASTM D1557-12(2021), clauses 1.3.1 to 1.3.3; ASTM D698-07e1, the same clauses;
# AASHTO T 99-17 and T 180-21, clauses 1.1 and 1.3. AASHTO's layers and blows: from
# memory. Columns: mold, sieve, layers, blows, most oversize [%].
PUBLISHED = [
    ("ASTM D698", "A", "4 in", "No. 4", 3, 25, 25),
    ("ASTM D698", "B", "4 in", "3/8 in", 3, 25, 25),
    ("ASTM D698", "C", "6 in", "3/4 in", 3, 56, 30),
    ("ASTM D1557", "A", "4 in", "No. 4", 5, 25, 25),
    ("ASTM D1557", "B", "4 in", "3/8 in", 5, 25, 25),
    ("ASTM D1557", "C", "6 in", "3/4 in", 5, 56, 30),
    ("AASHTO T 99", "A", "4 in", "No. 4", 3, 25, 40),
    ("AASHTO T 99", "B", "6 in", "No. 4", 3, 56, 40),
    ("AASHTO T 99", "C", "4 in", "3/4 in", 3, 25, 30),
    ("AASHTO T 99", "D", "6 in", "3/4 in", 3, 56, 30),
    ("AASHTO T 180", "A", "4 in", "No. 4", 5, 25, 40),
    ("AASHTO T 180", "B", "6 in", "No. 4", 5, 56, 40),
    ("AASHTO T 180", "C", "4 in", "3/4 in", 5, 25, 30),
    ("AASHTO T 180", "D", "6 in", "3/4 in", 5, 56, 30),
]


@pytest.mark.parametrize(
    ("designation", "method", "mold", "sieve", "layers", "blows", "limit"), PUBLISHED
)
def test_the_matrix_of_methods(
    designation: str,
    method: str,
    mold: str,
    sieve: str,
    layers: int,
    blows: int,
    limit: int,
) -> None:
    found = row(designation, method)

    assert (found.mold, found.sieve, found.layers) == (mold, sieve, layers)
    assert (found.blows_per_layer, found.oversize_limit_percent) == (blows, limit)
    assert found.oversize_sieve == found.sieve


@pytest.mark.parametrize(
    "spelling",
    ["AASHTO T 180", "AASHTO T180", "aashto t-180", "T 180", " AASHTO  T 180"],
)
def test_a_designation_may_be_spelled_loosely(spelling: str) -> None:
    assert row(spelling, "A").designation == "AASHTO T 180"


def test_a_name_without_rows_is_answered_with_the_nearest() -> None:
    assert find("AASHTO T 1800", "A") is None
    assert nearest("AASTHO T 180") == "AASHTO T 180"
    assert unknown("ASTM D689", "A") == ("designation", "ASTM D698")
    assert unknown("ASTM D698", "D") == ("method", "A, B, C")
    assert unknown("AASHTO T 99", "A", "WSDOT 2042") == ("variant", "WSDOT 2024")
    assert unknown("AASHTO T 99", "A", "WSDOT 2024") is None


def test_only_the_file_that_is_asked_for_is_parsed() -> None:
    for cached in (reading.read, find, standard):
        cached.cache_clear()

    designations()
    assert reading.read.cache_info().misses == 0
    for _ in range(1000):
        row("ASTM D698", "A")

    assert reading.read.cache_info().misses == 1


def test_a_variant_is_laid_over_a_standard() -> None:
    # WSDOT M 46-01.44 (January 2024), errata to FOP T 99: 30 % on the No. 4 sieve.
    washington = row("AASHTO T 180", "A", "WSDOT 2024")

    assert washington.oversize_limit_percent == 30
    assert washington.cell("oversize_limit").source == "WSDOT M 46-01.44"
    assert washington.layers == row("AASHTO T 180", "A").layers
    assert row("AASHTO T 180", "A").oversize_limit_percent == 40


def test_an_agency_may_refuse_a_method() -> None:
    # NDDOT T 99/T 180 (2011) allows Methods A and D alone.
    assert [m for m in "ABCD" if find("AASHTO T 99", m, "NDDOT 2011")] == ["A", "D"]
    assert "NDDOT 2011" in variants("AASHTO T 99")
    assert "NDDOT 2011" not in variants("AASHTO T 99", "B")
    assert variants("ASTM D698") == ()


def test_an_old_edition_keeps_its_own_limits() -> None:
    # ASTM D698-00ae1, clauses 1.3.1.5 and 1.3.2.5: 20 %; D698-07e1: 25 %.
    assert row("ASTM D698", "A", ed="00ae1").oversize_limit_percent == 20
    assert row("ASTM D698", "B", ed="00").oversize_limit_percent == 20
    assert row("ASTM D698", "A", ed="07e1").oversize_limit_percent == 25
    assert row("ASTM D698", "C", ed="00").oversize_limit_percent == 30


def test_an_old_edition_keeps_its_own_rounding() -> None:
    # From memory: T 99 reported whole pounds and whole percents before 2010.
    old = row("AASHTO T 99", "A", ed="97")

    assert old.report("maximum_dry_density", "lb/ft3").step == "1"
    assert old.report("optimum_water_content", "%").places == 0
    assert row("AASHTO T 99", "A").report("maximum_dry_density", "lb/ft3").places == 1


def test_editions_follow_one_another() -> None:
    d698 = standard("ASTM D698")
    assert d698 is not None

    newest = d698.is_superseded("07e1")
    in_2013 = d698.is_superseded("D698-07e1", year=2013)

    assert newest is not None
    assert newest.edition == "12(2021)"
    assert in_2013 is not None
    assert in_2013.edition == "12"
    assert d698.is_superseded("07e1", year=2011) is None
    assert d698.is_superseded("12 (2021)") is None
    assert d698.is_superseded("31") is None  # newer than we are: no error


@pytest.mark.parametrize("designation", designations())
def test_every_edition_leads_to_the_newest(designation: str) -> None:
    known = standard(designation)
    assert known is not None
    newest = known.editions[-1]

    for edition in known.editions[:-1]:
        assert known.is_superseded(edition.edition) == newest
    years = [edition.year for edition in known.editions]
    assert years == sorted(years)


def test_points_are_counted_by_one_standard_and_ended_by_the_other() -> None:
    astm, aashto = row("ASTM D698", "A"), row("AASHTO T 99", "A")

    assert (astm.least_points, astm.least_points_each_side) == (4, 2)
    assert not astm.stop_when_wet_mass_falls
    assert aashto.least_points_each_side is None
    assert aashto.stop_when_wet_mass_falls
    assert aashto.greatest_step_percent == 2.5
    assert aashto.greatest_step_heavy_clay_percent == 4
    assert (astm.may_reuse_soil, aashto.may_reuse_soil) == ("no", "unless fragile")


@pytest.mark.parametrize(
    ("soil", "hours"),
    # ASTM D698, table 2 (from memory); a dual symbol is among "all others".
    [("SW", 0), ("SM", 3), ("CL", 16), ("SP-SM", 16), ("CH", 16)],
)
def test_wetted_soil_stands_by_its_class(soil: str, hours: float) -> None:
    assert row("ASTM D698", "A").standing_hours(soil) == hours


def test_a_standard_may_ask_for_no_standing() -> None:
    aashto = row("AASHTO T 180", "D")

    assert aashto.standing_hours("CL") is None
    assert aashto.standing_hours("CH") == 12


def test_readings_are_judged_in_the_unit_they_are_in() -> None:
    astm, aashto = row("ASTM D698", "C"), row("AASHTO T 99", "D")

    assert astm.resolution("resolution_compacted", "g") == 1
    assert astm.resolution("resolution_compacted", "kg") == 0.001
    assert astm.resolution("resolution_compacted", "lb") == pytest.approx(
        1 / 453.59237, abs=5e-5
    )
    assert aashto.resolution("resolution_compacted", "lb") == 0.01
    assert astm.resolution("resolution_moisture", "g") == 0.1


def test_drying_and_weighing() -> None:
    # AASHTO T 99-15, clause 3.5: 110 ± 5 °C.
    aashto, astm = row("AASHTO T 99", "A"), row("ASTM D698", "A")

    assert (aashto.oven_low_c, aashto.oven_high_c) == (105, 115)
    assert aashto.weighed_with == ("mold",)
    assert astm.weighed_with == ("mold", "mold and base plate")
    assert row("AASHTO T 99", "D").moisture_specimen_least_kg == 0.5


def test_the_standards_own_words() -> None:
    assert row("AASHTO T 99", "A").word("optimum_water_content") == (
        "optimum moisture content"
    )
    assert row("ASTM D1557", "A").word("optimum_water_content") == (
        "modified optimum water content"
    )
    assert row("BS 1377-4", "3.3").word("mold") == "mould"
    assert row("ASTM D698", "A").word("void_ratio") == "void ratio"


def test_a_step_need_not_be_a_power_of_ten_nor_a_step() -> None:
    unit_weight = row("ASTM D698", "A").report("maximum_dry_density", "kN/m3")
    optimum = row("BS 1377-4", "3.3").report("optimum_water_content", "%")

    assert (unit_weight.step, unit_weight.places) == ("0.02", 2)
    assert (optimum.step, optimum.figures) == ("", 2)


def test_a_question_the_rows_do_not_answer_is_an_error_that_helps() -> None:
    method = row("ASTM D698", "A")

    with pytest.raises(LookupError, match="nearest: layers"):
        method.cell("layer")
    with pytest.raises(LookupError, match="no rounding for porosity"):
        method.report("porosity", "%")


def test_a_method_is_chosen_when_none_is_named() -> None:
    # AASHTO T 99-17, clause 1.2; ASTM D698-07e1, clause 1.3.
    chosen = {}
    for designation in designations():
        known = standard(designation)
        assert known is not None
        chosen[designation] = known.method_when_none_named.value

    assert chosen["AASHTO T 99"] == "A"
    assert chosen["ASTM D698"] == "by gradation"


def test_gradation_limits_name_the_samples_fields() -> None:
    [(field, most, cell)] = row("ASTM D698", "B").gradation_limits

    assert (field, most) == ("retained_3_8_in", 25)
    assert cell.basis == "ASTM D698-07e1, clause 1.3.2.5"


@pytest.mark.parametrize(
    ("name", "basis"),
    [
        ("sieve", "ASTM D698-07e1, clause 1.3.1.2"),
        ("least_points", f"ASTM D698 ({UNCHECKED})"),
        ("standing_other", f"ASTM D698, table 2 ({UNCHECKED})"),
        ("mold_volume_agreement", f"ASTM D698, annex A1 ({UNCHECKED})"),
        ("effort_nominal", "ASTM D698-12(2021), clause 1.1"),
    ],
)
def test_a_basis_says_how_sure_it_is(name: str, basis: str) -> None:
    assert row("ASTM D698", "A").cell(name).basis == basis


def test_precision_is_by_soil_where_the_standard_has_it() -> None:
    clay = row("ASTM D698", "A").for_soil("reproducibility_density", "CL")
    any_soil = row("AASHTO T 99", "A").for_soil("repeatability_density", "CL")

    assert clay is not None
    assert clay.value == "2.3"
    assert any_soil is not None
    assert any_soil.si == 35


def test_a_key_that_stands_twice_is_refused() -> None:
    with pytest.raises(ValueError, match="'layers' is repeated"):
        reading.parse("layers: 3\nlayers: 5\n")


def test_a_cell_must_be_words() -> None:
    with pytest.raises(TypeError, match="source"):
        cell_from("layers", {"value": "3", "source": ["ASTM D698"]})
