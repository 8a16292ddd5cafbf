"""The report of a compaction test, as blocks in reading order."""

from collections.abc import Iterator

from buildsite.kinds.reporting import density_result, result_label, result_text
from buildsite.kinds.sheet import Cell, Column, Row, Sheet, Table
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.links import asks_uncertainty
from buildsite.kinds.tests.moisture_density.sheet import (
    curve,
    facts,
    figure,
    points,
)
from buildsite.kinds.tests.moisture_density.targets import target_note
from buildsite.kinds.tests.moisture_density.whole_soil import (
    UNCORRECTED,
    Corrected,
    field_reference,
)
from buildsite.kinds.tests.moisture_density.wording import CAUTIONS, all_spelled
from buildsite.kinds.tests.shared.report import Block, report
from buildsite.record.flags import Flag
from buildsite.soil.curves.spread import Spread

OTHER_UNIT = {
    "kg/m3": "lb/ft3",
    "Mg/m3": "lb/ft3",
    "kN/m3": "lbf/ft3",
    "lb/ft3": "kg/m3",
    "lbf/ft3": "kN/m3",
}
"""The second unit of each reported unit."""


def result_rows(case: Test, lead: str) -> list[Row]:
    """Return the rows of the two results: label, as reported, in the other unit."""
    density, optimum = f"{lead}maximum_dry_density", f"{lead}optimum_water_content"
    value, other = case.results[density].value, OTHER_UNIT[case.values.density_unit]
    in_other = result_text(density_result(density, value, case.method, other))
    return [
        Row(
            (
                Cell(result_label(case.method, name, case.values.density_unit)),
                Cell(result_text(case.results[name])),
                Cell(in_other if name == density else ""),
            ),
            mark=name,
        )
        for name in (density, optimum)
    ]


def no_result_reason(case: Test) -> str:
    """Return why there is no result, as a sentence."""
    _, words = case.values.no_peak or ("", "")
    return f"{words[:1].upper()}{words[1:]}."


def uncertainty_statement(case: Test) -> str:
    """Return the statement of uncertainty, where required."""
    if not asks_uncertainty(case.record, case.inputs):
        return ""
    from buildsite.kinds.tests.moisture_density.uncertainty.report import statement

    return statement(case)


def whole_soil_notes(case: Test, corrected: Corrected) -> Iterator[str]:
    """Yield what was assumed of the oversize, and the reference for field tests."""
    if corrected.assumed:
        yield f"Assumed for the oversize: {', '.join(corrected.assumed)}."
    sieve = case.method.oversize_sieve if case.method is not None else "method's"
    if field_reference(case) == UNCORRECTED:
        yield (
            "Field tests are compared with the uncorrected result, which applies to "
            f"soil passing the {sieve} sieve, as the project specifies."
        )
    else:
        yield (
            "Field tests of the whole soil are compared with the corrected result. The "
            f"uncorrected result applies to soil passing the {sieve} sieve."
        )


def results_table(case: Test) -> Table:
    """Return the results, or why there are none."""
    rows: list[Row] = []
    if case.values.no_peak is None:
        rows += result_rows(case, "")
    else:
        rows.append(
            Row((Cell("No peak reported"), Cell(no_result_reason(case))), mark="none")
        )
    remarks = [uncertainty_statement(case)]
    if case.values.corrected is not None:
        rows += result_rows(case, "corrected_")
        remarks += whole_soil_notes(case, case.values.corrected)
    labels = ("Result", "Reported", "In other units")
    columns = tuple(map(Column, labels[: len(rows[0].cells)]))
    return Table(
        "results",
        "Results",
        columns,
        tuple(rows),
        role="results",
        headed="row",
        note=" ".join(filter(None, remarks)),
    )


def result_blocks(case: Test, found: Spread | None) -> list[Block]:
    """Return results and figure; neither for a withdrawn test."""
    if case.record.status == "withdrawn":
        return []
    table = results_table(case)
    peak = [row.cells[1].text for row in table.rows[:2]]
    density, optimum = peak if len(peak) > 1 else ("", "")
    return [
        table,
        target_note(case),
        figure.figure(case, density, optimum, curve.spread_sentence(case, found)),
    ]


def sheet(case: Test, flags: tuple[Flag, ...]) -> Sheet:
    """Return the report, in reading order."""
    found = case.values.spread
    withdrawn = case.record.status == "withdrawn"
    return report(
        case,
        flags,
        title="Moisture-density test",
        results=result_blocks(case, found),
        lines=[points.point_table(case)],
        method=facts.method_rows(case),
        hazards="rammer, oven, dust and lifting",
        cautions=all_spelled(CAUTIONS, case.method),
        equipment=facts.mold_rows(case),
        from_customer=facts.from_customer(case),
        after_flags=[None if withdrawn else curve.form_table(case, found)],
        after_rejected=[curve.drawn_peak_note(case)],
    )
