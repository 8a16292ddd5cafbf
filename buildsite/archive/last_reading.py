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
from buildsite.record.typed import without_blanks
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
    moment at which it may be dry, None where the method states no time. `required`:
    what is still required once no reading is blank, such as a further point.
    """

    last: Place | None
    next: Place | None
    oven_in: datetime | None
    ready: datetime | None
    required: tuple[str, ...] = ()


def standing(made: Outcome) -> Standing:
    """
    Return where a test in progress stands.

    What `new` filled in is no reading: nothing is read until a line is.
    """
    kind, case = made.kind, made.case
    bench = kind.bench(case) if kind.bench is not None else Bench(())
    readings = list(in_order(bench.parts, made.source.tree))
    turn = in_time(readings)
    filled = [i for i in turn if readings[i].value and is_read_off(readings[i])]
    begun = any(readings[i].line for i in filled)
    goes_on = next_place(readings, turn[turn.index(filled[-1]) :] if filled else turn)
    heated = in_the_oven(readings)
    least = case.cell("oven_least")
    ready = None
    if heated and heated.year < heated.max.year and least is not None:
        ready = heated + timedelta(hours=least.si)
    return Standing(
        readings[filled[-1]] if begun else None,
        goes_on,
        heated,
        ready,
        bench.progress().required if goes_on is None else (),
    )


READ_OFF = ("number", "time")
"""What is read or weighed; names and dates may be filled in at any time."""


def is_read_off(place: Place) -> bool:
    """Return whether a place is of something read or weighed."""
    return place.reading.takes in READ_OFF


def in_time(readings: Sequence[Place]) -> list[int]:
    """Return the order of the work: lines dried by themselves come after the others."""
    later = apart(readings)
    return sorted(range(len(readings)), key=lambda i: readings[i].field[:2] in later)


def apart(readings: Sequence[Place]) -> set[Field]:
    """Return the lines that have an oven of their own."""
    return {one.field[:-2] for one in readings if one.field[-2:] == OVEN_IN} - {()}


def next_place(readings: Sequence[Place], ahead: Sequence[int]) -> Place | None:
    """
    Return the first needed reading that is blank, as `enter` goes on with it.

    What was passed over outside a list, such as a temperature, waits for the lines;
    `ahead` is from the last reading on. Optional ones before it on its line come first
    if other lines have them.
    """
    blank = [i for i, one in enumerate(readings) if not one.value]
    needed = [i for i in blank if readings[i].reading.needed]
    first = next((i for i in needed if readings[i].line or i in ahead), None)
    if first is None or not readings[first].line:
        return readings[needed[0]] if needed else None
    own = [one for one in readings if one.line == readings[first].line]
    if any(one.value and one.reading.needed for one in own):
        return readings[first]
    made = {one.reading.name for one in readings if one.line and one.value}
    before = [readings[i] for i in blank if i < first and readings[i] in own]
    return next((one for one in before if one.reading.name in made), readings[first])


def in_the_oven(readings: Sequence[Place]) -> datetime | None:
    """
    Return since when soil is in an oven; None if none is.

    It came out at a time, or when the first dry mass was read. A line may have been
    dried by itself.
    """
    values = {one.field: one.value for one in readings}
    inside = [
        i
        for i, one in enumerate(readings)
        if one.field[-2:] == OVEN_IN
        and one.value
        and not values.get((*one.field[:-1], "out"))
    ]
    lines, since = apart(readings), []
    for i in inside:
        lead = readings[i].field[:-2]
        dry = [
            one
            for one in readings[i + 1 :]
            if one.value and is_read_off(one) and "oven" not in one.field
            if (one.field[:2] == lead if lead else one.field[:2] not in lines)
        ]
        since += [datetime.fromisoformat(readings[i].value)] if not dry else []
    return min(since, default=None)


OVEN_IN: Field = ("oven", "in")


def in_order(parts: Sequence[Part], tree: Tree) -> Iterator[Place]:
    """Return every reading of a bench, part by part and line by line."""
    for part in parts:
        if part.once:
            yield from readings_of(part, part.at, "", value_at(tree, part.at))
            continue
        lines = value_at(tree, part.at)
        lines = lines_begun(lines) if isinstance(lines, list) else []
        every = range(max(len(lines), part.times))
        for i in every if part.only is None else part.only:
            line = lines[i] if i < len(lines) else {}
            if isinstance(line, dict) and line.get("rejected") is None:
                name = f"{part.line} {i + 1}".strip()
                yield from readings_of(part, (*part.at, i), name, line)


def lines_begun(lines: Sequence[Any]) -> Sequence[Any]:
    """Return the lines of a list without blank ones at its end: not asked for."""
    count = len(lines)
    while count and not without_blanks({"line": lines[count - 1]}):
        count -= 1
    return lines[:count]


def readings_of(part: Part, at: Field, name: str, line: Any) -> Iterator[Place]:
    """Return the readings of one line."""
    here = line if isinstance(line, dict) else {}
    for reading in part.readings:
        value = line_text(here, reading) or written_text(value_at(here, reading.path))
        if reading.paper and not value:
            continue  # not asked for
        if value or not any(here.get(other) is not None for other in reading.unless):
            yield Place((*at, *reading.path), name, reading, value)
