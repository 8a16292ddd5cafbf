"""The coarse fraction of a sample, as one kind of test."""

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from decimal import Decimal
from typing import Any

from buildsite.kinds.answers import OversizeFact
from buildsite.kinds.blank import ArchiveContext, Ask
from buildsite.kinds.kind import Kind, Ref, Result, late
from buildsite.kinds.reporting import gravity_result, percent_result
from buildsite.kinds.sieves import all_sizes, opening_mm, same_sieve
from buildsite.kinds.tests.coarse_fraction.compute import Test, Values, compute
from buildsite.kinds.tests.coarse_fraction.model import (
    COLUMNS,
    CONTAINERS,
    PARTICLES,
    CoarseFraction,
)
from buildsite.kinds.tests.coarse_fraction.rules import RULES
from buildsite.kinds.tests.shared.blank import (
    Fits,
    Load,
    asks,
    blank_of,
    equipment,
    method_of,
    method_row,
)
from buildsite.kinds.tests.shared.columns import as_written
from buildsite.kinds.tests.shared.kind import kind_of_test
from buildsite.kinds.tests.shared.links import common_needs
from buildsite.record.flags import Field
from buildsite.standards.method import Method

ENOUGH = 3
"""Readings that two lines can't share by chance."""


def compared(record: CoarseFraction) -> Iterator[tuple[Field, tuple[str, ...]]]:
    """Return each fraction's container masses and each specimen's masses."""
    yield from as_written(record, CONTAINERS, ENOUGH)
    yield from as_written(record, PARTICLES, ENOUGH, "stones")


def detail(case: Test) -> Mapping[str, Any]:
    """Return the fractions and specimens for `show --json`."""
    names = ("water_content", "dry_mass", "retained")
    record, values = case.record, case.values
    return {
        "sieve": record.sieve,
        "fractions": [
            {
                "retained_on": one.retained_on,
                **{name: getattr(found, name) for name in names},
            }
            for one, found in zip(record.fractions, values.fractions, strict=True)
        ],
        "specimens": [
            {
                "retained_on": one.retained_on,
                "dry_mass": made.dry_mass,
                "rejected": made.rejected,
                **(asdict(made.found) if made.found is not None else {}),
            }
            for one, made in zip(record.specimens, values.particles, strict=True)
        ],
    }


def results(case: Test) -> Mapping[str, Result]:
    """Return the results in the order of the report."""
    values, found = case.values, case.values.gravities
    rows = (
        ("percent_retained", percent_result, values.percent_retained),
        ("oversize_water_content", percent_result, values.water_content),
        ("bulk_specific_gravity", gravity_result, getattr(found, "bulk", None)),
        (
            "ssd_bulk_specific_gravity",
            gravity_result,
            getattr(found, "surface_dry", None),
        ),
        ("apparent_specific_gravity", gravity_result, getattr(found, "apparent", None)),
        ("absorption", percent_result, getattr(found, "absorption", None)),
    )
    return {
        name: result(name, value, case.method)
        for name, result, value in rows
        if value is not None
    }


def figure(results: Mapping[str, Any], name: str) -> Decimal | None:
    """Return a reported figure without its unit."""
    found = results.get(name)
    return None if found is None else Decimal(found["reported"].partition(" ")[0])


def answer_from_result(result: Mapping[str, Any], ref: Ref) -> OversizeFact | None:
    """
    Return the oversize for another test, from a result as in `show --json`.

    The figures are those reported, so that a reader can follow them from one report to
    the other. The bulk specific gravity is the oven-dry one, as oversize corrections
    need it (AASHTO T 224, ASTM D4718).
    """
    if ref.asks is not OversizeFact:
        return None
    results = result.get("results", {})
    retained = figure(results, "percent_retained")
    if retained is None:
        return None
    bulk = figure(results, "bulk_specific_gravity")
    return OversizeFact(
        sieve=str(result.get("sieve") or ""),
        percent_retained=retained,
        bulk_specific_gravity=bulk,
        bulk_basis="oven-dry" if bulk is not None else None,
        water_content=figure(results, "oversize_water_content"),
        absorption=figure(results, "absorption"),
        source=ref.id,
    )


WHOLE_SAMPLE = 5.0
"""Soil that is split on the sieves, in kg; weighed to a thousandth: common practice."""

CONTAINER = 0.3
"""Mass of a container with its soil, in kg: common practice."""


def coarse_specimen(method: Method | None, sieve: str) -> float:
    """
    Return the least specimen of coarse particles for an oversize sieve. [kg]

    Particles on a sieve have a nominal maximum size of the next larger one at least.
    """
    own = opening_mm(sieve) or 0.0
    listed = all_sizes(method, "specimen_at_least") if method is not None else []
    return next((cell.si for size, _, cell in listed if size > own), WHOLE_SAMPLE)


def suggest(context: ArchiveContext) -> Mapping[str, str]:
    """Suggest method, edition and equipment; the sieve by its opening."""
    sieve = context.answers.get("sieve", "")
    usual = method_of(context)
    row = method_row({**usual, **context.answers})
    loads = {
        "balance": Load(WHOLE_SAMPLE / 1000, WHOLE_SAMPLE),
        "moisture_balance": Load(0.0001, CONTAINER, "resolution_moisture_g"),
        "gravity_balance": Load(
            0.001, coarse_specimen(row, sieve), "resolution_gravity"
        ),
    }
    fits: dict[str, Fits] = {name: one.fits(row) for name, one in loads.items()}
    fits["sieve"] = lambda one: same_sieve(one.opening, sieve)
    found = equipment(context, CoarseFraction.work, fits)
    found["sieve_id"] = found.pop("sieve")  # `sieve` asks for its opening
    return usual | found


def fraction(sieve: str) -> str:
    """Return the line of the blank for one sieve."""
    return (
        f"  - {{{{retained_on: {sieve}, mass: , container: , container_mass: , "
        "container_and_wet: , container_and_dry: }}\n"
    )


BLANK = blank_of(
    "coarse-fraction",
    """\
sieve: {sieve}              # the oversize is retained on it
nominal_maximum:            # nominal maximum particle size, a sieve, such as 1 in
split_masses: moist         # moist | dry: condition of the fractions when weighed
before_soaking:             # dried | natural
tested: {{on: {on}, by: {by}}}
dried: {{on: , by: }}
""",
    """\
units: {{split: g, moisture: g, gravity: g}}
equipment: {{balance: {balance}, moisture_balance: {moisture_balance},
  gravity_balance: {gravity_balance}, oven: {oven}, sieve: {sieve_id}}}
total_mass:                 # before sieving
fractions:                  # a line for each further sieve used
"""
    + "".join(map(fraction, ("{sieve}", "pan")))
    + """\
soak: {{in: , out: , water_temperature_c: }}   # in, out: YYYY-MM-DDTHH:MM
specimens:
  - {{retained_on: {sieve}, surface_dry: , in_water: , oven_dry: }}
oven: {{in: , out: , temperature_c: }}
""",
    standard="{{designation: {standard}, edition: {edition}, method: none,\n"
    "  variant: none}}",
    asks=asks(
        "AASHTO T 85",
        "Sieved",
        Ask("sieve", "Oversize sieve", "No. 4", ("3/4 in", "3/8 in", "No. 4")),
    ),
    places=("balance", "moisture_balance", "gravity_balance", "oven", "sieve_id"),
    suggest=suggest,
)

KIND: Kind[CoarseFraction, Values] = kind_of_test(
    Kind(
        reports=(
            ("percent_retained", "%"),
            ("oversize_water_content", "%"),
            ("bulk_specific_gravity", ""),
            ("ssd_bulk_specific_gravity", ""),
            ("apparent_specific_gravity", ""),
            ("absorption", "%"),
        ),
        name="coarse-fraction",
        title="Coarse fraction",
        group="test",
        model=CoarseFraction,
        needs=common_needs,
        compute=compute,
        results=results,
        detail=detail,
        rules=RULES,
        sheet=late(f"{__name__}.sheet", "sheet"),
        working=late(f"{__name__}.working", "working"),
        bench=late(f"{__name__}.bench", "bench"),
        blank=BLANK,
        answer_from_result=answer_from_result,
        repeats=late(f"{__name__}.repeats", "compared"),
    ),
    compared=compared,
    line_values=(("bulk", "", 3), ("absorption", "%", 2)),
    columns=COLUMNS,
)
