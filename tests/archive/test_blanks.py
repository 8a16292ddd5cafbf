"""The next record of a kind: its id, its place, its text."""

from collections.abc import Mapping
from pathlib import PurePosixPath

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import (
    initials,
    is_taken,
    new_record,
    next_id,
    place_of,
    proposed_id,
    quoted,
    slug,
)
from buildsite.archive.identity import group_of
from buildsite.kinds import all_kinds
from buildsite.record.letters import ID
from buildsite.record.source import read_source
from buildsite.record.unseen import UNSEEN
from tests.kinds.making import BASE, archive, kind

BLANK = [each for each in all_kinds() if each.blank is not None]
named = pytest.mark.parametrize("name", [each.name for each in BLANK])

TOLD: Mapping[str, Mapping[str, str]] = {
    "project": {"name": "Heron: Flats", "customer": "A, B & Co"},
    "sample": {"project": "p"},
    "moisture-density": {
        "project": "p",
        "sample": "S-1",
        "standard": "AASHTO T 99",
        "edition": "22",
        "method": "A",
        "on": "2026-03-10",
        "by": "T07",
        "compacted_unit": "lb",
    },
    "water-content": {
        "project": "p",
        "sample": "S-1",
        "standard": "AASHTO T 265",
        "edition": "15",
        "method": "none",
        "on": "2026-03-10",
        "by": "T07",
    },
    "coarse-fraction": {
        "project": "p",
        "sample": "S-1",
        "standard": "AASHTO T 85",
        "edition": "22",
        "sieve": "3/4 in",
        "on": "2026-03-10",
        "by": "T07",
    },
    "specific-gravity": {
        "project": "p",
        "sample": "S-1",
        "standard": "AASHTO T 100",
        "edition": "15",
        "method": "none",
        "on": "2026-03-10",
        "by": "T07",
    },
    "one-point": {
        "project": "p",
        "standard": "AASHTO T 272",
        "edition": "18",
        "method": "A",
        "effort": "T 99",
        "station": "12+40",
        "on": "2026-03-10",
        "by": "T07",
        "compacted_unit": "lb",
    },
    "field-density": {
        "project": "p",
        "zone": "fill",
        "lift": "7",
        "standard": "AASHTO T 191",
        "edition": "14(2018)",
        "station": "12+40",
        "reference": "T-1",
        "largest_particle": "No. 4",
        "on": "2026-03-10",
        "by": "T07",
    },
    "lift-acceptance": {"project": "p", "zone": "fill", "lift": "7"},
    "daily-report": {"project": "p", "on": "2026-03-10", "inspector": "T07"},
    "family-of-curves": {"project": "p", "name": "All", "members": "T-1, T-2, T-3"},
    "pycnometer": {"capacity": "500", "on": "2026-01-14"},
    "sand-cone": {"on": "2026-01-14"},
    "drive-cylinder": {"on": "2026-01-14"},
    "gauge": {"on": "2026-01-14"},
    "balloon": {"on": "2026-01-14"},
    "mold": {"nominal": "4 in", "on": "2026-01-14"},
    "rammer": {"operation": "manual", "face": "round", "on": "2026-01-14"},
    "balance": {"readability": "0.01", "on": "2026-01-14"},
    "oven": {"on": "2026-01-14"},
    "sieve": {"opening": "No. 4", "on": "2026-01-14"},
}


def test_every_kind_but_the_laboratory_has_a_blank() -> None:
    assert [each.name for each in all_kinds() if each.blank is None] == ["laboratory"]
    assert set(TOLD) == {each.name for each in BLANK}


def written(name: str, told: Mapping[str, str]) -> Archive:
    """The least archive with a new record in it."""
    one = new_record(kind(name), "N-1", told)
    data = {file: text.encode() for file, text in BASE.items()}
    data[one.file] = one.text.encode()
    return Archive(sorted(data), data.__getitem__)


@named
def test_a_blank_that_was_told_all_it_asks_for_is_a_record(name: str) -> None:
    found = written(name, TOLD[name])
    file = place_of(kind(name), "N-1", "p")

    outcome = found.outcome(file)

    assert outcome is not None, "\n".join(map(str, found.flags(file)))
    assert outcome.kind.name == name
    assert not outcome.blocked
    assert "missing-field" not in {flag.flag for flag in outcome.flags}
    rests = ("mold", "drive-cylinder", "family-of-curves")  # on what is not there
    if kind(name).group != "test" and name not in rests:
        assert outcome.flags == ()


@named
def test_a_blank_that_was_told_nothing_misses_only_what_it_needs(name: str) -> None:
    # The project is always known: a sample or test stands in its folder.
    found = written(name, {"project": "p"})
    file = place_of(kind(name), "N-1", "p")

    flags = {flag.flag for flag in found.flags(file)}

    assert flags <= {"missing-field"}
    assert bool(flags) is (name != "sample")


@named
def test_a_blank_asks_for_each_thing_it_has_a_place_for(name: str) -> None:
    blank = kind(name).blank
    assert blank is not None
    # A text that varies with an answer takes only one of its choices.
    marked = {
        ask.name: ask.choices[-1] if blank.varies and ask.choices else f"x{i}x"
        for i, ask in enumerate(blank.asks)
    }

    text = new_record(kind(name), "N-1", {**marked, "project": "p"}).text

    for ask in blank.asks:
        assert ask.words
        if ask.name != "project":
            assert marked[ask.name] in text, ask.name


@named
def test_a_blank_is_tidy_and_names_its_schema(name: str) -> None:
    one = new_record(kind(name), "N-1", TOLD[name])
    first, *_ = one.text.splitlines()

    lead = "# yaml-language-server: $schema="
    assert first.startswith(lead)
    folder = PurePosixPath(one.file).parent
    up = first.removeprefix(lead)
    climbs = up.count("../")
    assert PurePosixPath(*folder.parts[: len(folder.parts) - climbs]) == PurePosixPath(
        "records"
    )
    assert up.endswith(f".schema/{name}.json")
    assert one.text.endswith("\n")
    assert all(line == line.rstrip() for line in one.text.splitlines())
    assert group_of(one.file) == kind(name).group


def test_a_kind_without_a_blank_is_refused() -> None:
    with pytest.raises(ValueError, match="no blank"):
        new_record(kind("laboratory"), "lab", {})


@example("inf")
@example("NaN")
@example("no")
@example("- x")
@example("a # b")
@example("a: b, {c}")
@example("\N{NEXT LINE}")
@example("\U0002ebe1")
@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=30))
def test_whatever_was_told_is_read_back_as_it_shows(text: str) -> None:
    source = read_source(
        "x.yaml", f"a: {{b: {quoted(text)}}}\nc: {quoted(text)}\n".encode()
    )

    assert source.faults == ()
    assert source.tree["c"] == (UNSEEN.sub(" ", text) or None)


@pytest.mark.parametrize(
    ("ids", "prefix", "digits", "expected"),
    [
        ([], "HF-", 4, "HF-0001"),
        (["HF-0117"], "XX-", 4, "HF-0118"),
        (["HF-0117", "HF-0009"], "XX-", 4, "HF-0118"),
        (["HF-9999"], "XX-", 4, "HF-10000"),
        (["A-1", "A-2", "B-9"], "XX-", 4, "A-3"),
        (["no number"], "HF-", 4, "HF-0001"),
        (["HF-S09"], "HF-S", 2, "HF-S10"),
        (["7"], "HF-", 2, "8"),
    ],
)
def test_the_next_id(ids: list[str], prefix: str, digits: int, expected: str) -> None:
    assert next_id(ids, prefix, digits) == expected


@pytest.mark.parametrize(
    ("project", "letters"), [("heron-flats", "HF"), ("a.b_c", "ABC"), ("p", "P")]
)
def test_a_projects_initials(project: str, letters: str) -> None:
    assert initials(project) == letters


@pytest.mark.parametrize(
    ("name", "id"),
    [
        ("Heron Flats", "heron-flats"),
        ("  A/B: phase 2 ", "a-b-phase-2"),
        ("ÄÖ", ""),
        ("x" * 90, "x" * 40),
    ],
)
def test_a_projects_id_is_made_of_its_name(name: str, id: str) -> None:
    assert slug(name) == id
    assert not id or ID.fullmatch(id)


def propose(files: Mapping[str, str], of: str, /, **told: str) -> str:
    return proposed_id(archive(files), kind(of), told)


def test_ids_go_on_within_their_project() -> None:
    files = {
        "records/p/tests/P-0007.yaml": "",
        "records/p/samples/P-S03.yaml": "",
        "records/equipment/M-04.yaml": "",
        "records/equipment/B-11.yaml": "",
    }

    assert propose(files, "moisture-density", project="p") == "P-0008"
    assert propose(files, "sample", project="p") == "P-S04"
    assert propose(files, "mold") == "M-05"
    assert propose(files, "balance") == "B-12"
    assert propose(files, "rammer") == "R-01"


def test_an_id_that_another_project_has_is_not_proposed() -> None:
    # Test ids are unique over all projects, whatever the case of their letters.
    files = {
        "records/heron-flats/tests/HF-0001.yaml": "",
        "records/heron-flats/tests/hf-0002.yaml": "",
        "records/hill-farm/project.yaml": "",
    }

    assert propose(files, "moisture-density", project="hill-farm") == "HF-0003"


def test_a_project_takes_its_name_unless_that_is_taken() -> None:
    files = {"records/heron-flats/project.yaml": ""}

    assert propose(files, "project", name="Hill Farm") == "hill-farm"
    assert propose(files, "project", name="Heron Flats") == "P-01"
    assert propose(files, "project") == "P-01"
    assert propose({"records/P-01/project.yaml": ""}, "project") == "P-02"


def test_the_case_of_letters_makes_no_other_id() -> None:
    assert is_taken(archive({}), "sample", "s-1")
    assert not is_taken(archive({}), "test", "s-1")
