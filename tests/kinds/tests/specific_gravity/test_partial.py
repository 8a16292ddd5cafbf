"""Whatever of a specific gravity test is missing or impossible, nothing raises."""

from collections.abc import Iterator
from typing import Any

import pytest
import yaml

from buildsite.archive.archive import Archive
from buildsite.exports.result_json import result_json
from buildsite.pages.terminal import sheet_text
from tests.archives import computed, sound

FILES = dict(sound(("specific-gravity",)))
FILE = "records/marsh-lane/tests/GS-1.yaml"
PYCNOMETER = "records/equipment/PY-1.yaml"
EXTREMES = ("0", "0.000000000001", "1", "50", "999999999999", "-5")
Way = tuple[str | int, ...]


def tree(name: str) -> dict[str, Any]:
    found: dict[str, Any] = yaml.load(FILES[name], yaml.CBaseLoader)  # noqa: S506
    return found


def ways(node: Any, above: Way = ()) -> Iterator[Way]:
    parts = node.items() if isinstance(node, dict) else enumerate(node)
    for part, inner in parts:
        yield (*above, part)
        if isinstance(inner, dict | list):
            yield from ways(inner, (*above, part))


def changed(name: str, way: Way, to: str | None) -> Archive:
    whole = tree(name)
    node: Any = whole
    for part in way[:-1]:
        node = node[part]
    if to is None:
        del node[way[-1]]
    else:
        node[way[-1]] = to
    data = yaml.dump(whole, Dumper=yaml.CSafeDumper, sort_keys=False).encode()
    files = {**FILES, name: data}
    shared = computed(("specific-gravity",), but=[name])
    return Archive(sorted(files), files.__getitem__, shared=shared)


def shown(archive: Archive) -> bool:
    """Everything that is made of the test, made; else its faults are told."""
    made = archive.outcome(FILE)
    if made is None:
        return bool(archive.flags(FILE))
    sheet = made.sheet()
    assert sheet.blocks
    assert sheet_text(sheet, made.flags)
    assert result_json(made, {}).endswith(b"}\n")
    assert made.kind.bench is not None
    assert made.kind.bench(made.case).progress() is not None
    return bool(made.results) or bool(made.flags)


@pytest.mark.parametrize("name", [FILE, PYCNOMETER])
def test_without_any_one_field_the_rest_is_shown(name: str) -> None:
    for way in ways(tree(name)):
        assert shown(changed(name, way, None)), way


@pytest.mark.parametrize("name", [FILE, PYCNOMETER])
@pytest.mark.parametrize("extreme", EXTREMES)
def test_no_reading_is_too_strange(name: str, extreme: str) -> None:
    for way in ways(tree(name)):
        node: Any = tree(name)
        for part in way:
            node = node[part]
        if isinstance(node, str) and node.replace(".", "").isdigit():
            assert shown(changed(name, way, extreme)), (way, extreme)
