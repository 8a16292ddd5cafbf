"""The particulars of a piece of equipment, except its calibrations."""

from collections.abc import Iterator
from typing import Any, Literal, get_args, get_origin

from buildsite.kinds.bench_spec import Bench, Part, Reading
from buildsite.kinds.kind import Case
from buildsite.kinds.particulars.asking import (
    REMARKS,
    choice,
    chosen,
    number,
    part,
    text,
    units_of,
)

WORDS = {
    "name": ("Name or maker", ""),
    "nominal": ("Nominal size", ""),
    "operation": ("Operation", ""),
    "face": ("Face", ""),
    "readability": ("Readability", "mass"),
    "capacity": ("Capacity", "mass"),
    "opening": ("Opening", ""),
    "serial": ("Serial number (stays in the laboratory)", ""),
    "licence": ("Reference of its licence (stays in the laboratory)", ""),
    "plate": ("Base plate, its number or size", ""),
}
"""Fields of equipment, with their words and the quantity of their unit."""

HOLDS = ("pycnometer",)
"""Equipment whose capacity is a volume."""


def questions(record: Any) -> Iterator[Reading]:
    """Yield the questions about the fields that this kind of equipment has."""
    fields = type(record).model_fields
    for name, (words, quantity) in WORDS.items():
        if name not in fields:
            continue
        allowed = get_args(fields[name].annotation)
        if get_origin(fields[name].annotation) is Literal:
            yield choice(name, words, allowed)
        elif quantity:
            of = "volume" if record.kind in HOLDS else quantity
            yield number(name, words, getattr(record.units, of))
        else:
            yield text(name, words)


BAGS = Part(
    "Bags of sand",
    ("bags",),
    (
        text("bag", "Bag, its label"),
        text("sand", "Kind or lot of its sand"),
        text("out_of_use.on", "Empty or set aside since", "day"),
        text("out_of_use.reason", "Why it is set aside"),
    ),
    times=0,
    once=False,
    line="bag",
    label="bag",
)


MAKERS = part(
    "Limits of standard counts",
    ("makers_limits",),
    number("density", "Maker's limit of the density count off the mean", "%"),
    number("water", "Maker's limit of the water count off the mean", "%"),
)


def particulars(case: Case[Any, Any], about: str) -> Bench:
    """Return the questions about a piece of equipment."""
    parts = (
        part("About", (), *questions(case.record)),
        units_of(case.record),
        *([MAKERS] if hasattr(case.record, "makers_limits") else []),
        *([BAGS] if hasattr(case.record, "bags") else []),
        part(
            "Out of service",
            ("out_of_use",),
            text("on", "Out of service since", "day"),
            text("reason", "Why it is out of service"),
        ),
        REMARKS,
    )
    return chosen(parts, about)
