"""
Maximum and optimum on a report: the pair that field tests are judged by, and the other.

With oversize a test has two pairs. A reader needs one of them on the fill: it comes
first, under "For field control"; the other stands below it, small, named by its soil.
"""

from collections.abc import Iterator
from typing import Any

from buildsite.kinds.kind import Case
from buildsite.kinds.reporting import density_result, result_label, result_text
from buildsite.kinds.sheet import Cell, Column, Row, Table
from buildsite.kinds.tests.moisture_density.reference import CORRECTED, PEAK
from buildsite.standards.method import Method

OTHER_UNIT = {
    "kg/m3": "lb/ft3",
    "Mg/m3": "lb/ft3",
    "kN/m3": "lbf/ft3",
    "lb/ft3": "kg/m3",
    "lbf/ft3": "kN/m3",
}
"""The second unit of each reported unit."""

FOR_FIELD = "For field control"


def soil_of(pair: tuple[str, ...], method: Method | None) -> str:
    """Return the soil that a pair is of, where there are two."""
    if pair == CORRECTED:
        return "whole soil, corrected for oversize"
    sieve = method.oversize_sieve if method is not None else ""
    return f"fraction passing {sieve or 'the sieve of the method'}"


def pair_rows(case: Case[Any, Any], pair: tuple[str, ...]) -> Iterator[Row]:
    """Yield a pair: label, as reported, the density in the other unit too."""
    shown = case.values.density_unit
    for name in pair:
        one, other = case.results[name], ""
        if name.endswith("density"):
            made = density_result(name, one.value, case.method, OTHER_UNIT[shown])
            other = result_text(made)
        label = result_label(case.method, name, shown)
        cells = tuple(map(Cell, (label, result_text(one), other)))
        yield Row(cells, mark=name, step=name)


def pair_table(name: str, title: str, rows: Iterator[Row], note: str = "") -> Table:
    """Return the table of a pair."""
    role = "results" if name == "results" else "lesser"
    columns = tuple(map(Column, ("Result", "Reported", "In other units")))
    return Table(name, title, columns, tuple(rows), role, headed="row", note=note)


def result_tables(
    case: Case[Any, Any],
    judged_by: tuple[str, ...],
    without: Row,
    method: Method | None,
    note: str = "",
) -> list[Table]:
    """
    Return the results: the pair `judged_by` first; `without` stands where none is.

    `method` is the one by whose sieve the soil was divided.
    """
    if not judged_by:
        columns = (Column("Result"), Column("Reported"))
        rows = (without,)
        return [Table("results", "Results", columns, rows, "results", "row", note)]
    other = PEAK if judged_by == CORRECTED else CORRECTED
    if other[0] not in case.results:
        return [pair_table("results", "Results", pair_rows(case, judged_by), note)]
    title = f"{FOR_FIELD}: {soil_of(judged_by, method)}"
    beside = soil_of(other, method)
    return [
        pair_table("results", title, pair_rows(case, judged_by), note),
        pair_table(
            "other-results", f"{beside[:1].upper()}{beside[1:]}", pair_rows(case, other)
        ),
    ]
