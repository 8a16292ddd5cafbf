"""The particulars of a test: all that is asked of it once, and is no reading."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from typing import Any

from buildsite.kinds.bench_spec import Bench, Part
from buildsite.kinds.kind import Case
from buildsite.kinds.particulars.asking import (
    GRAVITY,
    REMARKS,
    choice,
    chosen,
    number,
    oversize,
    part,
    text,
    units_of,
)
from buildsite.kinds.particulars.field import FIELD
from buildsite.kinds.particulars.field_by_name import BY_NAME
from buildsite.record.flags import Doubt, Field
from buildsite.record.shape import names_at
from buildsite.standards.tables import designations, standard


def standard_part(record: Any, test: str) -> Part:
    """Return the part on the standard, with the names that are known of it."""
    used = record.standard
    known = standard(used.designation) if used is not None else None
    methods = known.methods if known is not None else ()
    designation = text("designation", "Standard", "name")
    method = text("method", "Method", "name" if methods else "text")
    effort = text("effort", "Standard of the curves, T 99 or T 180")
    serves_two = used is not None and hasattr(used, effort.name)
    return part(
        "Standard",
        ("standard",),
        replace(designation, choices=tuple(designations(test))),
        text("edition", "Edition"),
        replace(method, choices=tuple(methods)),
        text("variant", "Agency's variant"),
        *((effort,) if serves_two else ()),
    )


OWN = (
    (
        "sieve",
        part("Oversize sieve", (), text("sieve", "Oversize is retained on", "sieve")),
    ),
    (
        "dried_back",
        part(
            "Drying before the test",
            ("dried_back",),
            number("to_water_content", "Dried back to water content", "%"),
            number("max_temperature_c", "Dried at no more than", "°C"),
        ),
    ),
    (
        "water_added",
        part(
            "Water added",
            (),
            choice("water_added", "Water added is written", ("each", "cumulative")),
        ),
    ),
    (
        "balance_tared",
        part(
            "Containers",
            (),
            choice(
                "balance_tared",
                "Balance set to zero with each empty container on it",
                ("no", "yes"),
            ),
        ),
    ),
    (
        "mold_volume",
        part(
            "Mold volume", (), number("mold_volume", "Volume, without a mold on file")
        ),
    ),
    (
        "curve",
        part(
            "Curve",
            ("curve",),
            text("form", "Curve form"),
            replace(text("reason", "Why this curve"), after=("form", "drawn")),
            text("drawn", "Peak of a curve drawn by hand", "peak"),
        ),
    ),
    (
        "uncertainty",
        part(
            "Uncertainty",
            (),
            choice("uncertainty", "Is the report to state it?", ("yes", "no")),
        ),
    ),
    ("specific_gravity", GRAVITY),
    ("oversize", oversize()),
    (
        "coarse",
        part(
            "Coarse particles",
            ("coarse",),
            text("test", "Coarse particles by test no."),
            number("percent_retained", "Coarse particles: retained", "%", ("test",)),
            number("specific_gravity", "Coarse particles: Gs", unless=("test",)),
            choice("basis", "Basis", ("apparent", "oven-dry", "SSD"), ("test",)),
            choice("given_by", "Given by (blank: found here)", ("customer",)),
        ),
    ),
)
"""Parts of the kinds that have such a field."""

ENTERED = part(
    "Bench sheet",
    ("entered",),
    text("by", "Readings entered by", "code"),
    text("checked_by", "Entry checked by"),
)

REJECTED = ("rejected", "Rejected, because (blank: it counts)", "rejection", "")

EACH = {
    "points": (
        ("mold", "Mold of this point", "text", ""),
        ("mold_mass", "Empty mold of this point", "number", "compacted"),
        ("wetted_at", "Wetted at", "time", ""),
        ("compacted_at", "Compacted at", "time", ""),
        ("compacted.on", "Compacted on", "day", ""),
        ("compacted.by", "Compacted by", "code", ""),
        ("bleeding", "Did water bleed out (yes or no)?", "text", ""),
        ("wet_density", "Wet density, transcribed", "number", "density"),
        ("dry_density", "Dry density, transcribed", "number", "density"),
        ("water_content", "Water content, transcribed, %", "number", ""),
        REJECTED,
        ("oven.in", "Into the oven by itself at", "time", ""),
        ("oven.temperature_c", "Temperature of that oven", "number", ""),
        ("oven.out", "Out of that oven at", "time", ""),
        ("dried.on", "Weighed dry by itself on", "day", ""),
        ("dried.by", "Weighed dry by itself by", "code", ""),
    ),
    "containers": (REJECTED,),
    "specimens": (REJECTED,),
    "fractions": (("water_content", "Water content, transcribed, %", "number", ""),),
    "determinations": (
        ("specific_gravity", "Specific gravity, transcribed", "number", ""),
        REJECTED,
    ),
}
"""What is rarely said of a line: field, words, form, the unit's name in `units`."""


def each_line(record: Any) -> Iterator[Part]:
    """Yield the parts on what is rarely said of each line, asked by name alone."""
    for field, asked in EACH.items():
        if field not in type(record).model_fields:
            continue
        readings = tuple(
            text(name, words, takes, getattr(record.units, unit, None) or "")
            for name, words, takes, unit in asked
        )
        line = field.removesuffix("s").capitalize()
        title = f"Each {line.lower()}"
        yield Part(title, (field,), readings, times=0, once=False, line=line)


PAPERS = (
    part(
        "Paper",
        ("bench_sheet",),
        text("file", "File of the paper bench sheet"),
        text("sha256", "Its SHA-256"),
    ),
    part(
        "Other laboratory",
        ("external",),
        text("laboratory", "Laboratory that did the test"),
        text("report", "Its report no."),
    ),
    Part(
        "Deviations",
        ("deviations",),
        (
            text("what", "What was done otherwise"),
            text("clause", "Clause of the standard"),
            text("reason", "Reason"),
            text("authorized_by", "Authorized by", "code"),
            text("customer_agreed_on", "Customer agreed on", "day"),
        ),
        times=0,
        once=False,
        line="Deviation",
    ),
    Part(
        "Accepted warnings",
        ("accepted",),
        (text("flag", "Warning", "acceptance"),),
        times=0,
        once=False,
        line="Acceptance",
    ),
)


def particulars(
    case: Case[Any, Any],
    about: str,
    lay_out: Callable[[Case[Any, Any]], Bench] | None,
    test: str,
) -> Bench:
    """
    Return the questions about a test; its own bench has those of the work.

    `lay_out` gives that bench, `test` is the one whose standards may be named.
    """
    bench = lay_out(case) if lay_out is not None else Bench(())
    parts = [*head(case.record, test), *every_part(case.record, bench)]
    parts += [*each_line(case.record), *rarely(case.record)] if about else ()
    found = chosen(parts, about)
    return replace(found, parts=asked_once(found.parts), odd=odd_of(case.record))


def asked_once(parts: Iterable[Part]) -> tuple[Part, ...]:
    """Return parts without what an earlier one asks, and none that is empty."""
    seen: set[Field] = set()
    kept: list[Part] = []
    for one in parts:
        fields = [(*one.at, *reading.path) for reading in one.readings]
        left = tuple(
            reading
            for reading, field in zip(one.readings, fields, strict=True)
            if field not in seen
        )
        seen |= {
            field
            for reading, field in zip(one.readings, fields, strict=True)
            if not reading.paper
        }
        if left or not one.readings:
            kept.append(
                one if len(left) == len(fields) else replace(one, readings=left)
            )
    return tuple(kept)


def odd_of(record: Any) -> Callable[[Field], tuple[Doubt, ...]]:
    """Return the function that doubts an edition that is not on file."""

    def odd(field: Field) -> tuple[Doubt, ...]:
        used = getattr(record, "standard", None)
        known = standard(used.designation) if used is not None else None
        if field != ("standard", "edition") or used is None or known is None:
            return ()
        if used.edition is None:
            return ()
        if not known.editions or known.edition(used.edition):
            return ()
        there = ", ".join(one.edition for one in known.editions)
        mend = "check the edition; a newer one may be kept"
        return (Doubt(field, used.edition, f"an edition on file: {there}", mend),)

    return odd


def head(record: Any, test: str) -> Iterator[Part]:
    """Yield the parts on what is tested, and by which standard."""
    fields = type(record).model_fields
    if "sample" in fields:
        yield part("Sample", (), text("sample", "Sample"))
    if "standard" in fields:
        yield standard_part(record, test)


def every_part(record: Any, bench: Bench) -> Iterator[Part]:
    """Yield the parts in the order of the work."""
    fields = type(record).model_fields
    yield from (one for one in bench.parts if one.once and not is_own(one))
    yield from (
        one for field, one in (*OWN, *FIELD) if field in fields and fits(record, one)
    )
    if "units" in fields:
        yield units_of(record)
    if not any(one.at == ENTERED.at for one in bench.parts):
        yield ENTERED
    yield from PAPERS
    yield REMARKS


def rarely(record: Any) -> Iterator[Part]:
    """Yield the parts on what is rarely said of a test, asked by name alone."""
    fields = type(record).model_fields
    return (one for field, one in BY_NAME if field in fields and fits(record, one))


def fits(record: Any, one: Part) -> bool:
    """Return whether a record has every field that a part asks for, of that sort."""
    model = type(record)
    at = one.at if one.once else (*one.at, 0)
    return all(
        reading.path[-1] in names_at(model, (*at, *reading.path[:-1]))
        and not (
            reading.takes in ("choice", "number")
            and names_at(model, (*at, *reading.path))
        )
        for reading in one.readings
    )


def is_own(one: Part) -> bool:
    """Return whether a part of the bench sheet is asked about here in its own words."""
    return one.title in {GRAVITY.title, "Oversize", "Containers", REMARKS.title}
