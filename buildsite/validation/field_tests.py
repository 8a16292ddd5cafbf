"""Examples of density in place: computed as records, as a laboratory's own are."""

from decimal import Decimal
from fractions import Fraction
from typing import Any

from buildsite.kinds.bounds import PERCENT
from buildsite.kinds.criteria import Target
from buildsite.kinds.field_answers import RequirementFacts, WaterLimits
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.targets import bound_of, nominal_density, window
from buildsite.record.units import from_si, to_si
from buildsite.validation.examples import Example, Recomputed
from buildsite.validation.records import Record, compute_records


def sand_cone(example: Example) -> Recomputed:
    """d01 to d05: the hole by its sand, and what follows from the soil dug out."""
    given, units = example.given, example.units
    if "sand_in_hole" in given:
        pairs = zip(given["sand_in_hole"], given["wet_soil"], strict=True)
        made = [computed(example, *pair) for pair in pairs]
        found = [from_si(one.case.values.dug.volume, units["volume"]) for one in made]
        return Recomputed({"hole_volume": found})
    one = computed(example, None, given["wet_soil"])
    values, density = one.case.values, sand_density(example)
    cone = from_si(
        to_si(cone_mass(example), units["mass"]) / to_si(density, units["density"]),
        units["volume"],
    )
    volume = from_si(values.dug.volume, units["volume"])
    figures: dict[str, Any] = {
        "sand_density": float(density),
        "hole_volume": volume,
        "cone_volume": cone,
        "hole_and_cone_volume": volume + cone,
        "wet_density": from_si(values.dug.wet_density, units["density"]),
        "percent_compaction": values.percent,
    }
    if values.dry_density is not None:
        figures["dry_density"] = from_si(values.dry_density, units["density"])
    return Recomputed(figures)


SOME_MASS = "1000"
"""Of what was printed without its mass: it is taken off again."""


def computed(example: Example, sand: str | None, soil: str) -> Outcome:
    """Compute one hole as a record that states its sand itself."""
    given, units = example.given, example.units
    cone, after = cone_mass(example), given.get("apparatus_after", SOME_MASS)
    if sand is not None:  # printed without an apparatus and without a cone
        cone = Decimal(SOME_MASS)
        before = str(Decimal(sand) + cone + Decimal(after))
    elif "sand_used" in given:
        before = str(Decimal(given["sand_used"]) + Decimal(after))
    else:
        before = given["apparatus_before"]
    record: Record = {
        "kind": "field-density",
        "id": example.id,
        "project": "published",
        "apparatus": "sand-cone",
        "standard": {"designation": "AASHTO T 191", "method": "none"},
        "tested": {},
        "status": "complete",
        "units": {name: units[name] for name in ("mass", "density")},
        "apparatus_before": before,
        "apparatus_after": after,
        "wet_soil": soil,
        "sand": {"bulk_density": f"{sand_density(example):f}", "cone": f"{cone:f}"},
    }
    if "water_content" in given:
        record["water_content"] = given["water_content"]
    if "maximum_dry_density" in given:
        record["target"] = {"maximum_dry_density": given["maximum_dry_density"]}
    return compute_records(record)[example.id]


def cone_mass(example: Example) -> Decimal:
    """Sand in cone and plate, in the unit of masses; of d03 its volume was given."""
    given = example.given
    if "cone_volume" in given:
        return Decimal(given["cone_volume"]) * sand_density(example)  # cm³, g/cm³
    return Decimal(given.get("sand_in_cone", "0"))


def sand_density(example: Example) -> Decimal:
    """Bulk density of the sand, given or found in a container, in the printed unit."""
    given = example.given
    if "sand_density" in given:
        return Decimal(given["sand_density"])
    volume = Fraction(given["container_volume"])
    share = Decimal(volume.denominator) / Decimal(volume.numerator)
    return Decimal(given["sand_in_container"]) * share


def target(example: Example) -> Recomputed:
    """d06: the dry density at a percent compaction."""
    given, unit = example.given, example.units["density"]
    peak = Target(to_si(float(given["maximum_dry_density"]), unit), 0.0, unit, "")
    asked = required(least=Decimal(given["least_percent_compaction"]))
    bound = bound_of(asked, PERCENT, "least")
    if bound is None:
        raise ValueError(f"{example.id}: no limit of percent compaction")
    found = from_si(nominal_density(bound, peak), unit)
    return Recomputed({"least_dry_density": found})


def water_window(example: Example) -> Recomputed:
    """d07: water contents that pass, by limits in percent of the optimum."""
    given = example.given
    optimum = float(given["optimum_water_content"])
    low, high = (Decimal(given[name]) for name in ("from", "to"))
    asked = required(water=WaterLimits(low, high, "percent of optimum"))
    found = window(asked, Target(2000.0, optimum, "kg/m3", ""))
    if found is None:
        raise ValueError(f"{example.id}: no water content passes")
    return Recomputed(
        {
            "least_water_content": float(found.least),
            "greatest_water_content": float(found.most),
        }
    )


def required(
    least: Decimal | None = None, water: WaterLimits | None = None
) -> RequirementFacts:
    """Return a requirement that states one limit and how it is compared."""
    how = ("percent_compaction", "dry_density", "water_content")
    return RequirementFacts(
        zone="",
        clause="",
        designation="",
        edition="",
        method="",
        least_percent_compaction=least,
        least_dry_density=None,
        density_unit="",
        water_content=water,
        compare=tuple((name, "rounded") for name in how),
        reference_values="reported",
        oversize="none",
        decision="simple",
        agreed_on=None,
    )
