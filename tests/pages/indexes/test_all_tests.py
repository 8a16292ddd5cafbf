"""The list of all tests: what is asked for most stands first."""

from dataclasses import replace

from buildsite.kinds.field_control.results import DayPaper, FieldTest, Told
from buildsite.pages.indexes.all_tests import looked_for_first
from buildsite.pages.rows import Row


def row(id: str, *, governing: tuple[str, ...] = (), told: Told | None = None) -> Row:
    """A test of one day."""
    file = f"records/zz/tests/{id}.yaml"
    made = Row(file, id, True, "x", "Assay", "complete", "zz", told=told)
    return replace(made, governing=governing)


def test_references_come_first_and_papers_last() -> None:
    rows = [
        row("P-1", told=DayPaper("P-1", "2026-06-01", "T01", ())),
        row("F-2", told=FieldTest("F-2", "zz", "", "", "")),
        row("W-3"),
        row("C-4", governing=("maximum", "optimum")),
        row("C-5", governing=("maximum", "optimum")),
    ]

    assert [one.id for one in looked_for_first(rows)] == [
        *("C-4", "C-5"),
        *("F-2", "W-3"),
        "P-1",
    ]
