"""The columns of results.csv: name, type and meaning, the same for every test."""

from collections.abc import Callable, Iterator, Sequence
from functools import cache

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


@dataclass(frozen=True)
class Column:
    """One column. `type` is a type of a Table Schema; `values` are all it may have."""

    name: str
    type: str
    about: str
    text: Callable[[ResultRow, str], str]  # of a row, and the address of the site
    unit: str = ""
    values: tuple[str, ...] = ()


def label(name: str) -> Callable[[ResultRow, str], str]:
    """Return the text of an id or name, which no spreadsheet may alter."""
    return lambda row, base: csv_label(getattr(row, name))


def text(name: str) -> Callable[[ResultRow, str], str]:
    """Return the text of a field as it is; blank for none."""

    def found(row: ResultRow, base: str) -> str:
        value = getattr(row, name)
        return "" if value is None else csv_cell(str(value))

    return found


def flag_texts(row: ResultRow, base: str) -> str:
    """Return the names of the flags; an accepted one says so."""
    return "; ".join(
        f"{one.flag} (accepted)" if one.accepted else one.flag for one in row.flags
    )


IDENTITY = (
    Column("id", "string", "Number of the test", label("id")),
    Column("revision", "integer", "Of the report; blank: not issued", text("revision")),
    Column("status", "string", "Where it stands", text("status"), values=STATUS),
    Column("kind", "string", "Kind of test", text("kind")),
    Column("project", "string", "Project by its id", label("project")),
    Column("issued", "date", "Day on which the revision was issued", text("issued")),
    Column("tested", "date", "Day of the test", text("tested")),
    Column("sample", "string", "Sample by its id", label("sample")),
    Column("soil", "string", "Name of the soil", label("soil")),
    Column("class", "string", "Class of the soil", label("soil_class")),
    Column("source", "string", "Where the soil is from", label("source")),
    Column("zone", "string", "Zone of a field test", label("zone")),
    Column("lift", "string", "Lift of a field test", label("lift")),
    Column("standard", "string", "Designation", text("standard")),
    Column("edition", "string", "Edition as the test names it", label("edition")),
    Column("method", "string", "Method of the standard", label("method")),
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
        lambda row, base: csv_cell("; ".join(one.term for one in in_order(row))),
    ),
    Column("flags", "string", "Flags by name, separated by semicolons", flag_texts),
    Column("verdict", "string", "Of a field test", text("verdict"), values=VERDICT),
    Column("judged_by", "string", "Its reference, with revision", label("judged_by")),
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


def three(name: str, unit: str, about: str, found: Found) -> Iterator[Column]:
    """Return the columns of a result: number and unit as reported; unrounded."""

    def shown(part: Callable[[Figure], str]) -> Callable[[ResultRow, str], str]:
        def text(row: ResultRow, base: str) -> str:
            one = found(row)
            return part(one) if one is not None else ""

        return text

    yield Column(name, "number", f"{about}, as reported", shown(lambda it: it.number))
    its_unit = shown(lambda it: it.reported_unit)
    yield Column(f"{name}_unit", "string", "Unit of the column before", its_unit)
    yield Column(
        f"{name}_{SLUGS[unit]}",
        "number",
        f"{about}, unrounded",
        shown(lambda it: "" if it.value is None else format(it.value, ".10g")),
        unit,
    )


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
        yield from three(name, unit, in_words(name), reported(name))


@cache
def columns() -> Sequence[Column]:
    """Return every column of results.csv, in order."""
    return (*IDENTITY, *result_columns(), *STANDING)
