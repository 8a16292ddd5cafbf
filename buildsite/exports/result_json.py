"""A result as JSON: printed by `show --json`, kept in `result.json`."""

import json
from collections.abc import Mapping
from typing import Any

from buildsite.kinds.answers import FIRST_FORM
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.used import plain
from buildsite.kinds.used_form import current_form
from buildsite.record.flags import Flag, field_path


def flag_json(flag: Flag) -> dict[str, Any]:
    """Return one flag, with who accepted it and why."""
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
    """Return everything a result states, as plain data."""
    return {
        "format": 1,
        "id": outcome.id,
        "kind": outcome.kind.name,
        "status": outcome.status,
        "results": outcome.results,
        "flags": [flag_json(flag) for flag in outcome.flags],
        "inputs": outcome.inputs,
        "used": outcome.used,
        **({"used_form": current_form()} if current_form() != FIRST_FORM else {}),
        "software": dict(software),
        **({"governing": outcome.governing} if outcome.governing else {}),
        **outcome.detail(),
    }


def as_json(value: Any) -> bytes:
    """Return plain data as UTF-8 JSON, keys sorted: same data, same bytes."""
    text = json.dumps(
        plain(value), ensure_ascii=False, sort_keys=True, indent=2, allow_nan=False
    )
    return (text + "\n").encode()


def result_json(outcome: Outcome, software: Mapping[str, str]) -> bytes:
    """Return one result as JSON."""
    return as_json(envelope(outcome, software))
