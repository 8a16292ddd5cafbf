"""The report of a compaction test, as blocks in reading order."""

from collections.abc import Iterator

from buildsite.kinds.reporting import result_text
from buildsite.kinds.sheet import Cell, Row, Sheet, Table
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.links import asks_uncertainty
from buildsite.kinds.tests.moisture_density.reference import PEAK, governing
from buildsite.kinds.tests.moisture_density.sheet import (
    curve,
    facts,
    figure,
    points,
)
from buildsite.kinds.tests.moisture_density.sheet.results import result_tables
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
    """Yield what was assumed of the oversize, and that the project chose otherwise."""
    if corrected.assumed:
        yield f"Assumed for the oversize: {', '.join(corrected.assumed)}."
    if field_reference(case) == UNCORRECTED:
        yield (
            "Field tests are compared with the uncorrected result, as the project "
            "specifies."
        )


def results_tables(case: Test) -> list[Table]:
    """Return the results, or why there are none."""
    remarks = [uncertainty_statement(case)]
    if case.values.corrected is not None:
        remarks += whole_soil_notes(case, case.values.corrected)
    without = Row((Cell("No peak reported"), Cell(no_result_reason(case))), mark="none")
    note = " ".join(filter(None, remarks))
    return result_tables(case, governing(case), without, case.method, note)


def result_blocks(case: Test, found: Spread | None) -> list[Block]:
    """Return results and figure; neither for a withdrawn test."""
    if case.record.status == "withdrawn":
        return []
    table, *others = results_tables(case)
    peak = [result_text(case.results[name]) for name in PEAK if name in case.results]
    density, optimum = peak or ("", "")
    return [
        table,
        target_note(case),
        *others,
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
