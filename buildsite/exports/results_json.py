"""Results as JSON: one object a test, with the names that `show --json` uses."""

from collections.abc import Iterable
from typing import Any

from buildsite.exports.result_json import as_json
from buildsite.exports.results import Figure, ResultRow, addressed

NAME = "results.json"


def figure_object(one: Figure) -> dict[str, Any]:
    """Return one result as plain data."""
    return {
        "value": one.value,
        "unit": one.unit,
        "reported": one.reported,
        "term": one.term,
    }


def row_object(row: ResultRow, base: str = "") -> dict[str, Any]:
    """Return one row as plain data; what is not stated is left out."""
    parts: dict[str, Any] = {
        "issued": row.issued,
        "tested": row.tested,
        "sample": row.sample,
        "soil": blanks_out(name=row.soil, **{"class": row.soil_class}),
        "source": row.source,
        "zone": row.zone,
        "lift": row.lift,
        "standard": blanks_out(
            designation=row.standard, edition=row.edition, method=row.method
        ),
        "governing": list(row.governing),
        "verdict": row.verdict,
        "judged_by": row.judged_by,
    }
    return {
        "id": row.id,
        "revision": row.revision,
        "status": row.status,
        "kind": row.kind,
        "project": row.project,
        "results": {one.name: figure_object(one) for one in row.results},
        "flags": [
            {"flag": one.flag, "severity": one.severity, "accepted": one.accepted}
            for one in row.flags
        ],
        "address": addressed(row, base),
        **blanks_out(**parts),
    }


def blanks_out(**parts: Any) -> dict[str, Any]:
    """Return what is stated."""
    return {name: part for name, part in parts.items() if part}


def results_json(rows: Iterable[ResultRow], laboratory: str, base: str = "") -> bytes:
    """Return results as JSON; `base` is the address of the site, if known."""
    found = [row_object(row, base) for row in rows]
    return as_json({"format": 1, "laboratory": laboratory, "results": found})
