"""A JSON Schema of each kind: valid, true to the demo, and strict."""

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from buildsite.archive.blanks import new_record
from buildsite.exports.schema import DIALECT, schema, schema_files, schema_line
from buildsite.kinds import all_kinds
from tests.archive.test_blanks import TOLD
from tests.archives import sound
from tests.kinds.making import kind

ROOT = Path(__file__).parents[2]
DEMO = sorted(
    path
    for path in (ROOT / "records").rglob("*.yaml")
    if not path.name.endswith(".issued.yaml")
)


class Editor(yaml.CSafeLoader):
    """YAML 1.2, as an editor reads it: numbers typed; days, yes and on left text."""


OTHERWISE = (":timestamp", ":bool")  # typed by YAML 1.1 alone, or not written here

Editor.yaml_implicit_resolvers = {
    first: [(tag, rule) for tag, rule in rules if not tag.endswith(OTHERWISE)]
    for first, rules in yaml.CSafeLoader.yaml_implicit_resolvers.items()
}


def seen(text: str) -> Any:
    return yaml.load(text, Editor)  # noqa: S506  a safe loader


def faults(text: str) -> list[str]:
    record = seen(text)
    return [error.message for error in validator(record["kind"]).iter_errors(record)]


@cache
def validator(name: str) -> Draft202012Validator:
    return Draft202012Validator(schema(kind(name)))


def test_an_editor_sees_days_as_text() -> None:
    read = seen("{on: 2026-03-10, b: 2026-03-11T15:20, c: 1.5, d: yes}")

    assert read == {"on": "2026-03-10", "b": "2026-03-11T15:20", "c": 1.5, "d": "yes"}


@pytest.mark.parametrize("name", [each.name for each in all_kinds()])
def test_a_schema_is_valid_in_its_dialect(name: str) -> None:
    found = schema(kind(name))

    Draft202012Validator.check_schema(found)
    assert found["$schema"] == DIALECT
    assert found["$id"].endswith(f":{name}:1")
    assert found["additionalProperties"] is False


def records() -> dict[str, str]:
    texts = {name: data.decode() for name, data in sound().items()}
    return texts | {
        path.relative_to(ROOT).as_posix(): path.read_text("utf-8") for path in DEMO
    }


def test_every_sound_record_is_valid_as_an_editor_sees_it() -> None:
    wrong = {name: faults(text) for name, text in records().items()}

    assert len(wrong) > 40
    assert {name: found for name, found in wrong.items() if found} == {}


@pytest.mark.parametrize("name", sorted(TOLD.keys() - {"mold"}))
def test_a_new_record_is_valid_with_its_blanks(name: str) -> None:
    # A mold's blank has an empty filling, which an editor marks until it is filled.
    assert faults(new_record(kind(name), "N-1", TOLD[name]).text) == []


POUNDS = sound()["records/marsh-lane/tests/ML-101.yaml"].decode()


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("layers: 3", "layer: 3"),  # a key nobody knows
        ("layers: 3", "layers: three"),
        ("status: complete", "status: done"),
        ("mold_mass: 4.41", "mold_mass: 0"),
        ("mold_mass: 4.41", "mold_mass: -4.41"),
        ("mold_mass: 4.41", "mold_mass: 4.41 lb"),
        ("compacted: lb", "compacted: pound"),
        ("on: 2026-03-12, by: E02", "on: 12.3.2026, by: E02"),
        ("on: 2026-03-12, by: E02", "on: 2026-03-12, by: E 02"),
        ("id: ML-101", "id: ML/101"),
        ("project: marsh-lane\n", ""),
        ("status: complete\n", ""),
        ("container_and_dry: 147.04", "container_and_dry: [147.04, wet]"),
    ],
)
def test_a_wrong_record_is_marked(was: str, now: str) -> None:
    assert POUNDS.count(was) == 1

    assert faults(POUNDS.replace(was, now))


def test_each_kind_has_its_file() -> None:
    files = schema_files()

    assert sorted(files) == sorted(
        f"records/.schema/{k.name}.json" for k in all_kinds()
    )
    for data in files.values():
        assert json.loads(data)["title"]


def test_the_demos_schemas_are_current() -> None:
    for name, data in schema_files().items():
        assert (ROOT / name).read_bytes() == data, "run `buildsite schema`"
    kept = {path.name for path in (ROOT / "records/.schema").iterdir()}
    assert kept == {f"{each.name}.json" for each in all_kinds()}


@pytest.mark.parametrize(
    ("file", "up"),
    [
        ("records/lab.yaml", ""),
        ("records/equipment/M-04.yaml", "../"),
        ("records/p/project.yaml", "../"),
        ("records/p/tests/T-1.yaml", "../../"),
        ("records/p/tests/2026/T-1.yaml", "../../../"),
    ],
)
def test_a_record_names_its_schema_from_where_it_stands(file: str, up: str) -> None:
    line = schema_line(file, "mold")

    assert line == f"# yaml-language-server: $schema={up}.schema/mold.json"
    pointed = (Path("/a") / file).parent / line.partition("=")[2]
    assert pointed.resolve() == Path("/a/records/.schema/mold.json")
