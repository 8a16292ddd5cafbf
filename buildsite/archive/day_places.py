"""The readings of several tests of one day: what they share, and a row for each."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from buildsite.archive.bench_places import written_text
from buildsite.kinds.bench_spec import Bench, Reading
from buildsite.record.compose import Tree
from buildsite.record.flags import Field
from buildsite.record.set_reading import value_at


class Place(NamedTuple):
    """One reading of every test: its field, and whether it is made at another time."""

    field: Field
    reading: Reading
    later: bool


class DayTable(NamedTuple):
    """Columns of a part of the day's work, and the values of each test in them."""

    columns: tuple[Place, ...]
    rows: tuple[tuple[str, ...], ...]  # id first


class DayOfTests(NamedTuple):
    """What the tests of a day share, and their tables: on the fill, then later."""

    shared: tuple[tuple[str, str], ...]
    tables: tuple[DayTable, ...]


def places_of(bench: Bench) -> Iterator[Place]:
    """Yield each reading once; of a list those of its first line."""
    seen: set[Field] = set()
    for part in bench.parts:
        at = part.at if part.once else (*part.at, 0)
        for reading in part.readings:
            field = (*at, *reading.path)
            if field not in seen:
                seen.add(field)
                yield Place(field, reading, part.later or part.when_read)


ALIKE = ("equipment", "code", "day", "choice")
"""What tests of one day mostly have in common, by what a reading takes."""


def text_in(tree: Tree, field: Field) -> str:
    """Return a value as written; of a list of readings the last."""
    return written_text(value_at(tree, field))


def day_of_tests(
    bench: Bench, tests: Sequence[tuple[str, Tree]], rows: int
) -> DayOfTests:
    """
    Lay out the tests of a day that are made in one way.

    Parameters
    ----------
    bench
        The bench of one of them.
    tests
        Their ids and records as written, in order.
    rows
        Rows of each table at least, blank ones after the last test.
    """
    shared: list[tuple[str, str]] = []
    columns: list[Place] = []
    for place in places_of(bench):
        texts = {text_in(tree, place.field) for _, tree in tests}
        written = texts - {""}
        number = place.reading.takes in ("number", "time")
        if place.reading.paper and not written:
            continue
        if not number and len(texts) <= 1 and (written or place.reading.takes in ALIKE):
            shared.append((place.reading.words, "".join(written)))
        else:
            columns.append(place)
    tables = (
        table_of(columns, tests, rows, later=later)
        for later in (False, True)
        if any(one.later is later for one in columns)
    )
    return DayOfTests(tuple(shared), tuple(tables))


def table_of(
    columns: Sequence[Place],
    tests: Sequence[tuple[str, Tree]],
    rows: int,
    *,
    later: bool,
) -> DayTable:
    """Return the table of what is done on the fill, or later."""
    mine = tuple(one for one in columns if one.later is later)
    found = [(id, *(text_in(tree, one.field) for one in mine)) for id, tree in tests]
    found += [("",) * (len(mine) + 1)] * (rows - len(found))
    return DayTable(mine, tuple(found))
