"""A result as JSON: what `show --json` prints and `result.json` holds."""

import json
from collections.abc import Mapping
from typing import Any

from buildsite.kinds.outcome import Outcome, plain
from buildsite.record.flags import Flag, field_path


def flag_json(flag: Flag) -> dict[str, Any]:
    """One flag, with its place and, where a person accepted it, who and why."""
    about: dict[str, Any] = {
        "flag": flag.flag,
        "severity": str(flag.severity),
        "message": flag.message,
        "basis": flag.basis,
        "field": field_path(flag.field),
        "file": flag.file,
        "line": flag.line,
        "column": flag.column,
    }
    if flag.accepted_by:
        about["accepted"] = {"by": flag.accepted_by, "reason": flag.accepted_reason}
    return about


def envelope(outcome: Outcome, software: Mapping[str, str]) -> dict[str, Any]:
    """
    Everything that a result says, as plain data.

    Parameters
    ----------
    outcome
        What was computed.
    software
        Name, version and fingerprint of the program that computed it.
    """
    return {
        "format": 1,
        "id": outcome.id,
        "kind": outcome.kind.name,
        "status": outcome.status,
        "results": outcome.results,
        "flags": [flag_json(flag) for flag in outcome.flags],
        "inputs": outcome.inputs,
        "used": outcome.used,
        "software": dict(software),
        **outcome.detail(),
    }


def as_json(value: Any) -> bytes:
    """Write plain data as UTF-8 JSON: keys sorted, the same bytes for the same data."""
    text = json.dumps(
        plain(value), ensure_ascii=False, sort_keys=True, indent=2, allow_nan=False
    )
    return (text + "\n").encode()


def result_json(outcome: Outcome, software: Mapping[str, str]) -> bytes:
    """Write one result."""
    return as_json(envelope(outcome, software))
