"""Points of two results of one test side by side, from both as kept."""

from collections.abc import Iterator, Mapping
from itertools import zip_longest
from typing import Any

from buildsite.kinds.kind import KeptResult
from buildsite.kinds.reporting import (
    difference_of,
    point_density,
    result_label,
    to_places,
)
from buildsite.kinds.sheet import Cell, Column, Row, Table
from buildsite.kinds.tests.moisture_density.sheet.figure import STEPS
from buildsite.record.units import unit
from buildsite.standards.method import Method

NOTHING = "—"
BEFORE, NOW = "○", "●"
"""Points of before are hollow on the figure, those of now are filled."""

NO_POINT: Mapping[str, Any] = {}
"""Stands for a point that one of two results doesn't have."""

Kept = Mapping[str, Any]


def gap(was: str, now: str) -> str:
    """
    Return the difference of two figures of a table, as a reader would subtract them.

    >>> gap("102.3", "101.6"), gap("13.5", "13.5"), gap("—", "13.5")
    ('−0.7', '—', '—')
    """
    if was == now:
        return NOTHING
    return difference_of(was, now) or NOTHING


def columns_of(
    names: tuple[str, str], unit_name: str, method: Method | None
) -> tuple[Column, ...]:
    """Return the columns: each value of both results, and its difference."""
    found = [Column("Point")]
    units = {"water_content": ("%", "points"), "dry_density": (unit(unit_name).shown,)}
    for name, shown in units.items():
        word = result_label(method, name, unit_name)
        for mark, whose in zip((BEFORE, NOW), names, strict=True):
            found.append(Column(f"{word} {mark}\u00a0{whose}", shown[0], number=True))
        found.append(Column("Difference", shown[-1], number=True))
    return tuple(found)


def texts_of(point: Kept, unit_name: str) -> tuple[str, str]:
    """Return water content and density of a point, as a report's table has them."""
    water = to_places(point.get("water_content"), 1)
    return water, point_density(point.get("dry_density"), unit_name)


def point_row(number: int, old: Kept, new: Kept, unit_name: str) -> Row:
    """Return one point of both results."""
    cells = [str(number)]
    for was, now in zip(
        texts_of(old, unit_name), texts_of(new, unit_name), strict=True
    ):
        cells += [was, now, gap(was, now)]
    mark = "rejected" if new.get("rejected") else ""
    return Row(tuple(map(Cell, cells)), mark=mark, point=number if new else 0)


def rejected_in_one(
    pairs: list[tuple[Kept, Kept]], names: tuple[str, str]
) -> Iterator[str]:
    """
    Yield the points that one result rejects and the other does not.

    >>> list(rejected_in_one([({}, {"rejected": True})], ("r0", "r1")))
    ['Point 1 is rejected in r1, not in r0.']
    """
    for number, both in enumerate(pairs, start=1):
        out = [bool(one.get("rejected")) for one in both]
        if out[0] != out[1]:
            where, other = names if out[0] else reversed(names)
            yield f"Point {number} is rejected in {where}, not in {other}."


def compare_points(
    before: KeptResult, after: KeptResult, method: Method | None
) -> Table | None:
    """Return the points of two results; None where no point is another one."""
    names = (before[0], after[0])
    unit_name = after[1].get("curve", {}).get("density_unit")
    lists = [one.get("points", ()) for _, one in (before, after)]
    pairs = [*zip_longest(*lists, fillvalue=NO_POINT)]
    if unit_name not in STEPS:
        return None
    same = [texts_of(old, unit_name) == texts_of(new, unit_name) for old, new in pairs]
    notes = [*rejected_in_one(pairs, names)]
    if all(same) and not notes:
        return None
    rows = [
        point_row(number, old, new, unit_name)
        for number, (old, new) in enumerate(pairs, start=1)
    ]
    return Table(
        "points",
        "Points",
        columns_of(names, unit_name, method),
        tuple(rows),
        role="points",
        note=" ".join(notes),
    )
