"""
Whatever of a record is missing or impossible, something is shown and nothing raises.

A test is written in over two days, and a reading may be anything that a finger types.
"""

import copy
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from buildsite.archive.archive import Archive, compute_standalone
from buildsite.exports.result_json import result_json
from buildsite.kinds.outcome import Outcome
from buildsite.pages.terminal import sheet_text
from buildsite.soil.curves import FORMS
from tests.archives import computed, sound

FILES = dict(sound())
TESTS = [name for name in FILES if "/tests/" in name]
RESTED_ON = [
    "records/lab.yaml",
    "records/equipment/M-04.yaml",
    "records/marsh-lane/samples/ML-S1.yaml",
    "records/marsh-lane/samples/ML-S2.yaml",
]
Path = tuple[str | int, ...]

EXTREMES = ["0", "0.000000000001", "1", "5", "50", "100", "999999999999", "-5"]
DAYS = ["0001-01-01", "2026-03-10", "9999-12-31"]
FORMS_ASKED = [*FORMS, "auto", "by feel"]


def written(name: str) -> dict[str, Any]:
    """A record with every scalar as text, as the reader sees it."""
    tree: dict[str, Any] = yaml.load(FILES[name], yaml.CBaseLoader)  # noqa: S506
    return tree


def dumped(tree: Any) -> bytes:
    data: bytes = yaml.dump(
        tree, Dumper=yaml.CSafeDumper, sort_keys=False, encoding="utf-8"
    )
    return data


def archive_of(files: Mapping[str, bytes]) -> Archive:
    """An archive of these files: what nobody damaged was read and computed once."""
    shared = computed(but=[name for name in files if files[name] != FILES[name]])
    return Archive(sorted(files), files.__getitem__, shared=shared)


def paths(tree: Any, above: Path = ()) -> Iterator[Path]:
    parts = tree.items() if isinstance(tree, dict) else enumerate(tree)
    for part, node in parts:
        yield (*above, part)
        if isinstance(node, dict | list):
            yield from paths(node, (*above, part))


def is_number(node: Any) -> bool:
    return isinstance(node, str) and node.replace(".", "").isdigit()


def is_day(node: Any) -> bool:
    return isinstance(node, str) and len(node) == 10 and node[4] == node[7] == "-"


def mutated(draw: st.DrawFn, tree: Any) -> None:
    """Take a part out, leave it blank, put an extreme there, or write it twice."""
    found = list(paths(tree))
    if not found:
        return
    path = draw(st.sampled_from(found))
    above = tree
    for part in path[:-1]:
        above = above[part]
    last, node = path[-1], above[path[-1]]
    what = draw(st.sampled_from(["out", "out", "blank", "change", "change"]))
    if what == "blank":
        above[last] = ""
    elif what == "change" and is_number(node):
        above[last] = draw(st.sampled_from(EXTREMES))
    elif what == "change" and is_day(node):
        above[last] = draw(st.sampled_from(DAYS))
    elif what == "change" and isinstance(above, list):
        above.append(copy.deepcopy(node))
    else:
        del above[last]


@st.composite
def archives(draw: st.DrawFn) -> tuple[str, dict[str, bytes]]:
    """A sound archive with one test, and perhaps a record it rests on, damaged."""
    name = draw(st.sampled_from(TESTS))
    files = dict(FILES)
    damaged = [name, *draw(st.lists(st.sampled_from(RESTED_ON), max_size=1))]
    for each in damaged:
        tree = written(each)
        if each == name and draw(st.booleans()):
            tree["curve"] = {"form": draw(st.sampled_from(FORMS_ASKED))}
        if each == name and draw(st.booleans()):
            gravity = {"value": draw(st.sampled_from(EXTREMES)), "basis": "assumed"}
            tree["specific_gravity"] = gravity
        for _ in range(draw(st.integers(1, 6))):
            mutated(draw, tree)
        files[each] = dumped(tree)
    return name, files


def shown(outcome: Outcome | None) -> bool:
    """Everything that is made of an outcome, made; whether there was one."""
    if outcome is None:
        return False
    sheet = outcome.sheet()
    assert sheet.blocks
    assert sheet_text(sheet, outcome.flags)
    assert result_json(outcome, {}).endswith(b"}\n")
    assert bool(outcome.results) or outcome.detail()["curve"]["words"]
    return True


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(archives())
def test_a_damaged_record_is_computed_or_its_faults_are_told(
    damaged: tuple[str, dict[str, bytes]],
) -> None:
    name, files = damaged
    archive = archive_of(files)

    made = shown(archive.outcome(name))

    assert made or archive.flags(name)
    lone, flags = compute_standalone(files[name], name)
    assert shown(lone) or flags


NEEDED = [
    "kind",
    "id",
    "project",
    "sample",
    "standard",
    "standard.designation",
    "standard.method",
    "compacted",
    "bench_sheet.file",
    "status",
    "units",
    "points",
]
"""What no test is without; nor is a bench sheet without its file's name."""


def without(tree: dict[str, Any], path: Path) -> dict[str, Any]:
    cut = copy.deepcopy(tree)
    above: Any = cut
    for part in path[:-1]:
        above = above[part]
    del above[path[-1]]
    return cut


@pytest.mark.parametrize("name", TESTS)
def test_without_any_one_field_the_rest_is_shown(name: str) -> None:
    tree = written(name)
    refused = []

    for path in paths(tree):
        archive = archive_of({**FILES, name: dumped(without(tree, path))})
        made = shown(archive.outcome(name))
        assert made or archive.flags(name), path
        if not made:
            refused.append(".".join(map(str, path)))

    assert refused == NEEDED


@pytest.mark.parametrize("count", range(6))
def test_a_test_at_the_bench_shows_what_it_has(count: int) -> None:
    tree = written(TESTS[0])
    tree["status"] = "in-progress"
    tree["points"] = tree["points"][:count]
    for late in ("dried", "oven", "reviewed"):
        del tree[late]
    for point in tree["points"]:
        del point["container_and_dry"]
    files = {**FILES, TESTS[0]: dumped(tree)}
    outcome = Archive(sorted(files), files.__getitem__).outcome(TESTS[0])

    assert shown(outcome)
    assert outcome is not None
    assert not outcome.blocked
    assert [one.wet_density is not None for one in outcome.case.values.points] == (
        [True] * count
    )


IMPOSSIBLE = {
    "a mold heavier than with soil in it": ("mold_mass: 4.41", "mold_mass: 44.1"),
    "a mold exactly as heavy as with soil in it": (
        "mold_mass: 4.41",
        "mold_mass: 8.32",
    ),
    "dry soil heavier than wet": ("147.04", "247.04"),
    "no dry soil": ("147.04", "31.42"),
    "less than no dry soil": ("147.04", "11.04"),
    "all water": ("147.04", "31.43"),
    "soil as dense as its solids": ("8.32", "10.01"),
    "soil far denser than its solids": ("8.32", "832"),
    "a test of one point": ("layers: 3", "layers: 0"),
}


@pytest.mark.parametrize("what", IMPOSSIBLE)
def test_an_impossible_reading_is_flagged_and_never_raises(what: str) -> None:
    was, now = IMPOSSIBLE[what]
    name = "records/marsh-lane/tests/ML-101.yaml"
    text = FILES[name].decode()
    assert was in text
    files = {**FILES, name: text.replace(was, now).encode()}
    outcome = Archive(sorted(files), files.__getitem__).outcome(name)

    assert shown(outcome)
    assert outcome is not None
    assert outcome.flags
