"""The field tests of a project as CSV: units in the headers, one row a test."""

from collections.abc import Mapping, Sequence

from buildsite.exports.csv_text import csv_bytes, csv_cell, csv_label
from buildsite.exports.field_json import words_of
from buildsite.kinds.field_control.closing import Closed
from buildsite.kinds.field_control.results import (
    DENSITY,
    DEVIATION,
    PERCENT,
    WATER,
    FieldTest,
)

WET = "wet_density"

RESULTS = (
    (WET, "wet_density_kg_m3"),
    (DENSITY, "dry_density_kg_m3"),
    (WATER, "water_content_percent"),
    (PERCENT, "percent_compaction_percent"),
    (DEVIATION, "water_content_deviation_points"),
)
"""Results, and the headers of their unrounded values."""

PLACE = (
    "station",
    "offset",
    "side",
    "elevation",
    "depth_below_grade",
    "easting",
    "northing",
    "grid",
)
"""Parts of a position, as written; lengths are in `position_unit`."""

DEGREES = ("latitude", "longitude")

LABELS = ("test", "zone", "lift", "judged_by", "retest_of", "check_of", "closed_by")
"""Columns of ids and names, which a spreadsheet must not take for numbers."""


def value_text(test: FieldTest, name: str) -> str:
    """Return an unrounded value to ten digits, as `show --json` has it."""
    found = test.result(name)
    return digits(found.value if found is not None else None)


def digits(value: float | None) -> str:
    """Return a value to ten digits; blank for none."""
    return "" if value is None else format(value, ".10g")


def reported_text(test: FieldTest, name: str) -> str:
    """Return a result as reported, with its unit."""
    found = test.result(name)
    return found.text if found is not None else ""


def row_of(test: FieldTest, closed_by: str) -> dict[str, str]:
    """Return one field test by header."""
    position = {**dict(test.position), **dict(test.coordinates)}
    return {
        "test": test.id,
        "tested_on": str(test.tested_on or ""),
        "tested_at": test.tested_at,
        "tested_by": test.tested_by,
        "zone": test.zone,
        "lift": test.lift,
        "place": test.place,
        **{name: position.get(name, "") for name in PLACE},
        "position_unit": test.position_unit,
        **{f"{name}_degrees": position.get(name, "") for name in DEGREES},
        "purpose": test.purpose,
        "apparatus": test.apparatus,
        **{header: value_text(test, name) for name, header in RESULTS},
        "dry_density_reported": reported_text(test, DENSITY),
        "water_content_reported": reported_text(test, WATER),
        "percent_compaction_reported": reported_text(test, PERCENT),
        "verdict": test.verdict,
        "why": test.why,
        "judged_by": test.judged_by,
        "reference_basis": test.basis,
        "target_maximum_dry_density_kg_m3": digits(test.maximum),
        "target_optimum_water_content_percent": digits(test.optimum),
        "target": test.how,
        "coarse": test.coarse,
        "retest_of": test.retest_of,
        "check_of": test.check_of,
        "rework": test.rework,
        "closed_by": closed_by,
        "preliminary_water": "yes" if test.preliminary_water else "no",
        "state": test.state,
    }


def cell(header: str, text: str) -> str:
    """Return one cell, as its column asks."""
    return csv_label(text) if header in LABELS else csv_cell(text)


def field_csv(tests: Sequence[FieldTest], closed: Mapping[str, Closed]) -> bytes:
    """Return the field tests as CSV."""
    rows = [row_of(test, words_of(closed, test)) for test in tests]
    headers = list(rows[0]) if rows else ["test"]
    cells = [[cell(header, row[header]) for header in headers] for row in rows]
    return csv_bytes([headers, *cells])
