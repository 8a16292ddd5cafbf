"""Examples of the tests around the curve: waters, stones, splits, solids."""

from decimal import Decimal
from typing import Any

from buildsite.kinds.outcome import Outcome
from buildsite.kinds.tests.coarse_fraction.compute import Values as Coarse
from buildsite.kinds.tests.shared.containers import last_loss
from buildsite.kinds.tests.specific_gravity.compute import Values as Solids
from buildsite.kinds.tests.water_content.model import Values as Water
from buildsite.record.units import from_si
from buildsite.soil.coarse import mean_specific_gravity
from buildsite.soil.wetting import dry_mass
from buildsite.validation.examples import Example, Recomputed
from buildsite.validation.records import Record, compute_records

CONTAINER = ("container_mass", "container_and_wet", "container_and_dry")


def test_record(example: Example, kind: str, more: Record) -> Record:
    """Write what every test says. The sources name no standard: any does."""
    method = {"method": "none"}
    designation = {
        "water-content": "AASHTO T 265",
        "coarse-fraction": "AASHTO T 85",
        "specific-gravity": "AASHTO T 100",
    }
    return {
        "kind": kind,
        "id": example.id,
        "project": "published",
        "sample": example.id,
        "standard": {"designation": designation[kind], **method},
        "tested": {},
        "status": "complete",
        **more,
    }


def compute_record(record: Record) -> Outcome:
    """Compute one record as an archive of its own does."""
    return compute_records(record)[record["id"]]


def water_contents(example: Example) -> Recomputed:
    """m01 to m05: containers of one soil, their mean, and the last drying of one."""
    rows = [
        dict(zip(CONTAINER, row, strict=True)) for row in example.given["containers"]
    ]
    more = {"units": {"moisture": example.units["mass"]}, "containers": rows}
    made = compute_record(test_record(example, "water-content", more))
    values: Water = made.case.values
    lost = last_loss(made.case.record.containers[0])
    figures = {
        "water_content_each": [one.water_content for one in values.containers],
        "water_content": values.water_content,
        "last_loss": None if lost is None else float(lost),
    }
    return Recomputed(figures, made.flags)


def coarse_particles(example: Example) -> Recomputed:
    """c01 to c04: one specimen of stones, weighed in three ways."""
    more = {
        "sieve": "No. 4",
        "units": {"gravity": example.units["mass"]},
        "specimens": example.given["specimens"],
    }
    made = compute_record(test_record(example, "coarse-fraction", more))
    values: Coarse = made.case.values
    found = values.gravities
    figures: dict[str, Any] = {}
    if found is not None:
        figures = {
            "bulk_specific_gravity": found.bulk,
            "ssd_bulk_specific_gravity": found.surface_dry,
            "apparent_specific_gravity": found.apparent,
            "absorption": found.absorption,
        }
    return Recomputed(figures, made.flags)


def sizes_together(example: Example) -> Recomputed:
    """c05: specific gravities of sizes, put together by their shares."""
    given = example.given
    parts = [
        (float(share), float(gravity))
        for share, gravity in zip(
            given["share"], given["bulk_specific_gravity"], strict=True
        )
    ]
    return Recomputed({"bulk_specific_gravity": mean_specific_gravity(parts)})


def sieve_split(example: Example) -> Recomputed:
    """c06: a dry split on one sieve; the pan holds the rest of the whole."""
    given = example.given
    rest = Decimal(given["total"]) - Decimal(given["retained"])
    more = {
        "sieve": given["sieve"],
        "split_masses": "dry",
        "units": {"split": example.units["mass"]},
        "total_mass": given["total"],
        "fractions": [
            {"retained_on": given["sieve"], "mass": given["retained"]},
            {"retained_on": "pan", "mass": str(rest)},
        ],
    }
    made = compute_record(test_record(example, "coarse-fraction", more))
    values: Coarse = made.case.values
    return Recomputed({"percent_retained": values.percent_retained}, made.flags)


def specific_gravity(example: Example) -> Recomputed:
    """g01 and g02: soil in pycnometers whose masses are stated."""
    given, unit = example.given, example.units["mass"]
    more = {"units": {"mass": unit}, "determinations": given["determinations"]}
    made = compute_record(test_record(example, "specific-gravity", more))
    values: Solids = made.case.values
    first, *others = values.determinations
    figures: dict[str, Any] = {"specific_gravity": values.mean}
    if "moist_soil" in given:
        names = ("moist_soil", "water_content")
        figures["dry_soil"] = dry_mass(*(float(given[name]) for name in names))
    if first.displaced is not None:
        figures["displaced"] = from_si(first.displaced, unit)
    for name, one in zip(("first", "second"), values.determinations, strict=False):
        if others:
            figures[f"{name}_specific_gravity"] = one.specific_gravity
    return Recomputed(figures, made.flags)
