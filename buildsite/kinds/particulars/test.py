"""The particulars of a test: all that is asked of it once, and is no reading."""

from collections.abc import Callable, Iterator
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
)
from buildsite.standards.tables import designations, standard


def standard_part(record: Any, test: str) -> Part:
    """Return the part on the standard, with the names that are known of it."""
    known = standard(record.standard.designation)
    methods = known.methods if known is not None else ()
    designation = text("designation", "Standard", "name")
    method = text("method", "Method", "name" if methods else "text")
    return part(
        "Standard",
        ("standard",),
        replace(designation, choices=tuple(designations(test))),
        text("edition", "Edition"),
        replace(method, choices=tuple(methods)),
        text("variant", "Agency's variant"),
    )


OWN = (
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
    ("curve", part("Curve", ("curve",), text("form", "Curve form"))),
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
        ),
    ),
)
"""Parts of the kinds that have such a field."""

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
    parts = (*head(case.record, test), *every_part(case.record, bench))
    return chosen(parts, about)


def head(record: Any, test: str) -> Iterator[Part]:
    """Yield the parts on what is tested, and by which standard."""
    yield part("Sample", (), text("sample", "Sample"))
    yield standard_part(record, test)


def every_part(record: Any, bench: Bench) -> Iterator[Part]:
    """Yield the parts in the order of the work."""
    fields = type(record).model_fields
    yield from (one for one in bench.parts if one.once and not is_own(one))
    yield from (one for field, one in OWN if field in fields)
    yield from PAPERS
    yield REMARKS


def is_own(one: Part) -> bool:
    """Return whether a part of the bench sheet is asked about here in its own words."""
    return one.title in {GRAVITY.title, "Oversize", "Containers", REMARKS.title}
