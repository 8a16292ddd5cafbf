"""A laboratory, project, sample or device with a part left out fails no check."""

from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest
import yaml

from tests.archives import flags_of, sound

Path = tuple[str | int, ...]


def parts(node: Any, lead: Path = ()) -> Iterator[Path]:
    pairs: list[tuple[str | int, Any]] = []
    if isinstance(node, dict):
        pairs = list(node.items())
    elif isinstance(node, list):
        pairs = list(enumerate(node))
    for name, below in pairs:
        yield (*lead, name)
        yield from parts(below, (*lead, name))


def without(tree: Any, path: Path) -> bytes:
    left = deepcopy(tree)
    node = left
    for name in path[:-1]:
        node = node[name]
    del node[path[-1]]
    return yaml.dump(left, Dumper=yaml.CSafeDumper, default_style="'").encode()


@pytest.mark.parametrize(
    "name",
    [
        "lab",
        "marsh-lane/project",
        "marsh-lane/samples/ML-S2",
        "equipment/M-04",
        "equipment/R-02",
        "equipment/B-11",
        "equipment/O-01",
    ],
)
def test_a_gap_anywhere_is_judged_in_every_record_that_rests_on_it(name: str) -> None:
    file = f"records/{name}.yaml"
    tree = yaml.load(sound()[file], yaml.CBaseLoader)  # noqa: S506  # text scalars only

    for path in parts(tree):
        flags = flags_of({**sound(), file: without(tree, path)})

        assert all(flag.line >= 1 and flag.column >= 1 for flag in flags), path
