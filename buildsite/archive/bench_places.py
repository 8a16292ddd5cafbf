"""The readings of a bench sheet in a record: their fields and values."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any, NamedTuple

from buildsite.kinds.bench_spec import Part, Reading
from buildsite.record.compose import Tree
from buildsite.record.flags import Field
from buildsite.record.set_reading import value_at

ACROSS = 6
"""Columns of a table on the sheet: as many as leave room to write."""

JUDGED = frozenset(
    (
        *("format", "kind", "id", "project", "sample", "standard", "units", "status"),
        *("reviewed", "withdrawn", "accepted", "deviations", "curve", "remarks"),
    )
)
"""Fields at the head or foot of the sheet, or that are not readings."""


class Places(NamedTuple):
    """
    A section of the sheet: single readings, or a list with all its readings.

    `singles` are single readings with their fields; a list has `at` (its field), `line`
    (the name of an entry), `readings` and `least` (entries required).
    """

    singles: tuple[tuple[Field, Reading], ...] = ()
    at: Field = ()
    line: str = ""
    readings: tuple[Reading, ...] = ()
    least: int = 0


def places(parts: Sequence[Part]) -> Iterator[Places]:
    """Return the sections in the order of the work; parts of one list are joined."""
    singles: list[tuple[Field, Reading]] = []
    done: set[Field] = set()
    for part in parts:
        if part.only is not None:
            continue  # what is rarely said of a line stands after its readings
        if part.once:
            singles += [((*part.at, *one.path), one) for one in part.readings]
        elif part.at not in done:
            if singles:
                yield Places(tuple(singles))
                singles = []
            done.add(part.at)
            yield list_places(
                [
                    one
                    for one in parts
                    if one.at == part.at and not one.once and one.only is None
                ]
            )
    if singles:
        yield Places(tuple(singles))


def list_places(parts: Sequence[Part]) -> Places:
    """Return the section of a list, from its parts."""
    return Places(
        at=parts[0].at,
        line=parts[0].line or parts[0].title,
        readings=tuple(reading for part in parts for reading in part.readings),
        least=max(part.times for part in parts),
    )


def written_text(node: Any) -> str:
    """
    Return a value as written; a time with a space between date and hour.

    >>> written_text(["127.41", "127.25"]), written_text("2026-03-10T15:40")
    ('127.41, 127.25', '2026-03-10 15:40')
    """
    if isinstance(node, str):
        moment = len(node) == 16 and node[10] == "T" and node[4] == "-"
        return node.replace("T", " ") if moment else node
    if isinstance(node, list):
        return ", ".join(written_text(item) for item in node)
    return ""


class Place(NamedTuple):
    """
    A row of a list: a reading, of the first item within an entry or of the rest.

    A point has one container or two: each has its rows.
    """

    reading: Reading
    second: bool = False

    @property
    def words(self) -> str:
        """Label of the row."""
        words = self.reading.words
        return f"Second: {words[:1].lower()}{words[1:]}" if self.second else words


def rows_of(readings: Sequence[Reading], *, second: bool) -> tuple[Place, ...]:
    """Return the rows of a list; `second`: with rows for a second item within."""
    if not second:
        return tuple(map(Place, readings))
    rows = []
    for within, group in groupby(readings, key=lambda one: one.within):
        some = tuple(group)
        rows += [Place(one) for one in some]
        rows += [Place(one, second=True) for one in some] if within else []
    return tuple(rows)


def line_text(line: Mapping[str, Any], reading: Reading) -> str:
    """Return an entry's reading: its own, and those of the items within it."""
    inner = line.get(reading.within) if reading.within else None
    items = inner if isinstance(inner, list) else ()
    values = [line.get(reading.name), *(one.get(reading.name) for one in items)]
    return " / ".join(text for text in map(written_text, values) if text)


def place_text(line: Mapping[str, Any], place: Place, of_first: Sequence[str]) -> str:
    """
    Return an entry's reading: its own, or those of the items within it.

    `of_first` are the readings that the entry may have itself, as its first item.
    """
    reading = place.reading
    own = written_text(line.get(reading.name))
    inner = line.get(reading.within) if reading.within else None
    values = [written_text(one.get(reading.name)) for one in inner or ()]
    if not values or any(line.get(name) is not None for name in of_first):
        values = [own, *values]
    wanted = values[1:] if place.second else values[:1]
    return " / ".join(value for value in wanted if value)


Way = tuple[str, ...]


def leaves(node: Any, way: Way = ()) -> Iterator[Way]:
    """Return the paths of all values in a mapping."""
    for name, inner in node.items():
        if isinstance(inner, dict):
            yield from leaves(inner, (*way, name))
        elif inner:
            yield (*way, name)


def extra_ways(
    lines: Sequence[Mapping[str, Any]], readings: Sequence[Reading]
) -> tuple[Way, ...]:
    """Return the paths of values besides the readings of the bench."""
    known = {one.name for one in readings} | {one.within for one in readings}
    known.add("rejected")
    names = {name: None for line in lines for name in line if name not in known}
    if not names:
        return ()
    ways = (way for line in lines for way in leaves(line) if way[0] in names)
    return tuple(dict.fromkeys(ways))


class Column(NamedTuple):
    """The readings of a list: a row for each reading, a value for each entry."""

    heads: tuple[str, ...]
    ways: tuple[Way, ...]  # of the rows after those of the bench
    values: tuple[tuple[str, ...], ...]
    second: bool  # rows for a second container


def lines_at(place: Places, tree: Tree) -> list[Any]:
    """Return the entries of a list that are mappings, as written."""
    found = value_at(tree, place.at)
    return [one for one in found or () if isinstance(one, dict)]


def list_columns(place: Places, tree: Tree, *, wanted: bool) -> Iterator[Column]:
    """
    Return a list as tables of a few columns each.

    `wanted`: leave room for further entries, and for a second container of each.
    """
    lines = lines_at(place, tree)
    inner = {one.name: one.within for one in place.readings if one.within}
    second = wanted or any(line.get(name) for line in lines for name in inner.values())
    ways = extra_ways(lines, place.readings)
    room = ACROSS if wanted else place.least
    lines += [{}] * (room - len(lines))
    for start in range(0, len(lines), ACROSS):
        some = lines[start : start + ACROSS]
        rows = [
            tuple([place_text(line, one, tuple(inner)) for line in some])
            for one in rows_of(place.readings, second=second)
        ]
        rows += [
            tuple([written_text(value_at(line, way)) for line in some]) for way in ways
        ]
        heads = tuple(column_head(start + i, line) for i, line in enumerate(some, 1))
        yield Column(heads, ways, tuple(rows), second)


def column_head(number: int, line: Mapping[str, Any]) -> str:
    """Return the heading of a column."""
    return f"{number}, rejected" if "rejected" in line else str(number)


def label(way: Sequence[str]) -> str:
    """
    Return a field as a label.

    >>> label(("bench_sheet", "file")), label(("wetted_at",))
    ('Bench sheet, file', 'Wetted at')
    """
    text = ", ".join(way).replace("_", " ")
    return text[:1].upper() + text[1:]


VALUES = {("Water added", "each"): "for each point"}
"""Values in plain words, by label and value; others are shown as written."""


def other_fields(stretches: Sequence[Places], tree: Tree) -> Iterator[tuple[str, str]]:
    """Return what the record has besides the readings of the bench."""
    known = {field for one in stretches for field, _ in one.singles}
    lists = [one for one in stretches if one.at]
    apart = JUDGED | {str(one.at[0]) for one in lists}
    rest = {name: node for name, node in tree.items() if name not in apart}
    for way in leaves(rest):
        if way not in known:
            value = written_text(value_at(tree, way))
            yield label(way), VALUES.get((label(way), value), value)
    for place in lists:
        for number, line in enumerate(lines_at(place, tree), 1):
            why = line.get("rejected")
            if isinstance(why, dict):
                by, reason = (
                    written_text(why.get("by")),
                    written_text(why.get("reason")),
                )
                yield f"{number} rejected by {by}", reason
