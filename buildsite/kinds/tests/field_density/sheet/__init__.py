"""The report of a field density: results first, then verdict and what it rests on."""

from buildsite.kinds.sheet import Sheet
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.sheet.facts import (
    place_table,
    reference_table,
    verdict_table,
    work_facts,
)
from buildsite.kinds.tests.field_density.sheet.readings import (
    apparatus_rows,
    container_table,
    gauge_table,
)
from buildsite.kinds.tests.field_density.sheet.results import results_tables
from buildsite.kinds.tests.shared import report as blocks
from buildsite.record.flags import Flag

CAUTIONS = (
    "Traffic and plant: work inside the closure, in high-visibility clothing, in sight "
    "of operators, with somebody watching the plant. Never turn your back on a roller.",
    "Open holes: fill each test hole and compact it before leaving.",
    "Dust: dry soil and sand may contain silica. Keep upwind, or wear a mask.",
)
GAUGE_CAUTION = (
    "Nuclear gauge: only for trained and badged operators under the licence, never out "
    "of sight, locked and blocked for transport and storage. In doubt, or after any "
    "damage: keep people away and call the radiation safety officer. Licence and "
    "officer come before anything stated here."
)
DRYING_CAUTION = (
    "Drying in the field: stove, microwave and carbide burn, and carbide gas explodes. "
    "Ventilate, keep flames away, and use tongs and eye protection."
)


def cautions(case: Test) -> tuple[str, ...]:
    """Return the cautions of the work that was done."""
    record = case.record
    gauge = (GAUGE_CAUTION,) if record.apparatus == "nuclear-gauge" else ()
    dried = record.water_content_by in ("microwave", "stove", "gas-pressure")
    return (*gauge, *CAUTIONS, *((DRYING_CAUTION,) if dried else ()))


def sheet(case: Test, flags: tuple[Flag, ...]) -> Sheet:
    """Return the report, its blocks in reading order."""
    gauge = case.record.apparatus == "nuclear-gauge"
    withdrawn = case.record.status == "withdrawn"
    hazards = "traffic, plant, open holes and dust"
    return blocks.report(
        case,
        flags,
        title="Field density",
        results=[
            *results_tables(case),
            None if withdrawn else verdict_table(case),
            place_table(case),
            reference_table(case),
        ],
        lines=[gauge_table(case), container_table(case)],
        method=work_facts(case),
        hazards=f"radiation, {hazards}" if gauge else hazards,
        cautions=cautions(case),
        equipment=apparatus_rows(case),
    )
