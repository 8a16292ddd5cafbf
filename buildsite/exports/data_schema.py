"""JSON Schemas of result.json and results.json, for programs that read them."""

from typing import Any

from buildsite.exports.result_json import as_json
from buildsite.exports.results_columns import STATUS, VERDICT, reports
from buildsite.exports.schema import DIALECT
from buildsite.kinds import GROUPS

FOLDER = "schemas"

TEXT = {"type": "string"}
DAY = {"type": "string", "format": "date"}
NUMBER = {"type": ["number", "null"]}
TRUTH = {"type": "boolean"}
SHA = {"type": "string", "pattern": "^sha256:[0-9a-f]{64}$"}
SEVERITY = {"enum": ["error", "warning", "note"]}


def texts(*names: str) -> dict[str, Any]:
    """Return an object of texts, each of which may be missing."""
    return closed(dict.fromkeys(names, TEXT))


def closed(parts: dict[str, Any], *needed: str) -> dict[str, Any]:
    """Return an object with these parts and no others."""
    return {**opened(parts, *needed), "additionalProperties": False}


def opened(parts: dict[str, Any], *needed: str) -> dict[str, Any]:
    """Return an object with these parts, which may have others."""
    return {"type": "object", "properties": parts, "required": list(needed)}


def figure(*more: str) -> dict[str, Any]:
    """Return a result: unrounded value in SI, and number and unit as reported."""
    parts = {"value": NUMBER, "unit": TEXT, "reported": TEXT}
    return closed({**parts, **dict.fromkeys(more, TEXT)}, "value", "unit", "reported")


STANDARD = texts("designation", "edition", "method")
SOIL = texts("name", "class")
GOVERNING = {"type": "array", "items": TEXT}


def results_schema() -> dict[str, Any]:
    """Return the schema of results.json."""
    flag = {"flag": TEXT, "severity": SEVERITY, "accepted": TRUTH}
    row = closed(
        {
            "id": TEXT,
            "revision": {"type": ["integer", "null"]},
            "status": {"enum": list(STATUS)},
            "kind": TEXT,
            "project": TEXT,
            "issued": DAY,
            "tested": DAY,
            "sample": TEXT,
            "soil": SOIL,
            "source": TEXT,
            "zone": TEXT,
            "lift": TEXT,
            "standard": STANDARD,
            "results": closed({name: figure("term") for name, _ in reports()}),
            "governing": GOVERNING,
            "flags": {"type": "array", "items": closed(flag, *flag)},
            "verdict": {"enum": list(VERDICT)},
            "judged_by": TEXT,
            "address": TEXT,
        },
        *("id", "revision", "status", "kind", "project", "results", "flags", "address"),
    )
    parts = {
        "format": {"const": 1},
        "laboratory": TEXT,
        "results": {"type": "array", "items": row},
    }
    return named("results", "Results, a row a test", closed(parts, *parts))


def result_schema() -> dict[str, Any]:
    """
    Return the schema of result.json and of `show --json`.

    A kind of test has parts of its own beside these.
    """
    flag = opened(
        {
            **dict.fromkeys(("flag", "message", "basis", "field", "file"), TEXT),
            "severity": SEVERITY,
            "line": {"type": "integer"},
            "column": {"type": "integer"},
            "accepted": texts("by", "reason"),
        },
        "flag",
        "severity",
    )
    point = {
        "type": "object",
        "properties": {
            **dict.fromkeys(("water_content", "wet_density", "dry_density"), NUMBER),
            **dict.fromkeys(("saturation", "air_voids"), NUMBER),
            "rejected": TRUTH,
        },
    }
    pair = {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}
    software = dict.fromkeys(("name", "version", "fingerprint"), TEXT)
    parts = {
        "format": {"const": 1},
        "id": TEXT,
        "kind": {"enum": sorted(GROUPS)},
        "status": TEXT,
        "revision": {"type": "integer"},
        "issued": DAY,
        "issued_as": {"enum": ["report", "preliminary"]},
        "tested": DAY,
        "project": TEXT,
        "sample": TEXT,
        "soil": SOIL,
        "standard": STANDARD,
        "results": {"type": "object", "additionalProperties": figure()},
        "governing": GOVERNING,
        "points": {"type": "array", "items": point},
        "point_units": {"type": "object", "additionalProperties": TEXT},
        "curve": opened({"form": TEXT, "line": {"type": "array", "items": pair}}),
        "flags": {"type": "array", "items": flag},
        "inputs": {"type": "object", "additionalProperties": SHA},
        "used": SHA,
        "used_form": {"type": "integer"},
        "software": closed(software, *software),
    }
    needed = ("format", "id", "kind", "status", "results", "flags", "inputs", "used")
    return named("result", "The result of one record", opened(parts, *needed))


def named(name: str, title: str, schema: dict[str, Any]) -> dict[str, Any]:
    """Return a schema with its name."""
    head = {"$schema": DIALECT, "$id": f"urn:buildsite:{name}:1", "title": title}
    return {**head, **schema}


def data_schemas() -> dict[str, bytes]:
    """Return the schemas, by their address on the site."""
    return {
        f"{FOLDER}/result.json": as_json(result_schema()),
        f"{FOLDER}/results.json": as_json(results_schema()),
    }
