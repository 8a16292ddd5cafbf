"""The report of a one-point: the point on its family, and what it leads to."""

from collections.abc import Iterator

from buildsite.kinds.reporting import point_density
from buildsite.kinds.sheet import Cell, Row, Sheet, Table
from buildsite.kinds.tests.moisture_density.sheet.facts import mold_rows
from buildsite.kinds.tests.moisture_density.sheet.results import result_tables
from buildsite.kinds.tests.one_point.compute import Test
from buildsite.kinds.tests.one_point.sheet.facts import (
    curve_facts,
    method_rows,
    place_facts,
    point_table,
)
from buildsite.kinds.tests.one_point.sheet.figure import figure
from buildsite.kinds.tests.one_point.told import governing
from buildsite.kinds.tests.one_point.wording import CAUTIONS
from buildsite.kinds.tests.shared.report import Block, report
from buildsite.record.flags import Flag
from buildsite.record.units import unit
from buildsite.soil.curves.family import TYPICAL_DENSITY, TYPICAL_WATER


def sentence(text: str) -> str:
    """Return words as a sentence."""
    return f"{text[:1].upper()}{text[1:]}."


def results_tables(case: Test) -> list[Table]:
    """Return the results, or why there are none."""
    why = sentence(case.values.why)
    without = Row((Cell("No result"), Cell(why)), mark="none")
    corrected, parts = case.values.corrected, [why, *usual_error(case)]
    if corrected is not None and corrected.assumed:
        parts.append(f"Assumed for the oversize: {', '.join(corrected.assumed)}.")
    note = " ".join(parts) if case.results else ""
    return result_tables(case, governing(case), without, case.values.effort, note)


def usual_error(case: Test) -> Iterator[str]:
    """Yield how far off a one-point usually is, where it leads to a curve."""
    peak, name = case.values.maximum_dry_density, case.values.density_unit
    if peak is not None:
        off = point_density(peak * TYPICAL_DENSITY / 100, name)
        yield (
            f"For soil of the same source as the curves, one point finds the maximum "
            f"to about {off} {unit(name).shown} and the optimum to about "
            f"{TYPICAL_WATER} points (standard uncertainty)."
        )


def result_blocks(case: Test) -> list[Block]:
    """Return results and figure; neither for a withdrawn test."""
    if case.record.status == "withdrawn":
        return []
    return [*results_tables(case), figure(case)]


def sheet(case: Test, flags: tuple[Flag, ...]) -> Sheet:
    """Return the report, in reading order."""
    return report(
        case,
        flags,
        title="One-point",
        results=result_blocks(case),
        lines=[
            point_table(case),
            curve_facts(case),
            place_facts(case),
        ],
        method=method_rows(case),
        hazards="rammer, traffic and plant, dust and drying",
        cautions=CAUTIONS,
        equipment=mold_rows(case),  # type: ignore[arg-type]  # same fields of record
    )
