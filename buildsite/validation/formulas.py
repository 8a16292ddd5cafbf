"""Examples that are one formula: computed by it, in the units of the example."""

from collections.abc import Mapping, Sequence
from math import pi
from typing import Any

from buildsite.kinds.tests.moisture_density.uncertainty.budget import TWO_RESULTS
from buildsite.record.units import FOOT, GRAVITY, POUND, from_si, to_si
from buildsite.soil.effort import compactive_effort
from buildsite.soil.lines import zero_air_voids_density
from buildsite.soil.oversize import (
    fine_dry_density,
    fine_water_content,
    total_dry_density,
    total_water_content,
)
from buildsite.soil.phase import water_to_add
from buildsite.soil.uncertainty import Quantity, combined, sensitivities
from buildsite.soil.water import water_density
from buildsite.standards.tables import find
from buildsite.validation.examples import Example, Recomputed

FOOT_POUND_FORCE = float(POUND * GRAVITY * FOOT)  # J


def zero_air_voids(example: Example) -> Recomputed:
    """b07: zero air voids, with the water density that the problem gives."""
    given = example.given
    gravity, water = float(given["specific_gravity"]), float(given["water_density"])
    found = {
        content: zero_air_voids_density(float(content), gravity, water)
        for content in given["water_content"]
    }
    return Recomputed(
        {
            "zero_air_voids_density": list(found.values()),
            "zero_air_voids_density_other": found,
        }
    )


def added_water(example: Example) -> Recomputed:
    """b08: in grams for a sample in kilograms."""
    names = ("moist_mass", "present_water_content", "wanted_water_content")
    mass, present, wanted = (float(example.given[name]) for name in names)
    water = from_si(water_to_add(mass, present, wanted), example.units["water"])
    return Recomputed({"water_to_add": water})


def whole_soil(example: Example) -> Recomputed:
    """b09: water of both parts over the dry mass of both."""
    names = ("water_content", "percent_oversize", "oversize_water_content")
    found = total_water_content(*(float(example.given[name]) for name in names))
    return Recomputed({"corrected_water_content": found})


def with_oversize(example: Example) -> Recomputed:
    """b19: from the laboratory to the field, by the volumes of both parts."""
    given, unit = example.given, example.units["density"]
    stones = (
        float(given[name]) for name in ("percent_oversize", "bulk_specific_gravity")
    )
    whole = total_dry_density(to_si(float(given["dry_density"]), unit), *stones)
    return Recomputed({"corrected_maximum_dry_density": from_si(whole, unit)})


def without_oversize(example: Example) -> Recomputed:
    """b20: from the field to the laboratory, density and water."""
    number = {name: float(text) for name, text in example.given.items()}
    unit = example.units["density"]
    fine = fine_dry_density(
        to_si(number["whole_dry_density"], unit),
        number["percent_oversize"],
        number["bulk_specific_gravity"],
    )
    water = fine_water_content(
        number["whole_water_content"],
        number["water_percent_oversize"],
        number["oversize_water_content"],
    )
    return Recomputed(
        {"fine_dry_density": from_si(fine, unit), "fine_water_content": water}
    )


def efforts(example: Example) -> Recomputed:
    """b12: of what was given, and of the standards' own rows."""
    found = {name: effort_given(row) for name, row in example.given.items()}
    for name, row in example.tree["rows"].items():
        found[name] = effort_of_row(row["designation"], row["method"])
    return Recomputed(
        {
            name: {
                "kN_m_m3": effort / 1000,
                "ft_lbf_ft3": effort / FOOT_POUND_FORCE * float(FOOT) ** 3,
                "ft_lbf_in3": effort / FOOT_POUND_FORCE * float(FOOT / 12) ** 3,
            }
            for name, effort in found.items()
        }
    )


def effort_given(row: Mapping[str, str]) -> float:
    """Effort of rammer, drop, layers, blows and mold, in whatever units. [J/m³]"""
    number = {name: float(text) for name, text in row.items()}
    mass = number.get("rammer_kg") or number["rammer_lb"] * float(POUND)
    drop = number.get("drop_mm", 0.0) / 1000 or number["drop_ft"] * float(FOOT)
    if "diameter_in" in number:
        across, high = (
            number[n] * float(FOOT / 12) for n in ("diameter_in", "height_in")
        )
        volume = pi * across**2 / 4 * high
    elif "volume_ft3" in number:
        volume = to_si(number["volume_ft3"], "ft3")
    else:
        volume = to_si(number["volume_cm3"], "cm3")
    return compactive_effort(
        mass, drop, number["blows_per_layer"], number["layers"], volume
    )


def effort_of_row(designation: str, name: str) -> float:
    """Effort by the figures of a standard's row. [J/m³]"""
    method = find(designation, name)
    if method is None:
        raise LookupError(f"{designation} {name} is not in the tables")
    return compactive_effort(
        method.rammer_mass_kg,
        method.drop_m,
        method.blows_per_layer,
        method.layers,
        method.mold_volume_m3,
    )


def repeatability(example: Example) -> Recomputed:
    """r01: how far two results of one operator may be apart."""
    given = example.given["standard_deviations"]
    limits = [TWO_RESULTS * float(deviation) for deviation in given]
    return Recomputed({"repeatability_limit": limits})


def end_gauge(example: Example) -> Recomputed:
    """j01: each input's share of the uncertainty of a length, and all together."""
    given = example.given
    inputs = [Quantity(*map(float, pair)) for pair in given.values()]
    shares = [
        abs(slope) * one.standard
        for (slope,), one in zip(
            sensitivities(gauge_length, inputs), inputs, strict=True
        )
    ]
    figures = {
        f"{name}_uncertainty": share for name, share in zip(given, shares, strict=True)
    }
    return Recomputed({**figures, "combined_uncertainty": combined(shares)})


def gauge_length(inputs: Sequence[float]) -> tuple[float]:
    """Length of a gauge by JCGM 100:2008, H.1.2. [nm]"""
    length, difference, expansion, departure, expands_more, warmer = inputs
    moved = expands_more * departure + expansion * warmer
    return (length + difference - length * moved,)


def water(example: Example) -> Recomputed:
    """w01 and w02: density of water at one or many temperatures."""
    unit, given = example.units["density"], example.given["temperature"]
    if isinstance(given, list):
        found: Any = [from_si(water_density(float(text)), unit) for text in given]
    else:
        found = from_si(water_density(float(given)), unit)
    return Recomputed({"water_density": found})
