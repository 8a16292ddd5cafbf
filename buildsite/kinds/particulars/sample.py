"""The log-in of a sample: who, where, when, condition, soil, gradation, keeping."""

from collections.abc import Sequence
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
from buildsite.kinds.sieves import GRADATION

USUAL = ("retained_3_4_in", "retained_3_8_in", "retained_no_4")
"""Sieves asked about of every sample; the others where the gradation alone is asked."""

RECEIVED = part(
    "Received",
    ("received",),
    text("on", "Received on", "day"),
    text("by", "Received by", "code"),
    text("condition", "Condition as received"),
)
SAMPLED = part(
    "Sampled",
    ("sampled",),
    text("on", "Sampled on", "day"),
    text("by", "Sampled by (customer, or a staff code)"),
    text("method", "Sampling method"),
    text("place", "Place of sampling"),
)
SOIL = part(
    "Soil",
    ("soil",),
    text("name", "Soil, such as brown lean clay"),
    text("class", "Class by ASTM D2487, such as CL", "class"),
    choice("class_basis", "Classified by", ("tested", "visual")),
    text("group", "Group by AASHTO M 145, such as A-6"),
    text("source", "Source of the soil"),
    choice("given_by", "Soil stated by (blank: found here)", ("customer",)),
)
WATER_CONTENT = part(
    "Water content",
    (),
    number("as_received_water_content", "Water content as received", "%"),
)
LOCATION = part(
    "Location",
    ("location",),
    text("id", "Borehole or pit no."),
    number("easting_m", "Easting", "m"),
    number("northing_m", "Northing", "m"),
    text("grid", "Grid"),
    number("level_m", "Level", "m"),
    number("depth_top_m", "Depth to the top", "m"),
    number("depth_base_m", "Depth to the base", "m"),
)
KEEPING = part(
    "Keeping",
    (),
    text("retained_until", "Keep until", "day"),
    text("discarded.on", "Discarded on", "day"),
    text("discarded.by", "Discarded by", "code"),
)


def particulars(case: Case[Any, Any], about: str) -> Bench:
    """Return the questions about a sample."""
    graded = case.record.gradation
    sieves = [
        name
        for name in GRADATION
        if about or name in USUAL or getattr(graded, name, None) is not None
    ]
    parts = (
        RECEIVED,
        SAMPLED,
        SOIL,
        gradation(sieves),
        WATER_CONTENT,
        GRAVITY,
        oversize(),
        LOCATION,
        KEEPING,
        REMARKS,
    )
    return chosen(parts, about)


def gradation(sieves: Sequence[str]) -> Part:
    """Return the questions on the gradation, on these sieves."""
    return part(
        "Gradation",
        ("gradation",),
        *(
            number(name, f"Retained on {GRADATION[name]}, cumulative", "%")
            for name in sieves
        ),
        choice("given_by", "Gradation by (blank: found here)", ("customer",)),
    )
