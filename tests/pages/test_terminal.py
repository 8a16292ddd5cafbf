"""A sheet as plain text."""

import pytest

from buildsite.kinds.sheet import Cell, Column, Note, Row, Sheet, Table
from buildsite.pages.terminal import align_columns, sheet_text, table_lines
from tests.archives import sound
from tests.kinds.making import in_archive, made

POINTS = Table(
    "points",
    "Points",
    (Column("Point"), Column("Wet density", "kg/m³", number=True)),
    (
        Row((Cell("1"), Cell("1975")), point=1),
        Row((Cell("2"), Cell("—")), mark="rejected", point=2),
    ),
    role="points",
    note="Transcribed.",
)


def test_words_stand_left_and_numbers_right() -> None:
    rows = [("one", "9.5", "a"), ("two two", "10.0", "")]

    assert list(align_columns(rows, [False, True, False])) == [
        "  one       9.5  a",
        "  two two  10.0",
    ]


def test_a_table_has_its_units_below_its_labels_and_says_what_was_rejected() -> None:
    assert list(table_lines(POINTS)) == [
        "Points",
        "  Point       Wet density",
        "                    kg/m³",
        "  1                  1975",
        "  2 rejected            —",
        "  Transcribed.",
    ]


@pytest.mark.parametrize("headed", ["row", "column"])
@pytest.mark.parametrize("role", ["points", "facts"])
def test_a_table_without_rows_is_no_trouble(headed: str, role: str) -> None:
    table = Table("t", "T", POINTS.columns, (), role=role, headed=headed)

    assert next(iter(table_lines(table))) == "T"
    assert list(table_lines(table))


def test_cautions_and_what_is_not_for_a_terminal_are_left_to_the_page() -> None:
    sheet = Sheet(
        "Title",
        "Subtitle",
        (
            POINTS,
            Table(
                "e", "Equipment", (Column("x"),), (Row((Cell("M-1"),)),), role="more"
            ),
            Note("r", "Remarks", ("Said.",)),
            Note("c", "Cautions", ("Hot.",), role="caution"),
        ),
    )

    text = sheet_text(sheet, ())

    assert text.startswith("Title\nSubtitle\n\nPoints\n")
    assert "Remarks\n  Said." in text
    assert "M-1" not in text
    assert "Hot." not in text
    assert "Flags" not in text


def test_flags_are_written_with_their_place() -> None:
    outcome = in_archive("points: []\n")

    text = sheet_text(outcome.sheet(), outcome.flags)

    assert outcome.flags
    for flag in outcome.flags:
        assert f"{flag.file}:{flag.line}:{flag.column}: {flag.severity}" in text


@pytest.mark.parametrize("name", sorted(sound()))
def test_every_kind_is_shown_without_a_blank_at_a_lines_end(name: str) -> None:
    outcome = made(sound()[name].decode())

    lines = sheet_text(outcome.sheet(), ()).splitlines()

    assert lines[0] == outcome.sheet().title
    assert all(line == line.rstrip() for line in lines)
