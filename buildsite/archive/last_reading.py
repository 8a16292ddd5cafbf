"""Where a test in progress stands: its last reading, and the next."""

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from typing import Any

from buildsite.archive.bench_places import line_text, written_text
from buildsite.kinds.bench_spec import Bench, Part, Reading
from buildsite.kinds.outcome import Outcome
from buildsite.record.compose import Tree
from buildsite.record.flags import Field
from buildsite.record.set_reading import value_at
from buildsite.values import dataclass


@dataclass(frozen=True)
class Place:
    """One reading of the bench, in the order of the work: where, and what stands."""

    field: Field
    line: str  # such as Point 3; blank outside a list
    reading: Reading
    value: str

    @property
    def words(self) -> str:
        """Return the reading in words, with its line."""
        words = self.reading.words
        if not self.line:
            return words
        return f"{self.line}, {words[:1].lower()}{words[1:]}"

    @property
    def stated(self) -> str:
        """Return the reading in words, with value and unit."""
        return f"{self.words}: {self.value} {self.reading.unit}".rstrip()


@dataclass(frozen=True)
class Standing:
    """
    The state of a test in progress.

    `oven_in`: since when its soil is in the oven, None if it is not; `ready` the first
    moment at which it may be dry, None where the method states no time.
    """

    last: Place | None
    next: Place | None
    oven_in: datetime | None
    ready: datetime | None


def standing(made: Outcome) -> Standing:
    """Return where a test in progress stands."""
    kind, case = made.kind, made.case
    bench = kind.bench(case) if kind.bench is not None else Bench(())
    readings = list(in_order(bench.parts, made.source.tree))
    filled = [
        i
        for i, one in enumerate(readings)
        if one.value and one.reading.takes in READ_OFF
    ]
    after = filled[-1] if filled else -1
    in_turn = (*readings[after + 1 :], *readings[: after + 1])
    blank = [one for one in in_turn if not one.value and one.reading.needed]
    begun = oven_begun(case.record, readings, after)
    least = case.cell("oven_least")
    ready = None
    if begun and begun.year < begun.max.year and least is not None:
        ready = begun + timedelta(hours=least.si)
    return Standing(
        readings[after] if filled else None,
        blank[0] if blank else None,
        begun,
        ready,
    )


READ_OFF = ("number", "time")
"""What is read or weighed; names and dates may be filled in at any time."""


def oven_begun(record: Any, readings: Sequence[Place], last: int) -> datetime | None:
    """Return since when soil is in the oven; None if it is not, or came out."""
    oven = getattr(record, "oven", None)
    if oven is None or oven.in_ is None or oven.out is not None:
        return None
    put_in = [i for i, one in enumerate(readings) if one.field == OVEN_IN]
    begun: datetime = oven.in_
    return begun if not put_in or last <= put_in[0] + ALONGSIDE else None


OVEN_IN: Field = ("oven", "in")
ALONGSIDE = 1
"""Readings after that of the oven that may be entered while soil is in it: its
temperature."""


def in_order(parts: Sequence[Part], tree: Tree) -> Iterator[Place]:
    """Return every reading of a bench, part by part and line by line."""
    for part in parts:
        if part.once:
            yield from readings_of(part, part.at, "", value_at(tree, part.at))
            continue
        lines = value_at(tree, part.at)
        lines = lines if isinstance(lines, list) else []
        every = range(max(len(lines), part.times))
        for i in every if part.only is None else part.only:
            line = lines[i] if i < len(lines) else {}
            if isinstance(line, dict) and line.get("rejected") is None:
                name = f"{part.line} {i + 1}".strip()
                yield from readings_of(part, (*part.at, i), name, line)


def readings_of(part: Part, at: Field, name: str, line: Any) -> Iterator[Place]:
    """Return the readings of one line."""
    here = line if isinstance(line, dict) else {}
    for reading in part.readings:
        value = line_text(here, reading) or written_text(value_at(here, reading.path))
        if reading.paper and not value:
            continue  # not asked for
        if value or not any(here.get(other) is not None for other in reading.unless):
            yield Place((*at, *reading.path), name, reading, value)
