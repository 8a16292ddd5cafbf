"""A JSON Schema of each kind, so that editors complete and check records."""

from collections.abc import Iterable
from functools import cache
from typing import Any

from buildsite.exports.result_json import as_json
from buildsite.kinds import KIND_FILES, kind_named
from buildsite.kinds.kind import Kind

FOLDER = "records/.schema"
DIALECT = "https://json-schema.org/draft/2020-12/schema"


FORMAT = {
    "title": "Format",
    "description": "Of the record: 1. Absent means 1.",
    "enum": [1, "1"],
    "default": 1,
}
"""An editor reads the format as a number."""


NOTHING = {"type": "null"}


def with_blanks(described: dict[str, Any]) -> dict[str, Any]:
    """Allow an optional list to be left blank, as a scalar may be."""
    for one in (described, *described.get("$defs", {}).values()):
        needed = one.get("required", ())
        for name, field in one.get("properties", {}).items():
            if field.get("type") == "array" and name not in needed:
                about = {k: field.pop(k) for k in ("title", "default") if k in field}
                one["properties"][name] = {"anyOf": [field, NOTHING], **about}
    return described


def schema(kind: Kind[Any, Any]) -> dict[str, Any]:
    """Return the schema of the records of a kind."""
    described = with_blanks(kind.model.model_json_schema())
    described["properties"]["format"] = FORMAT
    return {
        **described,
        "$schema": DIALECT,
        "$id": f"urn:buildsite:record:{kind.name}:1",
        "title": kind.title,
    }


def schema_name(kind: str) -> str:
    """Return the path of a kind's schema in an archive."""
    return f"{FOLDER}/{kind}.json"


@cache
def schema_file(name: str) -> bytes:
    """Return the schema of a kind, as it is written; made once, for it takes 40 ms."""
    kind = kind_named(name)
    if kind is None:
        raise ValueError(f"no kind {name}")
    return as_json(schema(kind))


def schema_files(names: Iterable[str] = KIND_FILES) -> dict[str, bytes]:
    """Return the schemas of kinds, by their paths in an archive."""
    return {schema_name(name): schema_file(name) for name in names}


def schema_line(file: str, kind: str) -> str:
    """
    Return the first line of a record, which tells an editor where its schema is.

    >>> schema_line("records/heron-flats/tests/HF-0117.yaml", "moisture-density")
    '# yaml-language-server: $schema=../../.schema/moisture-density.json'
    """
    up = "../" * (file.count("/") - 1)
    return f"# yaml-language-server: $schema={up}.schema/{kind}.json"
