"""The results of a field density: the verdict and what it judged, then the others."""

from buildsite.kinds.sheet import Cell, Column, Row, Table
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.sheet.facts import label_of, verdict_words
from buildsite.kinds.tests.shared import report as blocks

JUDGED = ("percent_compaction", "water_content_deviation")
"""Results that requirements are stated in; a required density is among the criteria."""

WORDS = {"pass": "Pass", "fail": "Fail"}

COLUMNS = (Column("Result"), Column("Reported"), Column("In words"))


def verdict_row(case: Test) -> Row:
    """Return the verdict in a word, large, and as a sentence has it."""
    verdict = case.values.verdict.verdict
    word = WORDS.get(verdict, "None")
    stated = verdict_words(case) if verdict in WORDS else ""
    cells = (Cell("Verdict"), Cell(word), Cell(stated))
    return Row(cells, mark=verdict, step="verdict")


def wide(row: Row) -> Row:
    """Return a row with a cell for every column."""
    return Row((*row.cells, Cell("")), row.mark, step=row.step)


def results_tables(case: Test) -> list[Table]:
    """Return the results; none of a withdrawn test."""
    if case.record.status == "withdrawn":
        return []
    if not case.results:
        return [blocks.result_table(case, "readings are missing")]
    judged = [name for name in JUDGED if name in case.results]
    measured = [name for name in case.results if name not in JUDGED]
    rows = (verdict_row(case), *map(wide, blocks.result_rows(case, judged, label_of)))
    beside = blocks.result_rows(case, measured, label_of)
    return [
        Table("results", "Results", COLUMNS, rows, "results", headed="row"),
        Table("measured", "As measured", COLUMNS[:2], beside, "lesser", headed="row"),
    ]
