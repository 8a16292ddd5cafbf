"""A result as JSON: printed by `show --json`, kept in `result.json`."""

import json
from collections.abc import Mapping
from json.encoder import encode_basestring
from operator import itemgetter
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
    """Return data as UTF-8 JSON, made plain, keys sorted: same data, same bytes."""
    return (json_text(value) + "\n").encode()


def json_text(value: Any, start: str = "\n") -> str:
    """
    Return what `json.dumps` writes of `plain(value)`, by two blanks, keys sorted.

    In one pass: an indent turns off that library's fast encoder. `start` is how a line
    begins that is no deeper than the value.

    >>> print(json_text({"b": [0.1 + 0.2, None], "a": {}}))
    {
      "a": {},
      "b": [
        0.3,
        null
      ]
    }
    """
    kind, deeper = type(value), start + "  "
    if kind is float:
        return repr(plain(value))
    if isinstance(value, str):
        return encode_basestring(value)
    if kind is dict and value:
        named = {str(key): one for key, one in value.items()}
        items = [
            f"{deeper}{encode_basestring(key)}: "
            + (encode_basestring(one) if type(one) is str else json_text(one, deeper))
            for key, one in sorted(named.items(), key=itemgetter(0))
        ]
        return f"{{{','.join(items)}{start}}}"
    if value and (kind is list or kind is tuple):
        texts = [json_text(one, deeper) for one in value]
        return f"[{deeper}{f',{deeper}'.join(texts)}{start}]"
    made = plain(value)
    return json.dumps(made) if type(made) is kind else json_text(made, start)


def result_json(outcome: Outcome, software: Mapping[str, str]) -> bytes:
    """Return one result as JSON."""
    return as_json(envelope(outcome, software))
