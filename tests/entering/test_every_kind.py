"""Every kind with a bench sheet can be entered, from the blank that `new` writes."""

from datetime import date
from typing import Any

import pytest

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import new_record
from buildsite.entering.answer_check import WorkingRecord
from buildsite.entering.session import Session
from buildsite.kinds import all_kinds
from buildsite.kinds.kind import Kind
from tests.archives import sound
from tests.entering.session import hold

AT_BENCH = [
    kind for kind in all_kinds() if kind.bench is not None and kind.blank is not None
]
TOLD = {
    "project": "marsh-lane",
    "sample": "ML-S1",
    "on": "2026-03-10",
    "by": "T07",
    "edition": "22",
    "moisture_unit": "g",
    "zone": "embankment",
    "lift": "7",
}
ENOUGH = 200
"""More questions than any bench sheet has."""


def begun(kind: Kind[Any, Any]) -> Session:
    """Sit down at a new record of a kind, filled in as far as the blank asks."""
    blank = kind.blank
    assert blank is not None
    told = {ask.name: ask.default for ask in blank.asks} | TOLD
    new = new_record(kind, "ML-201", told)
    data = {**sound(), new.file: new.text.encode()}
    record = WorkingRecord(
        new.file, Archive(sorted(data), data.__getitem__), "T07", date(2026, 3, 10)
    )
    state = record.state(new.text.encode())
    assert state.outcome is not None, "\n".join(map(str, state.flags))
    return Session(record, state, None)


@pytest.mark.parametrize("kind", AT_BENCH, ids=lambda kind: kind.name)
def test_all_of_it_can_be_passed_over(kind: Kind[Any, Any]) -> None:
    held = hold(begun(kind), ["skip"] * ENOUGH)

    assert 5 < len(held.asked) < ENOUGH
    assert held.saved == []
    assert held.said[-1].startswith("ML-201: saved")


class Nonsense:
    """Answers everything, with numbers that mean nothing, and stands by them."""

    def __init__(self) -> None:
        self.count, self.numbers, self.last = 0, list[str](), ""

    def __call__(self, prompt: str) -> str | None:
        self.count += 1
        if self.count > ENOUGH:
            return None
        if "Impossible." not in prompt:
            self.last = self.answer(prompt)
        return self.last

    def answer(self, prompt: str) -> str:
        for sign, answer in self.signs:
            if sign in prompt:
                return answer
        if "(" not in prompt:  # a text
            return f"B{self.count}"
        self.numbers.append(f"{30 + self.count}.20")
        return self.numbers[-1]

    signs = (
        ("why it is right", "seen a second time"),
        ("Why is it right", "seen a second time"),
        ("Add ", "no"),
        ("complete?", "no"),
        ("(1 ", "1"),
        ("(hh:mm)", "15:20"),
        ("[", ""),
    )


@pytest.mark.parametrize("kind", AT_BENCH, ids=lambda kind: kind.name)
def test_every_number_finds_its_place(kind: Kind[Any, Any]) -> None:
    at, person = begun(kind), Nonsense()
    held = hold(at, person)
    if at.deferred:  # a morning on the fill: the oven comes another time
        assert held.said[-1].startswith("ML-201: saved. Still blank: into the oven")
        held = hold(Session(at.record, at.state, at.data), person)

    if kind.units:  # a paper has no readings
        assert len(person.numbers) > 3
    assert [n for n in person.numbers if held.text.count(n) == 0] == []
    assert held.said[-1] == "ML-201: saved. All readings entered."


@pytest.mark.parametrize("kind", AT_BENCH, ids=lambda kind: kind.name)
def test_help_says_where_the_work_can_hurt(kind: Kind[Any, Any]) -> None:
    at = begun(kind)
    held = hold(at, ["?"])

    assert at.state.bench is not None
    assert set(at.state.bench.cautions) <= set(held.said)
