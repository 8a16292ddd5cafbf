"""The schemas hold for every result of the demo, and for nothing else."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from buildsite.exports.data_schema import result_schema, results_schema


def validator(schema: dict[str, Any]) -> Draft202012Validator:
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(
        schema, format_checker=Draft202012Validator.FORMAT_CHECKER
    )


RESULT, RESULTS = validator(result_schema()), validator(results_schema())


def read(path: Path) -> Any:
    return json.loads(path.read_bytes())


def results(site: Path) -> Iterator[Path]:
    yield from sorted((site / "tests").rglob("result.json"))


def test_every_result_of_the_demo_is_as_described(site: Path) -> None:
    """Those that were kept years ago, too."""
    found = list(results(site))

    assert len(found) > 100
    for path in found:
        faults = [one.message for one in RESULT.iter_errors(read(path))]
        assert faults == [], path


def test_the_rows_of_the_demo_are_as_described(site: Path) -> None:
    for path in (site / "results.json", *sorted(site.glob("projects/*/results.json"))):
        faults = [one.message for one in RESULTS.iter_errors(read(path))]
        assert faults == [], path


def test_the_site_has_the_schemas(site: Path) -> None:
    assert read(site / "schemas/result.json") == result_schema()
    assert read(site / "schemas/results.json") == results_schema()


@pytest.mark.parametrize(
    ("part", "value"),
    [("issued", "13 March 2026"), ("status", "sent"), ("revision", "2"),
     ("results", {"weight": {}}), ("flags", [{"flag": "a"}]), ("colour", "red")],
)  # fmt: skip
def test_a_row_that_is_otherwise_is_refused(
    site: Path, part: str, value: object
) -> None:
    told = read(site / "results.json")
    told["results"][0][part] = value

    assert not RESULTS.is_valid(told)


@pytest.mark.parametrize(
    ("part", "value"),
    [("used", "sha256:1"), ("tested", "2026-13-01"), ("kind", "weight"),
     ("points", [{"dry_density": "1800"}]), ("governing", "both")],
)  # fmt: skip
def test_a_result_that_is_otherwise_is_refused(
    site: Path, part: str, value: object
) -> None:
    told = read(site / "tests/HF-0117/result.json")

    assert RESULT.is_valid(told)
    assert not RESULT.is_valid({**told, part: value})
