"""Examples of density in place: holes by their sand, and percent compaction."""

from fractions import Fraction
from typing import Any

from buildsite.record.units import from_si, to_si
from buildsite.soil.field_density import percent_compaction, sand_cone_volume
from buildsite.soil.phase import dry_density
from buildsite.validation.examples import Example, Recomputed


def sand_cone(example: Example) -> Recomputed:
    """d01 to d05: the hole by its sand, and what follows from the soil dug out."""
    given, units = example.given, example.units
    holes = given.get("sand_in_hole", [None])
    volumes = [hole_of(example, sand) for sand in holes]
    figures: dict[str, Any] = {
        "hole_volume": [from_si(v, units["volume"]) for v in volumes],
        "sand_density": from_si(sand_density(example), units["density"]),
    }
    if len(volumes) > 1:
        return Recomputed(figures)
    (volume,) = volumes
    cone = cone_mass(example) / sand_density(example)
    wet = mass(example, "wet_soil") / volume
    figures |= {
        "hole_volume": from_si(volume, units["volume"]),
        "cone_volume": from_si(cone, units["volume"]),
        "hole_and_cone_volume": from_si(volume + cone, units["volume"]),
        "wet_density": from_si(wet, units["density"]),
    }
    if "water_content" in given:
        dry = dry_density(wet, float(given["water_content"]))
        figures["dry_density"] = from_si(dry, units["density"])
        if "maximum_dry_density" in given:
            most = to_si(float(given["maximum_dry_density"]), units["density"])
            figures["percent_compaction"] = percent_compaction(dry, most)
    return Recomputed(figures)


def hole_of(example: Example, sand: str | None) -> float:
    """Volume of one hole, from what the apparatus lost or what the hole took. [m³]"""
    given, density = example.given, sand_density(example)
    if sand is not None:
        used = to_si(float(sand), example.units["mass"])
        return sand_cone_volume(used, 0.0, 0.0, density)
    if "sand_used" in given:
        used, left = mass(example, "sand_used"), 0.0
    else:
        used, left = (mass(example, f"apparatus_{at}") for at in ("before", "after"))
    return sand_cone_volume(used, left, cone_mass(example), density)


def cone_mass(example: Example) -> float:
    """Sand in cone and plate; of d03 its volume was given. [kg]"""
    if "cone_volume" in example.given:
        volume = to_si(float(example.given["cone_volume"]), example.units["volume"])
        return volume * sand_density(example)
    return mass(example, "sand_in_cone")


def sand_density(example: Example) -> float:
    """Bulk density of the sand, given or found in a container. [kg/m³]"""
    given, units = example.given, example.units
    if "sand_density" in given:
        return to_si(float(given["sand_density"]), units["density"])
    volume = float(Fraction(given["container_volume"]))
    return mass(example, "sand_in_container") / to_si(volume, units["volume"])


def mass(example: Example, name: str) -> float:
    """Return a mass that was given. [kg]"""
    return to_si(float(example.given[name]), example.units["mass"])
