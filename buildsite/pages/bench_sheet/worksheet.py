"""
A bench sheet to print: blank, or filled in with the readings.

The template is rendered once for each shape of a sheet, with a mark in the place of
every value; a test costs a walk through its record and one join.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache, lru_cache
from html import escape

from buildsite.archive.bench_places import (
    Places,
    list_columns,
    other_fields,
    places,
    written_text,
)
from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.bench_spec import LOCAL_RULES, Part
from buildsite.kinds.outcome import Outcome
from buildsite.pages.bench_sheet.drawing import PLACE, Head, Shape, TableShape, page
from buildsite.pages.page import INVENTED, Site
from buildsite.pages.render import render
from buildsite.record.compose import Tree
from buildsite.record.set_reading import value_at


def worksheet(
    site: Site, made: Outcome, *, blank: bool = False, copy: bool = False
) -> bytes | None:
    """
    Return the bench sheet of a record; None if its kind has none.

    A `blank` sheet takes only kind, standard and units from the record. `copy`: part of
    the laboratory's own copy of the site, and marked so.
    """
    if made.kind.bench is None:
        return None
    bench = made.kind.bench(made.case)
    tree: Tree = {} if blank else made.source.tree
    # A record that is closed has no boxes to tick, no steps, and no places for what
    # was not asked for.
    open_ = blank or made.status == "in-progress"
    parts = bench.parts if open_ else asked_of(bench.parts)
    stretches = stretches_of(parts)
    lab = site.lab
    invented = (INVENTED,) if lab is not None and lab.invented else ()
    head = Head(
        site.name,
        (lab.address or lab.place) if lab is not None else "",
        (lab.robots or "") if lab is not None else "",
        made.title,
        site.footer() if copy else invented,
    )
    known = dict(facts(made, blank=blank))
    steps = bench.steps if open_ else ()
    values = [f"{made.title if blank else made.id} · {site.name}"]
    values += [method_of(made), *known.values()]
    full, tables = collect_values(stretches, tree, values, wanted=open_)
    rest = list(other_fields(stretches, tree))
    values += [text for _, text in rest]
    values += [written_text(tree.get("remarks")), "" if blank else foot(made)]
    shape = Shape(
        head=head,
        facts=tuple(known),
        full=full,
        tables=tables,
        others=tuple(label for label, _ in rest),
        steps=steps,
        ticks=bench.ticks if open_ else (),
        cautions=(*(one for one in bench.cautions if one != LOCAL_RULES), LOCAL_RULES),
    )
    return fill(sheet_pieces(parts, shape), values)


def bench_sheet(
    site: Site, where: str, made: Outcome | None
) -> Iterator[tuple[str, str, bytes]]:
    """Return the filled-in sheet next to a test's page: path, label, bytes."""
    data = worksheet(site, made, copy=True) if made is not None else None
    if data is not None and not site.options.release:
        yield f"{where}/worksheet.html", "bench sheet, to print", data


def fill(pieces: Sequence[bytes], values: Sequence[str]) -> bytes:
    """Return the sheet with the values in their places, all escaped at once."""
    safe = escape(PLACE.join(values)).encode().split(PLACE.encode())
    if len(safe) != len(pieces) - 1:
        raise AssertionError(f"{len(safe)} values for {len(pieces) - 1} places")
    text = [part for pair in zip(pieces, safe, strict=False) for part in pair]
    return b"".join((*text, pieces[-1]))


@cache
def asked_of(parts: tuple[Part, ...]) -> tuple[Part, ...]:
    """Return the parts without the readings that only paper has places for."""
    kept = (
        replace(part, readings=tuple(one for one in part.readings if not one.paper))
        for part in parts
    )
    return tuple(part for part in kept if part.readings)


MOST = 200
"""Sheets kept in the cache: a laboratory has a few methods and shapes."""


@lru_cache(MOST)
def stretches_of(parts: tuple[Part, ...]) -> tuple[Places, ...]:
    """Return the sections of a bench sheet."""
    return tuple(places(parts))


@lru_cache(MOST)
def sheet_pieces(parts: tuple[Part, ...], shape: Shape) -> tuple[bytes, ...]:
    """Return a sheet of that shape, cut at the places of its values."""
    return tuple(render(page(stretches_of(parts), shape)).split(PLACE.encode()))


WIDE = 9
"""Length of a value above which its table is set in smaller type."""


def collect_values(
    stretches: Sequence[Places], tree: Tree, values: list[str], *, wanted: bool
) -> tuple[tuple[bool, ...], tuple[TableShape, ...]]:
    """Append every value in the order of the sheet; return fields filled and tables."""
    full: list[bool] = []
    tables: list[TableShape] = []
    for number, one in enumerate(stretches):
        if not one.at:
            found = [written_text(value_at(tree, field)) for field, _ in one.singles]
            full += map(bool, found)
            values += found
            continue
        for column in list_columns(one, tree, wanted=wanted):
            cells = [value for row in column.values for value in row]
            values += cells
            wide = max(map(len, cells), default=0) > WIDE
            tables.append(
                TableShape(number, column.heads, column.ways, wide, column.second)
            )
    return tuple(full), tuple(tables)


def method_of(made: Outcome) -> str:
    """Return the standard, its edition, its method, and whose effort a point has."""
    named, method = getattr(made.case.record, "standard", None), made.case.method
    if named is None:
        return ""
    edition = f", edition {named.edition}" if named.edition else ""
    way = f", Method {named.method}" if named.method not in ("", "none") else ""
    agency = f", {named.variant}" if named.variant != "none" else ""
    stated = getattr(named, "effort", None)
    effort = f", effort of {stated}" if stated else ""
    designation = method.designation if method is not None else named.designation
    return f"{designation}{edition}{way}{effort}{agency}"


def facts(made: Outcome, *, blank: bool) -> Iterator[tuple[str, str]]:
    """Return what identifies the test."""
    record = made.case.record
    sample = str(getattr(record, "sample", None) or "")
    soil = made.case.inputs.get(SampleFacts, sample)
    names = (soil.soil_name, soil.soil_class) if soil is not None else ()
    yield "Test", "" if blank else made.id
    yield "Project", "" if blank else str(getattr(record, "project", ""))
    yield "Sample", "" if blank else sample
    yield "Soil", "" if blank else ", ".join(filter(None, names))
    if not blank:
        yield "Status", made.status.replace("-", " ")


def foot(made: Outcome) -> str:
    """Return which record this is, by size and digest."""
    size = len(made.source.data)
    return f"{made.id}: record of {size} bytes, SHA-256 {made.source.sha256}"
