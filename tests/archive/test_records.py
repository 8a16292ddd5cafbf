"""What archives of several states share: read once, computed once, and forgotten."""

from collections.abc import Mapping

import pytest

from buildsite.archive.archive import Archive
from buildsite.archive.entries import Shared
from buildsite.exports.result_json import result_json
from buildsite.kinds.outcome import Outcome
from tests.archives import sound

TEST = "records/marsh-lane/tests/ML-101.yaml"
LAB = "records/lab.yaml"
SAMPLE = "records/marsh-lane/samples/ML-S1.yaml"


def archive(files: Mapping[str, bytes], shared: Shared) -> Archive:
    return Archive(sorted(files), dict(files).__getitem__, shared=shared)


def written(made: Outcome | None) -> bytes:
    """Write all that a result says, its files and flags included."""
    assert made is not None
    return result_json(made, {})


def replaced(name: str, old: bytes, new: bytes) -> dict[str, bytes]:
    files = dict(sound())
    assert files[name].count(old) == 1
    return {**files, name: files[name].replace(old, new)}


def test_the_same_files_at_two_states_are_read_and_computed_once() -> None:
    shared = Shared()

    first = archive(sound(), shared).outcome(TEST)
    second = archive(sound(), shared).outcome(TEST)

    assert first is not None
    assert second is first


def test_a_file_of_which_no_value_is_used_moves_only_the_inputs() -> None:
    shared = Shared()
    first = archive(sound(), shared).outcome(TEST)
    files = {**sound(), LAB: sound()[LAB] + b"# a comment\n"}

    second = archive(files, shared).outcome(TEST)

    assert first is not None
    assert second is not None
    assert second.case is first.case
    assert written(second) == written(archive(files, Shared()).outcome(TEST))
    assert second.inputs[LAB] != first.inputs[LAB]


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        (SAMPLE, b"2.69", b"2.71"),
        (TEST, b"soil: 8.64", b"soil: 8.60"),
    ],
)
def test_another_answer_or_reading_is_computed_anew(
    name: str, old: bytes, new: bytes
) -> None:
    shared = Shared()
    first = archive(sound(), shared).outcome(TEST)
    files = replaced(name, old, new)

    second = archive(files, shared).outcome(TEST)

    assert first is not None
    assert written(second) == written(archive(files, Shared()).outcome(TEST))
    assert second is not None
    assert second.used != first.used


def test_what_is_forgotten_is_computed_again() -> None:
    shared = Shared()
    first = archive(sound(), shared).outcome(TEST)

    shared.forget([TEST])
    second = archive(sound(), shared).outcome(TEST)

    assert written(second) == written(first)
    assert second is not first
