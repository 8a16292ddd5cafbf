"""
What the columns of results.csv mean, for programs: a Data Package with a Table Schema.

https://specs.frictionlessdata.io/tabular-data-package/, version 1; version 2 of the
standard reads it too.
"""

from collections.abc import Iterator
from typing import Any

from buildsite.exports.result_json import as_json
from buildsite.exports.results_columns import Column, columns
from buildsite.exports.results_csv import NAME as CSV
from buildsite.record.canonical import digest

NAME = "datapackage.json"


def field(column: Column) -> dict[str, Any]:
    """Return the field of one column."""
    limits: dict[str, Any] = {"enum": list(column.values)} if column.values else {}
    if column.name == "id":
        limits = {"required": True, "unique": True}
    found: dict[str, Any] = {
        "name": column.name,
        "type": column.type,
        "format": "default",
        "description": column.about,
    }
    if column.unit:
        found["unit"] = column.unit
    return {**found, "constraints": limits} if limits else found


def fields() -> Iterator[dict[str, Any]]:
    """Return the fields of results.csv."""
    return map(field, columns())


def datapackage(title: str, name: str, data: bytes) -> bytes:
    """Return the description of results.csv, which holds `data`."""
    return as_json(
        {
            "profile": "tabular-data-package",
            "name": name,
            "title": title,
            "resources": [
                {
                    "profile": "tabular-data-resource",
                    "name": "results",
                    "path": CSV,
                    "title": title,
                    "format": "csv",
                    "mediatype": "text/csv",
                    "encoding": "utf-8",
                    "bytes": len(data),
                    "hash": digest(data),
                    "dialect": {
                        "delimiter": ",",
                        "lineTerminator": "\n",
                        "quoteChar": '"',
                        "doubleQuote": True,
                        "header": True,
                    },
                    "schema": {
                        "fields": list(fields()),
                        "missingValues": [""],
                        "primaryKey": "id",
                    },
                }
            ],
        }
    )
