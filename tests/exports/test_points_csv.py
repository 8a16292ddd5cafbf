"""points.csv: read back by Python's csv reader, and safe to open in a spreadsheet."""

import csv
from io import StringIO

import pytest

from buildsite.exports.csv_text import csv_cell, csv_label
from buildsite.exports.points_csv import points_csv
from buildsite.kinds.sheet import Cell, Column, Row, Table
from tests.archives import changed, sound
from tests.pages.builds import made

HEAD = (
    "test,revision,point,water_added_ml,mold_and_wet_soil_lb,container,water_content_percent,"
    "wet_density_lb_ft3,dry_density_lb_ft3,saturation_percent,air_voids_percent,rejected,"
    "term"
)
TEST, CSV = "marsh-lane/tests/ML-101.yaml", "tests/ML-101/points.csv"


def points(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(data.decode("utf-8-sig"), newline="")))


def table(*texts: str, key: str = "container") -> Table:
    column = Column("Container", key=key)
    return Table("points", "Points", (column,), tuple(Row((Cell(t),)) for t in texts))


def test_the_header_names_units() -> None:
    data = made(sound())[CSV]

    assert data.splitlines()[0].decode("utf-8-sig") == HEAD
    assert b"\r" not in data


def test_readings_stand_as_they_were_written() -> None:
    rows = points(made(sound())[CSV])

    assert [row["mold_and_wet_soil_lb"] for row in rows] == [
        "8.32",
        "8.49",
        "8.64",
        "8.66",
        "8.61",
    ]
    assert rows[1]["container"] == "no. 08"
    assert {(row["test"], row["revision"]) for row in rows} == {("ML-101", "")}


def test_water_contents_follow_from_the_container_masses() -> None:
    rows = points(made(sound())[CSV])

    # By hand from the masses of the record: (162.79 - 147.04) / (147.04 - 31.42).
    assert float(rows[0]["water_content_percent"]) == pytest.approx(
        100 * 15.75 / 115.62, abs=0.05
    )


def test_a_rejected_point_says_so() -> None:
    out = "rejected: {by: E02, reason: collar came loose}"
    files = changed({TEST: [["147.04}", f"147.04, {out}}}"]]})

    rows = points(made(files)[CSV])

    assert [row["rejected"] for row in rows] == ["yes", "no", "no", "no", "no"]


@pytest.mark.parametrize(
    ("standard", "term"),
    [
        # Terms of the standards' own rows, as `words` of standards/*.yaml has them.
        ("AASHTO T 99", "moisture content; wet density; dry density"),
        ("ASTM D698", "water content; moist unit weight; dry unit weight"),
    ],
)
def test_the_last_column_gives_the_terms_of_the_standard(
    standard: str, term: str
) -> None:
    rows = points(made(changed({TEST: [["AASHTO T 99", standard]]}))[CSV])

    assert {row["term"] for row in rows} == {term}


def test_a_table_without_a_term_has_no_such_column() -> None:
    assert list(points(points_csv(table("a"), "T-1"))[0]) == [
        "test",
        "revision",
        "container",
        "rejected",
    ]


@pytest.mark.parametrize(
    "text", ["=1+2", "+1 a", "-a", "@x", "\t=1", "\r=1", "=HYPERLINK()"]
)
def test_a_text_that_a_spreadsheet_would_compute_is_quoted(text: str) -> None:
    assert csv_cell(text) == "'" + text


@pytest.mark.parametrize("text", ["-1.50", "0", "12.3", "-4"])
def test_a_number_is_never_quoted(text: str) -> None:
    assert csv_cell(text) == text


def test_commas_quotes_and_line_ends_come_back() -> None:
    texts = ["a, b", 'a "b"', "a\nb", "é"]

    rows = points(points_csv(table(*texts, key="about"), "T-1"))

    assert [row["about"] for row in rows] == texts


def test_nothing_is_an_empty_cell() -> None:
    assert points(points_csv(table("—"), "T-1"))[0]["container"] == ""


@pytest.mark.parametrize("text", ["008", "21", "1E3", "3-4", "A7", "=1"])
def test_a_container_is_text_in_every_row(text: str) -> None:
    (row,) = points(points_csv(table(text), "T-1"))

    assert row["container"] == f"no. {text}"


@pytest.mark.parametrize(
    # Seen to change in a spreadsheet: leading zeros, exponents, times, percents, and
    # names that became dates (Ziemann, Eren, El-Osta, Gene name errors are widespread
    # in the scientific literature, Genome Biology 17:177, 2016: SEPT2, MARCH1).
    "text",
    ["008", "1E3", "2310009E13", "1.10", "3-4", "1/2", "12:30", "5%", "MARCH1",
     "SEPT2", "MAR-1", "1-DEC", "TRUE", "false", "1,000", "12345678901234567"],
)  # fmt: skip
def test_a_label_that_a_spreadsheet_would_alter_is_led_by_a_word(text: str) -> None:
    assert csv_label(text) == f"no. {text}"


@pytest.mark.parametrize(
    "text", ["HF-0117", "7", "0", "12+40 left", "B", "Mayfield", "March lane 3", "2E"]
)
def test_other_labels_stand_as_they_are(text: str) -> None:
    assert csv_label(text) == text


def test_an_issued_test_names_its_revision() -> None:
    (row,) = points(points_csv(table("21"), "1E3", "2"))

    assert (row["test"], row["revision"]) == ("no. 1E3", "2")


@pytest.mark.parametrize("formula", ["=2+3", "+cmd|x", "@SUM(A1)", "-2+3"])
@pytest.mark.parametrize("between", [";", '; "', "\t", "\n"])
def test_no_formula_begins_within_a_text(formula: str, between: str) -> None:
    # In many countries a spreadsheet's cells end at a semicolon, whatever the quotes:
    # OWASP, CSV Injection, asks for the separators to be minded, too.
    found = csv_cell(f"clay{between}{formula}")

    assert found == f"clay{between}'{formula}"
    assert csv_cell("clay; silt") == "clay; silt"
