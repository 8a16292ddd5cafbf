"""What an example gives, written as the records that a laboratory would write."""

import json
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.kinds.outcome import Outcome
from buildsite.validation.examples import Example

Record = dict[str, Any]

ANY_STANDARD = {"designation": "ASTM D698", "method": "A"}
"""Where an example names none: a record wants one, masses and volumes rest on none."""

CALIBRATED_ON = "2000-01-01"
"""No source prints a day on which its mold was measured, and a record wants one."""

WATER_TEMPERATURE_C = "4"
"""The sources take water as 1 g/cm³: its density at this temperature."""

COLUMNS = ("water_content", "wet_density", "mold_and_wet_soil")
QUANTITIES = {
    "compacted": "mass",
    "moisture": "mass",
    "density": "density",
    "volume": "volume",
}
"""Units of a record, and the quantities of an example that they are taken from."""

SOME_MOLD = Decimal(10)
"""Put under soil that was printed without its mold: any mold does."""


def readings_of(given: Mapping[str, Any], name: str, count: int) -> list[str | None]:
    """Readings of a column; one that stands for all is repeated, none are None."""
    value = given.get(name)
    if isinstance(value, list):
        return [*value, *[None] * (count - len(value))]
    return [value] * count


def decimal_text(text: str) -> str:
    """
    Write a fraction as the decimal that a record wants, to ten digits.

    >>> decimal_text("1/30"), decimal_text("944")
    ('0.03333333333', '944')
    """
    if "/" not in text:
        return text
    exact = Fraction(text)
    digits = Decimal(exact.numerator) / Decimal(exact.denominator)
    return f"{digits:.10g}"


def containers_by_point(given: Mapping[str, Any]) -> list[list[Record]]:
    """Moisture containers, point by point."""
    names = ("container_mass", "container_and_wet", "container_and_dry")
    rows = [dict(zip(names, row, strict=True)) for row in given.get("containers", ())]
    size = int(given.get("containers_a_point", "1"))
    return [rows[i : i + size] for i in range(0, len(rows), size)]


def points(given: Mapping[str, Any], molds: list[str]) -> list[Record]:
    """One entry a specimen, with what was given of it and nothing else."""
    containers = containers_by_point(given)
    lists = [given[name] for name in COLUMNS if isinstance(given.get(name), list)]
    count = max(map(len, [containers, *lists]))
    rows: list[Record] = [{} for _ in range(count)]
    for name in (*COLUMNS, "mold_mass"):
        for row, value in zip(rows, readings_of(given, name, count), strict=True):
            if value is not None:
                row[name] = value
    for row, group in zip(rows, containers, strict=False):
        row["containers"] = group
    for row, mold in zip(rows, molds, strict=False):
        row["mold"] = mold
    return rows


def with_a_mold(given: Mapping[str, Any]) -> Mapping[str, Any]:
    """Put a mold under soil that was printed without one."""
    if "wet_soil" not in given:
        return given
    whole = [str(Decimal(soil) + SOME_MOLD) for soil in given["wet_soil"]]
    return {**given, "mold_mass": str(SOME_MOLD), "mold_and_wet_soil": whole}


def test_record(example: Example, given: Mapping[str, Any]) -> Record:
    """Write the compaction test of an example."""
    given, units = with_a_mold(given), example.units
    molds = [mold["id"] for mold in mold_records(example, given)]
    rows = points(given, molds if len(molds) > 1 else [])
    record: Record = {
        "kind": "moisture-density",
        "id": example.id,
        "project": "published",
        "sample": example.id,
        "standard": ANY_STANDARD,
        "compacted": {},
        "status": "complete",
        "units": {
            name: units[quantity]
            for name, quantity in QUANTITIES.items()
            if quantity in units
        },
        "points": rows,
        **example.tree.get("record", {}),
    }
    if len(molds) == 1:
        record["equipment"] = {"mold": molds[0]}
    if "mold_volume" in given:
        record["mold_volume"] = decimal_text(given["mold_volume"])
    if "specific_gravity" in given:
        record["specific_gravity"] = {
            "value": given["specific_gravity"],
            "basis": "measured",
            "water_temperature_c": WATER_TEMPERATURE_C,
        }
    return record


def mold_records(example: Example, given: Mapping[str, Any]) -> list[Record]:
    """Write the molds of an example that were measured, in its order."""
    across, high = given.get("mold_diameter"), given.get("mold_height")
    if across is None or high is None:
        return []
    pairs = (
        zip(across, high, strict=True) if isinstance(across, list) else [(across, high)]
    )
    return [
        mold_record(
            example,
            f"{example.id}-M{i}",
            {"dimensions": {"diameters": [wide, wide], "heights": [tall]}},
        )
        for i, (wide, tall) in enumerate(pairs, 1)
    ]


def mold_record(example: Example, id: str, calibration: Record) -> Record:
    """Write one mold with one calibration."""
    units = example.units
    return {
        "kind": "mold",
        "id": id,
        "nominal": "4 in",
        "units": {
            name: units[name] for name in ("mass", "length", "volume") if name in units
        },
        "calibrations": [{"on": CALIBRATED_ON, **calibration}],
    }


def compute_records(*records: Record) -> dict[str, Outcome]:
    """Compute records as an archive of their own does, by id."""
    files = {
        record_path(record): json.dumps(record, indent=1).encode() for record in records
    }
    archive = Archive(sorted(files), files.__getitem__)
    made: dict[str, Outcome] = {}
    for file in archive.names:
        outcome = archive.outcome(file)
        if outcome is None:
            raise ValueError(f"{file} can't be read: {archive.flags(file)[0]}")
        made[outcome.id] = outcome
    return made


def record_path(record: Record) -> str:
    """Where an archive keeps a record."""
    if record["kind"] == "mold":
        return f"records/equipment/{record['id']}.yaml"
    return f"records/published/tests/{record['id']}.yaml"
