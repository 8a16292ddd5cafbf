"""A bench sheet as drawn, all but its values."""

from collections.abc import Iterator, Sequence
from functools import cache
from typing import NamedTuple

from buildsite.archive.bench_places import Places, Way, label, rows_of
from buildsite.kinds.bench_spec import Reading, unit_text
from buildsite.pages.render import policy_of, template_file
from buildsite.record.messages import join_choices
from buildsite.values import dataclass

PLACE = "\ufffe"
"""Marks a place for a value: a code point that no record may contain."""


class Box(NamedTuple):
    """A field to fill in, once on the sheet."""

    label: str
    hint: str
    value: str = PLACE


class Line(NamedTuple):
    """A row of a table: one reading, with a field in each column."""

    label: str
    hint: str
    places: tuple[str, ...]
    css: str


class Section(NamedTuple):
    """Fields, or a table with a column for each entry of a list."""

    boxes: tuple[Box, ...] = ()
    title: str = ""
    heads: tuple[str, ...] = ()
    lines: tuple[Line, ...] = ()
    ticks: tuple[str, ...] = ()
    css: str = ""


class TableShape(NamedTuple):
    """A table of a list: which section it belongs to, its columns, its extra rows."""

    stretch: int
    heads: tuple[str, ...]
    ways: tuple[Way, ...]
    wide: bool  # too wide for large type
    second: bool  # rows for a second container


class Head(NamedTuple):
    """Heading of a sheet: laboratory and kind of test."""

    laboratory: str
    place: str
    robots: str
    title: str
    notices: tuple[str, ...]


class Shape(NamedTuple):
    """All of a sheet but its values: sheets of one shape share a drawing."""

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
    """Everything the template shows, with a mark in the place of every value."""

    head: Head
    shape: Shape
    sections: tuple[Section, ...]
    ticks: tuple[str, ...]  # of the whole sheet
    style: str
    policy: str
    value: str = PLACE
    template: str = "worksheet.html"


LONG = 13
"""Number of rows above which rows are less high."""


def page(stretches: Sequence[Places], shape: Shape) -> Worksheet:
    """Return a sheet with a mark in the place of every value."""
    style, policy = style_of()
    lists = sum(1 for one in stretches if one.at)
    # With one list its columns are ticked; with several a tick would be ambiguous.
    ticks = ((), shape.ticks) if lists == 1 else (shape.ticks, ())
    sections = tuple(make_sections(stretches, shape, ticks[1]))
    return Worksheet(shape.head, shape, sections, ticks[0], style, policy)


def make_sections(
    stretches: Sequence[Places], shape: Shape, ticks: tuple[str, ...]
) -> Iterator[Section]:
    """Return sections in the order of the work; `ticks` are rows of the table."""
    full = iter(shape.full)
    for number, one in enumerate(stretches):
        if not one.at:
            yield Section(tuple(box(r, full=next(full)) for _, r in one.singles))
            continue
        for drawn in shape.tables:
            if drawn.stretch == number:
                yield table(one, drawn, ticks)


def table(place: Places, drawn: TableShape, ticks: tuple[str, ...]) -> Section:
    """Return a table with a row for each reading and each tick."""
    marks = (PLACE,) * len(drawn.heads)
    lines = (
        *(
            Line(one.words, "" if one.second else hint(one.reading), marks, "")
            for one in rows_of(place.readings, second=drawn.second)
        ),
        *(Line(label(way), "", marks, "small") for way in drawn.ways),
    )
    css = " ".join(("long",) * (len(lines) > LONG) + ("wide",) * drawn.wide)
    return Section((), place.line, drawn.heads, lines, ticks, css)


@cache
def style_of() -> tuple[str, str]:
    """Return the style of the sheet, and the policy that admits nothing else."""
    style = template_file("worksheet.css").decode()
    return style, policy_of(style)


HINTS = {"time": "day, hour", "equipment": "no."}
"""Hints for entries that are not numbers."""


@cache
def hint(reading: Reading) -> str:
    """Return a reading's unit and resolution, its choices, or the prescribed value."""
    if reading.unit:
        return unit_text(reading)
    if reading.usual:
        return f"prescribed: {reading.usual}"
    if reading.choices:
        return join_choices(reading.choices)
    text = HINTS.get(reading.takes, "")
    return "" if text and reading.words.endswith(text) else text


def box(reading: Reading, *, full: bool) -> Box:
    """Return a field to fill in. A field filled in shows its unit, no other hint."""
    return Box(reading.words, hint(reading) if reading.unit or not full else "")
