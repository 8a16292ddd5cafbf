"""
The form of `used`: a later program hands over more, and no issued test moves.

The later program is this one with an answer, or a field of one, that enters with the
next form. The same addition without its declaration moves every test: that is what the
declaration is for.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, ClassVar

import pytest

from buildsite.archive.archive import Archive
from buildsite.archive.drift import MOVED, reported
from buildsite.kinds import answers, used_form
from buildsite.kinds.answers import NEVER, since
from buildsite.kinds.kind import Inputs
from buildsite.kinds.used import plain, used_digest
from buildsite.kinds.used_form import current_form
from buildsite.record.flags import Severity
from buildsite.record.source import read_source
from buildsite.values import dataclass
from buildsite.verifying.recomputed import item_difference
from tests.archives import archive_of, demo, issued, sound
from tests.cli.running import run
from tests.issuing.clones import issued as issued_of
from tests.issuing.clones import lab

TEST = "marsh-lane/tests/ML-101"
NEXT = current_form() + 1
KEY = ("Later", "lab", "")


@dataclass(frozen=True)
class Later:
    """What the next program hands to every report."""

    used_form: ClassVar[int] = NEXT
    text: str = "handed over since"


@dataclass(frozen=True)
class Undeclared:
    """The same, and nobody said that it is new."""

    text: str = "handed over since"


@dataclass(frozen=True)
class Known:
    """An answer of old with a field that has a value in every record of old."""

    text: str = "as ever"
    added: bool = since(NEXT, default=False)


@dataclass(frozen=True)
class Words:
    """Words about a source, which no digest covers."""

    used_form: ClassVar[int] = NEVER
    text: str = "read in our own copy"


Hand = Callable[[Any], None]


@pytest.fixture
def hand(monkeypatch: pytest.MonkeyPatch) -> Iterator[Hand]:
    """Let the program hand one more answer to every record."""

    def handing(answer: Any) -> None:
        monkeypatch.setattr(answers, type(answer).__name__, type(answer), raising=False)
        used_form.current_form.cache_clear()
        ask = Archive.ask

        def asked(self: Archive, entry: Any) -> Any:
            inputs, files, flags = ask(self, entry)
            more = {**inputs.answers, KEY: answer}
            return replace(inputs, answers=more), files, flags

        monkeypatch.setattr(Archive, "ask", asked)

    yield handing
    monkeypatch.undo()
    used_form.current_form.cache_clear()


def moved(files: Mapping[str, bytes]) -> list[Severity]:
    flags = archive_of(files).flags(f"records/{TEST}.yaml")
    return [flag.severity for flag in flags if flag.flag == MOVED.flag]


def test_a_later_answer_moves_no_issued_test(hand: Hand) -> None:
    files = issued(sound(), TEST, {})

    hand(Later())

    assert current_form() == NEXT
    assert moved(files) == []


def test_what_was_not_declared_moves_it(hand: Hand) -> None:
    files = issued(sound(), TEST, {})

    hand(Undeclared())

    assert moved(files) == [Severity.WARNING]


def test_an_item_of_the_later_program_covers_it(hand: Hand) -> None:
    hand(Later())
    files = issued(sound(), TEST, {"used_form": str(NEXT)})
    assert moved(files) == []

    hand(Later("another text"))

    assert moved(files) == [Severity.WARNING]


def test_words_about_a_source_move_no_test_of_any_form(hand: Hand) -> None:
    files = issued(sound(), TEST, {})

    hand(Words())

    assert current_form() == NEXT - 1
    assert moved(files) == []


def test_a_later_field_is_left_out_of_an_earlier_form_at_any_depth() -> None:
    value = {"a": (Known("x", added=True),)}

    assert plain(value, NEXT - 1) == {"a": [{"text": "x"}]}
    assert plain(value, NEXT) == {"a": [{"text": "x", "added": True}]}
    assert plain(value) == plain(value, NEXT)


def test_verify_compares_an_item_by_its_own_form(hand: Hand) -> None:
    files = issued(sound(), TEST, {})
    chain, _ = archive_of(files).chain(f"records/{TEST}.yaml")
    assert chain is not None

    def difference() -> str:
        made = archive_of(files).outcome(f"records/{TEST}.yaml")
        return item_difference(made, chain.items[0])

    hand(Later())
    assert difference() == ""

    hand(Undeclared())
    assert "other values used than the item states" in difference()


def test_the_form_itself_is_in_no_digest(hand: Hand) -> None:
    # So a test that has nothing of what came later has one digest in all forms.
    source = read_source("records/lab.yaml", sound()["records/lab.yaml"])
    before = used_digest(source, Inputs())

    hand(Later())

    assert used_digest(source, Inputs()) == before


def test_a_report_of_a_newer_program_says_to_update_this_one() -> None:
    files = issued(sound(), TEST, {"used_form": str(NEXT)})

    (flag,) = (
        flag
        for flag in archive_of(files).flags(f"records/{TEST}.yaml")
        if flag.flag == MOVED.flag
    )

    assert flag.severity is Severity.WARNING
    assert flag.found.startswith("ML-101 r0, issued with a newer version")
    assert flag.mend == "update the program, then check again"


def warned(archive: Archive) -> set[str]:
    """Issued tests that warn for a value used that changed."""
    return {
        flag.file
        for file in archive.files("test")
        for flag in archive.flags(file)
        if flag.flag == MOVED.flag and flag.found.startswith("results unchanged")
    }


def test_no_issued_test_of_the_demo_warns_because_the_program_hands_over_more(
    hand: Hand,
) -> None:
    hand(Later())

    assert warned(demo(issued=True)) == set()


def test_all_of_them_would_without_the_declaration(hand: Hand) -> None:
    archive = demo(issued=True)
    same = set()
    for file in archive.files("test"):
        issued, _ = archive.chain(file)
        item = issued.last_report if issued is not None else None
        made = archive.outcome(file)
        if made is None or item is None or item.kind != "report":
            continue
        if reported(made) == dict(item.results):
            same.add(file)

    hand(Undeclared())

    # A test whose results the program moves says that instead.
    assert len(same) > 10
    assert warned(demo(issued=True)) == same


ISSUE = ("--authorized-by", "E02", "--reason", "first issue", "--on", "2026-03-13")


def test_an_item_states_its_form_and_is_proved_by_it(
    tmp_path: Path, hand: Hand
) -> None:
    lab(tmp_path)
    at = ("--root", tmp_path)
    assert run("issue", "ML-101", *ISSUE, *at).status == 0
    first = last_item(tmp_path, "ML-101").get("used_form", "1")
    assert first == str(NEXT - 1)  # the first form is not stated

    hand(Later())
    assert run("issue", "ML-102", *ISSUE, *at).status == 0
    assert last_item(tmp_path, "ML-102")["used_form"] == str(NEXT)

    assert "ML-101" not in run("diff", *at).out


def test_what_the_program_hands_over_more_is_no_reason_to_issue_again(
    tmp_path: Path, hand: Hand
) -> None:
    lab(tmp_path)
    at = ("--root", tmp_path)
    assert run("issue", "ML-101", *ISSUE, *at).status == 0

    hand(Later())
    again = run("issue", "ML-101", *ISSUE, *at)

    assert again.status == 1
    assert "nothing changed since ML-101 r0" in again.err


def last_item(root: Path, test: str) -> Mapping[str, Any]:
    return issued_of(root, test).trees[-1]
