"""British, European and Australian methods: rows alone make a test of theirs."""

from dataclasses import fields

import pytest

from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.sieves import GRADATION, same_sieve
from buildsite.soil.effort import compactive_effort
from buildsite.standards.method import Method
from buildsite.standards.tables import designations, find, standard
from tests.kinds.making import SAMPLE, in_archive, made, text_of, values

# BS 1377-4:1990, contents: 3.3 and 3.4 with the 2.5 kg rammer, 3.5 and 3.6 with that of
# 4.5 kg; form 4.A: one litre and CBR moulds. BS manual and textbook: 27 blows and 62.
# AS 1289.5.1.1:2017 and 5.2.1:2017, clause 1: moulds of 105 mm and 152 mm, 19 mm and
# 37.5 mm sieves. All of BS EN 13286-2, and what else is here: from memory.
# Columns: rammer [kg], drop [mm], layers, blows, diameter and height [mm], sieve.
PUBLISHED = [
    ("BS 1377-4", "3.3", 2.5, 300, 3, 27, 105, 115.5, "20 mm"),
    ("BS 1377-4", "3.4", 2.5, 300, 3, 62, 152, 127, "37.5 mm"),
    ("BS 1377-4", "3.5", 4.5, 450, 5, 27, 105, 115.5, "20 mm"),
    ("BS 1377-4", "3.6", 4.5, 450, 5, 62, 152, 127, "37.5 mm"),
    ("BS EN 13286-2", "standard A", 2.5, 305, 3, 25, 100, 120, "16 mm"),
    ("BS EN 13286-2", "standard B", 2.5, 305, 3, 56, 150, 120, "31.5 mm"),
    ("BS EN 13286-2", "modified A", 4.5, 457, 5, 25, 100, 120, "16 mm"),
    ("BS EN 13286-2", "modified B", 4.5, 457, 5, 56, 150, 120, "31.5 mm"),
    ("AS 1289.5.1.1", "A", 2.7, 300, 3, 25, 105, 115.5, "19 mm"),
    ("AS 1289.5.1.1", "B", 2.7, 300, 3, 60, 152, 132.5, "37.5 mm"),
    ("AS 1289.5.2.1", "A", 4.9, 450, 5, 25, 105, 115.5, "19 mm"),
    ("AS 1289.5.2.1", "B", 4.9, 450, 5, 60, 152, 132.5, "37.5 mm"),
]
EACH = pytest.mark.parametrize(("designation", "name"), [row[:2] for row in PUBLISHED])


def row(designation: str, name: str) -> Method:
    found = find(designation, name)
    assert found is not None
    return found


@pytest.mark.parametrize("published", PUBLISHED, ids=lambda row: " ".join(row[:2]))
def test_the_matrix_of_methods(published: tuple[object, ...]) -> None:
    method = row(str(published[0]), str(published[1]))

    assert (
        method.designation,
        method.name,
        method.rammer_mass_kg,
        round(method.drop_m * 1000, 6),
        method.layers,
        method.blows_per_layer,
        round(method.mold_diameter_m * 1000, 6),
        round(method.mold_height_m * 1000, 6),
        method.oversize_sieve,
    ) == published


@pytest.mark.parametrize(
    ("designation", "name", "printed", "within"),
    [
        # AS 1289.5.1.1:2017 and AS 1289.5.2.1:2017, clause 1: 596 and 2703 kJ/m³.
        ("AS 1289.5.1.1", "A", 596, 0.5),
        ("AS 1289.5.1.1", "B", 596, 0.5),
        ("AS 1289.5.2.1", "A", 2703, 0.5),
        ("AS 1289.5.2.1", "B", 2703, 0.5),
        # BS EN 13286-2: 0.6 and 2.7 MJ/m³ (from memory), half a printed digit.
        ("BS EN 13286-2", "standard A", 600, 50),
        ("BS EN 13286-2", "standard B", 600, 50),
        ("BS EN 13286-2", "modified A", 2700, 50),
        ("BS EN 13286-2", "modified B", 2700, 50),
    ],
)
def test_the_effort_of_a_row_is_what_its_standard_prints(
    designation: str, name: str, printed: float, within: float
) -> None:
    one = row(designation, name)

    effort = compactive_effort(
        one.rammer_mass_kg,
        one.drop_m,
        one.blows_per_layer,
        one.layers,
        one.mold_volume_m3,
    )

    assert effort / 1000 == pytest.approx(printed, abs=within)


DRAWN = (
    "units: {density: Mg/m3}\n"
    "curve: {drawn: {maximum_dry_density: 1.974, optimum_water_content: 12.26}}\n"
    "points: []\n"
)


@pytest.mark.parametrize(
    ("designation", "name", "density", "optimum", "words"),
    [
        # 1.974 and 12.26 by hand: to 0.01 Mg/m³; two figures, 0.1 %, half a percent.
        ("BS 1377-4", "3.5", "1.97 Mg/m3", "12 %", "Optimum moisture content"),
        ("BS EN 13286-2", "modified B", "1.97 Mg/m3", "12.3 %",
         "Optimum water content"),
        ("AS 1289.5.2.1", "B", "1.97 Mg/m3", "12.5 %", "Optimum moisture content"),
    ],
)  # fmt: skip
def test_a_report_has_the_standards_words_units_and_rounding(
    designation: str, name: str, density: str, optimum: str, words: str
) -> None:
    used = f"standard: {{designation: {designation}, method: {name}}}\n"

    found = made(text_of(used + DRAWN))

    assert found.results["maximum_dry_density"].reported == density
    assert found.results["optimum_water_content"].reported == optimum
    table = found.sheet().table("results")
    assert table is not None
    assert [line.cells[0].text for line in table.rows] == ["Maximum dry density", words]


@EACH
def test_ten_percent_of_gravel_is_put_back(designation: str, name: str) -> None:
    # 1.974 Mg/m³ with 10 % of 2.73: 1 / (0.9 / 1.974 + 0.1 / 2.73) = 2.0302 Mg/m³.
    used = f"standard: {{designation: {designation}, method: {name}}}\n"
    coarse = "oversize: {percent_retained: 10, bulk_specific_gravity: 2.73}\n"

    found = values(used + DRAWN + coarse).corrected

    assert found is not None
    assert found.maximum_dry_density == pytest.approx(2030.2, abs=0.05)
    # Gravel taken dry: 0.9 × 12.26 = 11.034; else with the 2 % assumed: 11.234.
    dry = row(designation, name).oversize_correction == "gravel taken dry"
    wanted = 11.034 if dry else 11.234
    assert found.optimum_water_content == pytest.approx(wanted, abs=0.0005)


def test_every_limit_of_gradation_is_a_field_of_a_sample() -> None:
    known = {field.name for field in fields(SampleFacts)}
    asked = set()
    for designation in designations():
        whole = standard(designation)
        assert whole is not None
        for name in whole.methods:
            asked |= {field for field, _, _ in row(designation, name).gradation_limits}

    assert asked <= set(GRADATION) <= known


@EACH
def test_a_gradation_may_state_what_the_methods_sieve_held(
    designation: str, name: str
) -> None:
    method = row(designation, name)

    assert any(same_sieve(sieve, method.oversize_sieve) for sieve in GRADATION.values())


def test_too_much_gravel_asks_for_the_larger_mould() -> None:
    # BS 1377-4:1990, 3.2 (from memory): above 5 % on 20 mm the CBR mould.
    sample = SAMPLE + "gradation: {retained_37_5_mm: 0, retained_20_mm: 12}\n"
    test = "standard: {designation: BS 1377-4, method: '3.3'}\n" + DRAWN

    found = in_archive(test, {"records/p/samples/S-1.yaml": sample})

    [flag] = [f for f in found.flags if f.flag == "method-not-for-gradation"]
    assert flag.found == "Method 3.3, 12 % retained 20 mm in sample S-1"
    assert flag.mend == "use Method 3.4, 3.6 for this soil"
