"""The columns of results.csv: name, type and meaning, the same for every test."""

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from buildsite.exports.csv_text import csv_cell, csv_label
from buildsite.exports.results import GOVERNING, Figure, ResultRow, addressed
from buildsite.kinds import GROUPS, kind_named
from buildsite.kinds.reporting import result_name
from buildsite.values import dataclass

SLUGS = {
    "kg/m3": "kg_m3",
    "m3": "m3",
    "%": "percent",
    "points": "points",
    "": "unrounded",
}
"""End of the name of a column of unrounded values, by their unit."""

STATUS = (
    "issued",
    "preliminary",
    "withdrawn",
    "not issued",
    "in progress",
    "unreadable",
)
VERDICT = ("pass", "fail", "none")


Value = str | int | float | Decimal | date | None
"""What a cell holds; a number as reported is a Decimal, which keeps its places."""

Read = Callable[[ResultRow, str], Value]
"""What a row has in a column; the text is the address of the site, if known."""


@dataclass(frozen=True)
class Column:
    """
    One column. `type` is a type of a Table Schema; `values` are all it may have.

    A `label` is an id or a name, which no spreadsheet may alter. `result` is the name
    of the result that it tells: in the row of a test without it, it is blank.
    """

    name: str
    type: str
    about: str
    value: Read
    unit: str = ""
    values: tuple[str, ...] = ()
    label: bool = False
    result: str = ""

    def text(self, row: ResultRow, base: str) -> str:
        """Return a cell of a CSV."""
        value = self.value(row, base)
        if value is None:
            return ""
        if isinstance(value, float):
            return format(value, ".10g")
        return csv_label(str(value)) if self.label else csv_cell(str(value))


def of(name: str) -> Read:
    """Return what reads a field of a row."""
    return lambda row, base: getattr(row, name)


def texts(name: str, about: str, field: str = "", **more: Any) -> Column:
    """Return a column of texts."""
    return Column(name, "string", about, of(field or name), **more)


def labels(name: str, about: str, field: str = "") -> Column:
    """Return a column of ids or names."""
    return texts(name, about, field, label=True)


def flag_texts(row: ResultRow, base: str) -> str:
    """Return the names of the flags; an accepted one says so."""
    return "; ".join(
        f"{one.flag} (accepted)" if one.accepted else one.flag for one in row.flags
    )


IDENTITY = (
    labels("id", "Number of the test"),
    Column("revision", "integer", "Of the report; blank: not issued", of("revision")),
    texts("status", "Where it stands", values=STATUS),
    texts("kind", "Kind of test"),
    labels("project", "Project by its id"),
    Column("issued", "date", "Day on which the revision was issued", of("issued")),
    Column("tested", "date", "Day of the test", of("tested")),
    labels("sample", "Sample by its id"),
    labels("soil", "Name of the soil"),
    labels("class", "Class of the soil", "soil_class"),
    labels("source", "Where the soil is from"),
    labels("zone", "Zone of a field test"),
    labels("lift", "Lift of a field test"),
    texts("standard", "Designation"),
    labels("edition", "Edition as the test names it"),
    labels("method", "Method of the standard"),
    Column(
        "governing",
        "string",
        "Names of the results that field tests are judged by",
        lambda row, base: "; ".join(row.governing),
    ),
)

STANDING = (
    Column(
        "terms",
        "string",
        "The standard's words for the results of this row, in the order of the columns",
        lambda row, base: "; ".join(one.term for one in in_order(row)),
    ),
    Column("flags", "string", "Flags by name, separated by semicolons", flag_texts),
    texts("verdict", "Of a field test", values=VERDICT),
    labels("judged_by", "Its reference, with revision"),
    Column("address", "string", "Page of the test", addressed),
)


@cache
def reports() -> tuple[tuple[str, str], ...]:
    """Return every result that any kind of test reports, with its unit, in order."""
    found: dict[str, str] = {}
    for name, group in GROUPS.items():
        kind = kind_named(name) if group == "test" else None
        for result, unit in kind.reports if kind is not None else ():
            if found.setdefault(result, unit) != unit:
                raise ValueError(f"{result} is in {found[result]} and in {unit}")
    return tuple(found.items())


def in_order(row: ResultRow) -> Iterator[Figure]:
    """Return the results of a row in the order of the columns."""
    for name, _ in reports():
        found = row.figure(name)
        if found is not None:
            yield found


Found = Callable[[ResultRow], Figure | None]


def three(
    name: str, unit: str, about: str, found: Found, result: str = ""
) -> Iterator[Column]:
    """Return the columns of a result: number and unit as reported; unrounded."""

    def part(of: Callable[[Figure], Value]) -> Read:
        def value(row: ResultRow, base: str) -> Value:
            one = found(row)
            return of(one) if one is not None else None

        return value

    number = part(lambda one: Decimal(one.number))
    yield Column(name, "number", f"{about}, as reported", number, result=result)
    its_unit = part(lambda one: one.reported_unit)
    told = "Unit of the column before"
    yield Column(f"{name}_unit", "string", told, its_unit, result=result)
    end = SLUGS[unit]
    whole = part(lambda one: one.value)
    told = f"{about}, unrounded"
    yield Column(f"{name}_{end}", "number", told, whole, unit, result=result)


def governed(name: str) -> Found:
    """Return what finds a result of the governing pair."""
    return lambda row: row.governs(name)


def reported(name: str) -> Found:
    """Return what finds a result."""
    return lambda row: row.figure(name)


def in_words(name: str) -> str:
    """
    Return the name of a result in words.

    >>> in_words("ssd_bulk_specific_gravity")
    'SSD bulk specific gravity'
    """
    text = result_name(name)
    return text[:1].upper() + text[1:]


def result_columns() -> Iterator[Column]:
    """Return the columns of the governing pair, then of every result."""
    units = dict(reports())
    for name in GOVERNING:
        about = f"{in_words(name)} that field tests are judged by"
        yield from three(f"governing_{name}", units[name], about, governed(name))
    for name, unit in reports():
        yield from three(name, unit, in_words(name), reported(name), name)


@cache
def columns() -> Sequence[Column]:
    """Return every column of results.csv, in order."""
    return (*IDENTITY, *result_columns(), *STANDING)


def texts_of(row: ResultRow, base: str) -> list[str]:
    """Return the cells of a row, in the order of the columns."""
    told = {"", *(one.name for one in row.results)}
    return [one.text(row, base) if one.result in told else "" for one in columns()]
