"""points.csv: read back by Python's csv reader, and safe to open in a spreadsheet."""

import csv
from io import StringIO

import pytest

from buildsite.exports.points_csv import csv_cell, points_csv
from buildsite.kinds.sheet import Cell, Column, Row, Table
from tests.archives import changed, sound
from tests.pages.builds import made

HEAD = (
    "point,water_added_ml,mold_and_wet_soil_lb,container,water_content_percent,"
    "wet_density_lb_ft3,dry_density_lb_ft3,saturation_percent,air_voids_percent,rejected,"
    "term"
)
TEST, CSV = "marsh-lane/tests/ML-101.yaml", "tests/ML-101/points.csv"


def points(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(data.decode(), newline="")))


def table(*texts: str, number: bool = False) -> Table:
    column = Column("Container", number=number, key="container")
    return Table("points", "Points", (column,), tuple(Row((Cell(t),)) for t in texts))


def test_the_header_names_units() -> None:
    data = made(sound())[CSV]

    assert data.splitlines()[0].decode() == HEAD
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
    assert rows[1]["container"] == "08"


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
    assert list(points(points_csv(table("a")))[0]) == ["container", "rejected"]


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

    rows = points(points_csv(table(*texts)))

    assert [row["container"] for row in rows] == texts


def test_nothing_is_an_empty_cell() -> None:
    assert points(points_csv(table("—")))[0]["container"] == ""
