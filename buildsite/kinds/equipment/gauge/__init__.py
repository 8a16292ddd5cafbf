"""A nuclear gauge: calibration, leak tests and standard counts, on a day."""

from collections.abc import Mapping
from typing import Any

from buildsite.kinds.blank import Ask, Blank, Measured, Occasion, answered, pairs
from buildsite.kinds.equipment.calibrations import (
    CERTIFICATE,
    NEXT_DUE,
    ON,
    equipment_kind,
    found_later,
    in_force,
)
from buildsite.kinds.equipment.due import out_since
from buildsite.kinds.equipment.gauge.checks import RULES, Counted, faults
from buildsite.kinds.equipment.gauge.counts import (
    Judged,
    counts_until,
    judged,
    leak_test_due,
)
from buildsite.kinds.equipment.gauge.model import (
    Gauge,
    calibration_interval,
    leak_test_interval,
)
from buildsite.kinds.field_answers import GaugeFacts
from buildsite.kinds.kind import Inputs, Ref, late
from buildsite.standards.method import Method


def compute(record: Gauge, inputs: Inputs, method: Method | None) -> tuple[Judged, ...]:
    """Judge every set of standard counts, by date."""
    return judged(record)


def answers(case: Counted, ref: Ref) -> GaugeFacts | None:
    """Return the facts of a gauge on the date of a test."""
    if ref.asks is not GaugeFacts:
        return None
    record, on = case.record, ref.on
    index = in_force(record.calibrations, on)
    one = None if index is None else record.calibrations[index]
    limits = record.makers_limits
    return GaugeFacts(
        id=record.id,
        name=record.name or "",
        calibrated_on=one.on if one else None,
        next_due=one.next_due if one else None,
        leak_test_due=leak_test_due(record, on),
        counts=counts_until(record, on),
        density_limit=None if limits.density is None else float(limits.density),
        water_limit=None if limits.water is None else float(limits.water),
        out_of_service=on is not None and out_since(record, on) is not None,
        wrong_since=found_later(one, on),
    )


def detail(case: Counted) -> Mapping[str, Any]:
    """Return the standard counts for `show --json`."""
    return {
        "counts": [
            {
                "on": one.counts.on.isoformat(),
                "density": float(one.counts.density),
                "water": float(one.counts.water),
                "repeated": one.repeated,
                "off_mean_percent": list(one.off),
                "within": one.is_good if one.off else None,
            }
            for one in case.values
        ]
    }


ALWAYS = answered("on")

BLOCKS = Ask(
    "checks",
    "Blocks of known density in {density}: each density and what was read, as in 1762 "
    "1755 2163 2170 (Enter: certificate only)",
    split=pairs("known", "measured"),
)

OCCASIONS = (
    Occasion(
        "counts",
        "standard counts of the day",
        "standard counts",
        (
            Measured(
                Ask("density_count", "Standard count, density", when=ALWAYS),
                ("density",),
                steady=True,
            ),
            Measured(
                Ask("water_count", "Standard count, water", when=ALWAYS),
                ("water",),
                steady=True,
            ),
        ),
        at="counts",
        asks=("by", "on"),
        due=False,
    ),
    Occasion(
        "leak-test",
        "leak test of the sources",
        "leak test",
        (
            Measured(
                Ask(
                    "result", "Result of the leak test", "passed", ("passed", "failed")
                ),
                ("result",),
            ),
        ),
        at="leak_tests",
        asks=("by", "on", "certificate"),
        interval=leak_test_interval,
    ),
    Occasion(
        "calibration",
        "calibration, or its verification on blocks",
        "calibrated",
        (Measured(BLOCKS, ("checks",)),),
        asks=("by", "on", "state", "certificate", "wrong_since"),
        interval=calibration_interval,
    ),
    Occasion(
        "service",
        "taken out of service, or put back",
        "out of service or back",
        (
            Measured(
                Ask("service", "Out of service, or back", "out", ("out", "back")),
                ("state",),
            ),
            Measured(
                Ask("why", "Why out of service or back", when=ALWAYS), ("reason",)
            ),
        ),
        at="service",
        asks=("by", "on"),
        due=False,
    ),
)

BLANK = Blank(
    """format: 1
kind: gauge
id: {id}
name:
serial: {serial}     # serial, licence and leak tests stay in the laboratory
licence: {licence}
units: {{density: kg/m3}}
makers_limits: {{density: , water: }}   # percent off the mean of the last counts
calibrations:
  - {{on: {on}, by: , next_due: {next_due}, state: as found,
     certificate: {certificate}, checks: {checks}}}
leak_tests:
counts:
service:
""",
    prefix="G",
    asks=(
        Ask("serial", "Serial number (stays in the laboratory)"),
        Ask("licence", "Reference of its licence (stays in the laboratory)"),
        ON,
        NEXT_DUE,
        BLOCKS,
        CERTIFICATE,
    ),
)

KIND = equipment_kind(
    "gauge",
    Gauge,
    BLANK,
    title="Nuclear gauge",
    answers=answers,
    compute=compute,
    sheet=late("buildsite.kinds.equipment.gauge.sheet", "sheet"),
    rules=RULES,
    wrong=faults,
    occasions=OCCASIONS,
    detail=detail,
)
