"""What lists say of an issued test, whatever became of its records and the program."""

from dataclasses import replace
from datetime import date

import pytest

from buildsite.archive.issued_files import IssuedFiles, issued_state
from buildsite.kinds.field_control.results import FieldTest
from buildsite.kinds.sheet import Sheet
from buildsite.pages.result_columns import shared_terms
from buildsite.pages.rows import Row, result_title, row_of, row_of_issued
from buildsite.pages.tables import table_of_tests
from buildsite.standards.tables import find
from tests.archives import archive_of, changed, sound

FILE = "records/marsh-lane/tests/ML-101.yaml"
OTHER = {"results": {"maximum_dry_density": "150.0 lb/ft3"}}
"""What an older program computed of the same readings."""


@pytest.mark.parametrize("about", [{}, OTHER, {"kind": "withdrawal", "results": {}}])
def test_the_day_of_the_test_is_not_that_of_its_issue(about: dict[str, object]) -> None:
    archive = archive_of(changed({}, [{"test": "marsh-lane/tests/ML-101", **about}]))
    state = issued_state(archive, FILE, IssuedFiles())
    assert state is not None
    sheet = state.outcome.sheet() if state.outcome else Sheet("", "", ())

    row = row_of_issued(archive, state, sheet)

    assert row.issued_on == date(2026, 3, 13)
    assert row.day == date(2026, 3, 10)  # `compacted: {on: 2026-03-10, …}`
    assert row.sample
    assert row.standard


def test_a_row_names_the_results_that_field_tests_are_judged_by() -> None:
    """Of an issued test by the records as issued, also where no result was kept."""
    pair = ("maximum_dry_density", "optimum_water_content")
    archive = archive_of(changed({}, [{"test": "marsh-lane/tests/ML-101", **OTHER}]))
    made = archive.outcome(FILE)
    state = issued_state(archive, FILE, IssuedFiles())
    assert made is not None
    assert state is not None

    assert row_of(archive, made, made.sheet()).governing == pair
    assert row_of_issued(archive, state, Sheet("", "", ())).governing == pair


def test_a_day_that_cannot_be_had_is_left_open() -> None:
    files = changed(
        {
            "marsh-lane/tests/ML-101.yaml": [
                ["mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60"]
            ]
        },
        [{"test": "marsh-lane/tests/ML-101"}],
    )
    archive = archive_of(files)
    state = issued_state(archive, FILE, IssuedFiles())
    assert state is not None
    assert state.archive is None

    row = row_of_issued(archive, state, Sheet("", "", ()))

    assert row.day is None
    assert row.issued_on == date(2026, 3, 13)


def headings(*ids: str) -> list[str]:
    """Headings of the results in a list of these tests."""
    archive = archive_of(sound())
    rows = []
    for id in ids:
        made = archive.outcome(f"records/marsh-lane/tests/{id}.yaml")
        assert made is not None
        rows.append(row_of(archive, made, made.sheet()))
    labels = [one.label for one in table_of_tests("t", "T", rows).columns]
    return labels[labels.index("Method") + 1 : labels.index("Status")]


def test_a_list_names_results_by_the_term_that_its_tests_share() -> None:
    # ML-101 is by AASHTO T 99, ML-102 by ASTM D698: `words` of standards/*.yaml.
    assert headings("ML-101")[:2] == ["Maximum dry density", "Optimum moisture content"]
    # ML-102 alone has oversize, by which its pair for field control is corrected.
    assert headings("ML-102")[0] == "Corrected standard maximum dry unit weight"
    assert headings("ML-101", "ML-102")[:2] == [
        "Maximum dry density",
        "Optimum water content",
    ]


DRY, WATER = "maximum_dry_density", "optimum_water_content"


def common_headings(*standards: str, corrected: str) -> list[str]:
    """Headings of a list of tests by standards, the last with corrected results too."""
    tests = []
    for standard in standards:
        also = (f"corrected_{DRY}",) if standard == corrected else ()
        names, method = (DRY, WATER, *also), find(standard, "A")
        terms = tuple((name, result_title(name, method, "1 kN/m3")) for name in names)
        tests.append(Row(standard, standard, True, "", "", "", "", words=terms))
    found = shared_terms(tests, (DRY, WATER, f"corrected_{DRY}"))
    return list(found.values())


def test_a_list_is_in_one_way_of_naming() -> None:
    # Terms of standards/*.yaml: D698 standard, D1557 modified maximum dry unit weight.
    assert common_headings("ASTM D698", "ASTM D1557", corrected="ASTM D698") == [
        "Maximum dry unit weight",
        "Optimum water content",
        "Corrected maximum dry unit weight",
    ]
    # Of D698 and T 180, also what T 180 alone corrects is named neutrally.
    assert common_headings("ASTM D698", "AASHTO T 180", corrected="AASHTO T 180") == [
        "Maximum dry density",
        "Optimum water content",
        "Corrected maximum dry density",
    ]
    assert common_headings("AASHTO T 99", "AASHTO T 180", corrected="AASHTO T 99") == [
        "Maximum dry density",
        "Optimum moisture content",
        "Corrected maximum dry density",
    ]


def compaction(id: str, *results: str, governing: int = 0) -> Row:
    """A row of a test; `governing` is where the pair begins that the field needs."""
    names = (DRY, WATER, f"corrected_{DRY}", f"corrected_{WATER}")[: len(results)]
    return Row(
        file=f"records/p/tests/{id}.yaml",
        id=id,
        page=True,
        kind="a-kind",
        title="A test",
        status="complete",
        project="p",
        results=tuple(zip(names, results, strict=True)),
        words=tuple((name, result_title(name)) for name in names),
        governing=names[governing : governing + 2],
    )


def test_a_list_has_the_pair_that_field_tests_are_judged_by_in_its_main_columns() -> (
    None
):
    """And says where it was corrected; the other pair is left to the report."""
    tests = (
        compaction("A", "120.0 lb/ft³", "10.0 %"),
        compaction("B", "134.8 lb/ft³", "7.3 %", "137.7 lb/ft³", "6.6 %", governing=2),
        compaction("C", "134.8 lb/ft³", "7.3 %", "137.7 lb/ft³", "6.6 %"),
    )
    table = table_of_tests("tests", "Tests", tests)
    labels = [column.label for column in table.columns]
    first = labels.index("Maximum dry density")

    assert labels[first : first + 3] == [
        "Maximum dry density",
        "Optimum water content",
        "Correction",
    ]
    assert [
        [cell.text for cell in row.cells[first : first + 3]] for row in table.rows
    ] == [
        ["120.0", "10.0", "—"],
        ["137.7", "6.6", "corrected"],
        ["134.8", "7.3", "—"],
    ]
    assert "134.8" not in " ".join(cell.text for cell in table.rows[1].cells)


def test_a_list_of_field_tests_has_the_verdict_before_their_figures() -> None:
    told = FieldTest(id="F", project="p", zone="", lift="", place="", verdict="fail")
    row = replace(compaction("F", "102.0 lb/ft³"), governing=(), told=told)
    table = table_of_tests("tests", "Tests", [row])
    labels = [column.label for column in table.columns]

    at = labels.index("Verdict")
    assert labels[at + 1] == "Maximum dry density"
    assert table.rows[0].cells[at].text == "Fail"
