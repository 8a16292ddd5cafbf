"""What is weighed on which balance, and the calibration of the rammer."""

from decimal import Decimal

from buildsite.kinds.tests.moisture_density.case import Test
from buildsite.kinds.tests.shared.rules.equipment import calibration_rule, rules_of
from buildsite.record.flags import Rule


def compacted_masses(case: Test) -> list[Decimal]:
    """Every reading of the balance for compacted soil."""
    record = case.record
    readings = [record.mold_mass]
    for point in record.points:
        readings += [point.mold_mass, point.mold_and_wet_soil, point.specimen_mass]
    return [reading for reading in readings if reading is not None]


def moisture_masses(case: Test) -> list[Decimal]:
    """Every reading of the balance for moisture specimens."""
    readings: list[Decimal | None] = []
    for point in case.record.points:
        for one in point.all_containers:
            readings += [one.container_mass, one.container_and_wet]
            readings += one.container_and_dry or ()
    return [reading for reading in readings if reading is not None]


def columns(case: Test) -> dict[str, tuple[list[Decimal], str | None]]:
    """Readings of each balance, and their unit."""
    units = case.record.units
    return {
        "balance": (compacted_masses(case), units.compacted),
        "moisture_balance": (moisture_masses(case), units.moisture),
    }


COARSEST = {
    "balance": ("resolution_compacted_g", "resolution_compacted_lb"),
    "moisture_balance": ("resolution_moisture_g", "resolution_moisture_lb"),
}
"""Cells that say how fine each balance must read; the coarser counts."""


RULES: tuple[Rule[Test], ...] = (
    # The one device, beside the mold, that a compaction standard gives an interval for.
    calibration_rule("rammer", "calibration_interval"),
    *rules_of(columns, COARSEST),
)
