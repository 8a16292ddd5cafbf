"""A session without a terminal: answers in, what was said, saved and committed out."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.entering.answer_check import WorkingRecord
from buildsite.entering.messages import AskFor, CommitRecord, Save, Say
from buildsite.entering.session import Session, Stopped
from buildsite.entering.talk import talk
from buildsite.entering.uncommitted import Slip, Stage
from buildsite.record.source import read_source
from tests.archives import sound

SEPARATE = "records/marsh-lane/tests/ML-102.yaml"
REUSED = "records/marsh-lane/tests/ML-101.yaml"
Answering = Callable[[str], str | None]
"""What is said to a prompt; nothing by who has gone."""

LATER = ("dried", "entered", "bench_sheet", "reviewed", "oven")


def begun(
    points: int, file: str = SEPARATE, *, dry: bool = False, pan: bool = False
) -> str:
    """
    A test of the sound archive, as far as it is with so many points compacted.

    Whether the soil in the pan and its water are on record says `pan`.
    """
    every, made = sound()[file].decode().splitlines(keepends=True), 0
    kept = ["# A bench sheet, with a comment.\n"]
    for line in every:
        if line.startswith("  - "):
            made += 1
            line = line if dry else DRY.sub("", line)
            line = line if pan or file != SEPARATE else PAN.sub("", line)
            kept += [line] if made <= points else []
        elif not line.startswith(LATER):
            kept.append(line)
    text = "".join(kept).replace("status: complete", "status: in-progress   # yet")
    return text if points else text.replace("points:", "points: []")


PAN = re.compile(r"(specimen_mass|water_added_ml): [0-9.]+, ")
DRY = re.compile(r", container_and_dry: [0-9.]+")
OVEN = "oven: {in: 2026-03-10T15:40, out: 2026-03-11T08:05, temperature_c: 110}\n"


@dataclass
class Held:
    """What came of a talk."""

    said: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)
    saved: list[str] = field(default_factory=list)
    commits: list[CommitRecord] = field(default_factory=list)
    text: str = ""

    @property
    def tree(self) -> dict[str, Any]:
        return read_source(SEPARATE, self.text.encode()).tree

    @property
    def words(self) -> str:
        return "\n".join(self.said)


def session(
    text: str, base: str | None = None, file: str = SEPARATE, other: str = ""
) -> Session:
    """Sit down at a record that was committed as it stands, beside an `other` test."""
    data = {**sound(), file: text.encode()}
    if other:
        data["records/marsh-lane/tests/ML-150.yaml"] = other.encode()
    record = WorkingRecord(
        file, Archive(sorted(data), data.__getitem__), "T07", date(2026, 3, 10)
    )
    return Session(record, record.state(text.encode()), (base or text).encode())


def in_turn(answers: Sequence[str]) -> Answering:
    """Say one answer after the other, then go away."""
    waiting = list(answers)
    return lambda prompt: waiting.pop(0) if waiting else None


def hold(
    at: Session,
    answers: Sequence[str] | Answering,
    *,
    recovered: str = "",
    foreign: bool = False,
) -> Held:
    """
    Hold a talk; whoever has no answer left goes away.

    What stands uncommitted in the record is of `recovered`, or of others: `foreign`.
    """
    if recovered or foreign:
        at.earlier = Slip(at.base or b"", (Stage(at.data, recovered),))
    held = Held(text=at.state.source.text)
    say = answers if callable(answers) else in_turn(answers)
    talking = talk(at)
    answer: Any = None
    away = False
    while True:
        try:
            effect = talking.throw(Stopped) if away else talking.send(answer)
        except StopIteration:
            return held
        away, answer = False, None
        if isinstance(effect, AskFor):
            held.asked.append(effect.prompt)
            answer = say(effect.prompt)
            away = answer is None
        elif isinstance(effect, Say):
            held.said += effect.lines
        else:
            answer, held.text = True, effect.data.decode()
            if isinstance(effect, Save):
                held.saved.append(held.text)
            else:
                held.commits.append(effect)


def entered(text: str, *answers: str, file: str = SEPARATE) -> Held:
    """Enter some answers into a record that was committed as it stands."""
    return hold(session(text, file=file), answers)
