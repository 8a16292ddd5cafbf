"""Who uses a record is found among the texts that hold its id as a word."""

from collections.abc import Iterator, Mapping

import pytest

from buildsite.archive import dependents as module
from buildsite.archive.archive import Archive
from buildsite.archive.dependents import dependents
from buildsite.archive.identity import group_asked, group_of, name_of
from tests.archives import archive_of, demo, sound

OF_SOUND = {
    "equipment/M-04": ["ML-101", "ML-102"],
    "marsh-lane/samples/ML-S1": ["ML-101"],  # ML-102 is of another sample
    "lab": ["ML-101", "ML-102"],
    "marsh-lane/tests/ML-101": [],
}


def asks(archive: Archive) -> Iterator[tuple[str, str, str]]:
    """Each record of an archive, and group and id of what it asks for."""
    for file in archive.names:
        entry = archive.entry(file)
        if entry.kind is not None and entry.record is not None:
            for ref in entry.kind.needs(entry.record):
                yield file, group_asked(ref), ref.id


def by_asking_all(archive: Archive, file: str) -> list[str]:
    """The tests that use a record, found without looking at texts."""
    found, wave = set[str](), {file}
    while wave:
        wanted = {(group_of(one), name_of(one)) for one in wave}
        wave = {one for one, *what in asks(archive) if tuple(what) in wanted} - found
        found |= wave
    return sorted(one for one in found if group_of(one) == "test")


@pytest.mark.parametrize("file", OF_SOUND)
def test_the_tests_that_use_a_record(file: str) -> None:
    found = dependents(archive_of(sound()), [f"records/{file}.yaml"])

    assert [name_of(one) for one in found] == OF_SOUND[file]


def test_every_id_that_the_demo_asks_for_is_a_word_of_the_text() -> None:
    archive = demo(issued=True)
    there = {name_of(file) for file in archive.names}
    words = module.files_by_word(archive)

    asked = [
        (file, id)
        for file, group, id in asks(archive)
        if id in there and group != "laboratory"
    ]
    assert len(asked) > 100
    assert [one for one in asked if one[0] not in words[one[1]]] == []


@pytest.mark.parametrize(
    "file",
    [
        "records/equipment/M-04.yaml",
        "records/heron-flats/tests/HF-0104.yaml",
        "records/heron-flats/tests/HF-0117.yaml",
    ],
)
def test_those_of_the_demo_are_found_without_the_texts_too(file: str) -> None:
    archive = demo(issued=True)
    assert file in archive.names

    found = dependents(archive, [file])

    others = by_asking_all(archive, file)
    assert [one for one in found if one not in others] == []
    assert [one for one in others if one not in found and not bare(archive, one)] == []


def bare(archive: Archive, file: str) -> bool:
    """Whether a record uses only what is written in others, at second hand."""
    entry = archive.entry(file)
    assert entry.kind is not None
    return any(ref.bare for ref in entry.kind.needs(entry.record))


def test_texts_are_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    archive = archive_of(sound())
    looks: list[Archive] = []
    whole = module.files_by_word

    def noted(archive: Archive) -> Mapping[str, object]:
        looks.append(archive)
        return whole(archive)

    monkeypatch.setattr(module, "files_by_word", noted)
    for file in archive.files("test"):
        dependents(archive, [file])

    assert len(looks) == 1
