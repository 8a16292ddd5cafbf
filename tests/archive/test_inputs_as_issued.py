"""Inputs as issued: found by digest, as they stand or as git once held them."""

from pathlib import Path

import pytest

from buildsite.archive.inputs_as_issued import (
    Contents,
    archive_of,
    computed_as_issued,
    found_inputs,
)
from buildsite.history.walk import read_history
from buildsite.record.canonical import digest
from buildsite.record.issued import Item, read_issued, whole_digest
from tests.cli.running import run
from tests.issuing.clones import TESTS, edit, issued, lab

FILE = f"{TESTS}/ML-101.yaml"
SAMPLE = "records/marsh-lane/samples/ML-S1.yaml"
WHY = ("--authorized-by", "E02", "--reason", "first issue", "--on", "2026-03-13")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """Make an archive that issued ML-101, and went on since."""
    made = lab(tmp_path)
    assert run("issue", "ML-101", *WHY, "--root", made).status == 0
    edit(made, "marsh-lane/samples/ML-S1.yaml", "2.69", "2.71")
    return made


def item(root: Path) -> Item:
    return issued(root, "ML-101").items[0]


def test_an_input_is_what_stands_or_what_git_held(root: Path) -> None:
    stands = (root / SAMPLE).read_bytes()
    before = stands.replace(b"2.71", b"2.69")
    contents = Contents(read_history(root), {SAMPLE: b"not committed"}.get)

    assert contents.find(SAMPLE, digest(b"not committed")) == b"not committed"
    assert contents.find(SAMPLE, digest(stands)) == stands
    assert contents.find(SAMPLE, digest(before)) == before
    assert contents.find(SAMPLE, digest(b"never there")) is None
    assert contents.earlier(SAMPLE, digest(b"not committed")) is None


def test_an_item_of_another_test_is_found_by_the_digest_of_the_item(
    root: Path,
) -> None:
    name = f"{TESTS}/ML-101.issued.yaml"
    data = (root / name).read_bytes()
    chain, _ = read_issued(name, data)
    assert chain is not None
    wanted = whole_digest(chain.trees[0])
    contents = Contents(read_history(root))

    assert contents.find(f"{name}#0", wanted) == data
    assert contents.find(f"{name}#1", wanted) is None
    assert list(contents.lost({f"{name}#0": wanted, FILE: wanted})) == [FILE]


def test_what_was_issued_is_computed_from_what_stood_then(root: Path) -> None:
    reported = dict(item(root).results)

    made = computed_as_issued(Contents(read_history(root)), item(root), FILE)

    assert made is not None
    assert {name: one.reported for name, one in made.results.items()} == reported
    assert made.used == item(root).used


def test_nothing_is_computed_where_an_input_is_lost(root: Path) -> None:
    lost = item(root).model_copy(
        update={"inputs": {**item(root).inputs, SAMPLE: digest(b"never there")}}
    )
    contents = Contents(read_history(root))

    assert SAMPLE not in found_inputs(contents, lost)
    assert archive_of(found_inputs(contents, lost), lost) is None
    assert computed_as_issued(contents, lost, FILE) is None


def test_a_commit_holds_all_of_the_inputs_or_none_is_named(root: Path) -> None:
    history = read_history(root)
    contents = Contents(history)
    newest, came, first = (commit.id for commit in history.commits)
    inputs = item(root).inputs

    assert contents.commit(inputs, ()) == came
    assert contents.commit(inputs, (newest, first)) == first
    assert contents.commit({**inputs, FILE: digest(b"never there")}, ()) == ""
    assert contents.commit({}, (newest,)) == ""
