"""The sheet of one shape as it is drawn: all but its values."""

from collections.abc import Iterator, Sequence
from functools import cache
from typing import NamedTuple

from buildsite.archive.bench_places import Places, Way, label
from buildsite.kinds.bench_spec import Reading
from buildsite.pages.render import own, policy_of
from buildsite.record.messages import join_choices
from buildsite.values import dataclass

PLACE = "\ufffe"
"""Marks a place in a drawn sheet: a code point that the reader lets no record hold."""


class Box(NamedTuple):
    """A place to write in, once on the sheet."""

    label: str
    hint: str
    value: str = PLACE


class Line(NamedTuple):
    """A reading, and a place for it at each line of a list."""

    label: str
    hint: str
    places: tuple[str, ...]
    css: str


class Section(NamedTuple):
    """Boxes, or a table with a column for each line of a list."""

    boxes: tuple[Box, ...] = ()
    title: str = ""
    heads: tuple[str, ...] = ()
    lines: tuple[Line, ...] = ()
    ticks: tuple[str, ...] = ()
    css: str = ""


class TableShape(NamedTuple):
    """A table of a list: which stretch it is of, its columns, its further rows."""

    stretch: int
    heads: tuple[str, ...]
    ways: tuple[Way, ...]
    wide: bool  # too wide for large type


class Head(NamedTuple):
    """Whose sheet it is, and of what."""

    laboratory: str
    place: str
    robots: str
    title: str
    notices: tuple[str, ...]


class Shape(NamedTuple):
    """All of a sheet but its values: sheets of one shape are drawn alike."""

    head: Head
    facts: tuple[str, ...]
    full: tuple[bool, ...]  # which boxes are filled in
    tables: tuple[TableShape, ...]
    others: tuple[str, ...]
    steps: tuple[str, ...]
    ticks: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Worksheet:
    """Everything that the template says, with a mark in every place."""

    head: Head
    shape: Shape
    sections: tuple[Section, ...]
    ticks: tuple[str, ...]  # of the whole sheet
    style: str
    policy: str
    value: str = PLACE
    template: str = "worksheet.html"


LONG = 8
"""Rows of a table beyond which they are less high."""


def page(stretches: Sequence[Places], shape: Shape) -> Worksheet:
    """Put a sheet together, with a mark in every place."""
    style, policy = style_of()
    lists = sum(1 for one in stretches if one.at)
    # Of one list each line is ticked; of several, nobody knows which a tick is of.
    ticks = ((), shape.ticks) if lists == 1 else (shape.ticks, ())
    sections = tuple(make_sections(stretches, shape, ticks[1]))
    return Worksheet(shape.head, shape, sections, ticks[0], style, policy)


def make_sections(
    stretches: Sequence[Places], shape: Shape, ticks: tuple[str, ...]
) -> Iterator[Section]:
    """Sections in the order of the work; `ticks` are rows of the table."""
    full = iter(shape.full)
    for number, one in enumerate(stretches):
        if not one.at:
            yield Section(tuple(box(r, full=next(full)) for _, r in one.singles))
            continue
        for drawn in shape.tables:
            if drawn.stretch == number:
                yield table(one, drawn, ticks)


def table(place: Places, drawn: TableShape, ticks: tuple[str, ...]) -> Section:
    """A table with a row for each reading, and one for each tick."""
    marks = (PLACE,) * len(drawn.heads)
    lines = (
        *(Line(one.words, hint(one), marks, "") for one in place.readings),
        *(Line(label(way), "", marks, "small") for way in drawn.ways),
    )
    css = " ".join(("long",) * (len(lines) > LONG) + ("wide",) * drawn.wide)
    return Section((), place.line, drawn.heads, lines, ticks, css)


@cache
def style_of() -> tuple[str, str]:
    """The sheet's own style, and the rule that lets nothing else into the file."""
    style = own("worksheet.css").decode()
    return style, policy_of(style)


HINTS = {"time": "day, hour", "equipment": "no."}
"""What is to be written where it is no number."""


@cache
def hint(reading: Reading) -> str:
    """Unit and last place of a reading, its choices, or what the method prescribes."""
    step = reading.resolution
    if reading.unit:
        fine = f", read to {step.normalize():f}" if step is not None else ""
        return f"{reading.unit}{fine}"
    if reading.usual:
        return f"prescribed: {reading.usual}"
    if reading.choices:
        return join_choices(reading.choices)
    told = HINTS.get(reading.takes, "")
    return "" if told and reading.words.endswith(told) else told


def box(reading: Reading, *, full: bool) -> Box:
    """A place to write in. What was filled in needs its unit, and no more telling."""
    return Box(reading.words, hint(reading) if reading.unit or not full else "")
