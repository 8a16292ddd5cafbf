"""Examples that a laboratory would keep as records: computed as its own are."""

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import Any

from buildsite.kinds.outcome import Outcome
from buildsite.kinds.tests.moisture_density.compute import Values
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.record.flags import Flag
from buildsite.record.units import from_si, to_si
from buildsite.soil.curves import Curve
from buildsite.soil.lines import zero_air_voids_density
from buildsite.soil.phase import air_voids
from buildsite.soil.water import water_density
from buildsite.validation.examples import Example, Recomputed, Tree
from buildsite.validation.records import (
    compute_records,
    mold_record,
    mold_records,
    test_record,
)


def in_unit(values: Iterable[float | None], unit: str) -> list[float | None]:
    """Take SI values to the unit that was printed."""
    return [None if value is None else from_si(value, unit) for value in values]


def all_flags(made: Mapping[str, Outcome]) -> tuple[Flag, ...]:
    """Every flag of every record of an example."""
    return tuple(flag for id in sorted(made) for flag in made[id].flags)


def compaction(
    example: Example, given: Tree | None = None, more: Tree | None = None
) -> Recomputed:
    """Compute an example as a laboratory computes its own test, `more` of it said."""
    given = example.given if given is None else given
    test = test_record(example, given) | dict(more or {})
    molds = mold_records(example, given)
    made = compute_records(test, *molds)
    values: Values = made[example.id].case.values
    volumes = [made[mold["id"]].case.values[0].by_dimensions for mold in molds]
    return Recomputed(columns(example, values, volumes), all_flags(made))


def columns(example: Example, values: Values, volumes: list[float]) -> Tree:
    """Every column that a compaction test shows, in the units of an example."""
    units, points = example.units, values.points
    figures: dict[str, Any] = {
        "water_content": [point.water_content for point in points],
        "water_content_each": [
            water for point in points for water in point.container_water_contents
        ],
        "optimum_water_content": values.optimum_water_content,
    }
    if "density" in units:
        unit = units["density"]
        figures |= {
            "wet_density": in_unit((point.wet_density for point in points), unit),
            "dry_density": in_unit((point.dry_density for point in points), unit),
            "zero_air_voids_density": in_unit(
                (zero_air_voids(values, p) for p in points), unit
            ),
            "maximum_dry_density": in_unit((values.maximum_dry_density,), unit)[0],
        }
        if values.corrected is not None:
            whole = values.corrected
            figures |= {
                "corrected_maximum_dry_density": from_si(
                    whole.maximum_dry_density, unit
                ),
                "corrected_optimum_water_content": whole.optimum_water_content,
            }
    if "mass" in units:
        figures["wet_soil"] = in_unit(
            (point.wet_soil for point in points), units["mass"]
        )
    if volumes:
        found = in_unit(volumes, units["volume"])
        figures["mold_volume"] = found if len(found) > 1 else found[0]
    return figures


def zero_air_voids(values: Values, point: PointValues) -> float | None:
    """Zero-air-voids density at a point. [kg/m³]"""
    if values.solids is None or point.water_content is None:
        return None
    return float(zero_air_voids_density(point.water_content, *values.solids))


def corrected_for_gravel(example: Example) -> Recomputed:
    """b01: the gravel put back as the standard's row says, with no water in it."""
    coarse = {
        "percent_retained": example.given["percent_excluded"],
        "bulk_specific_gravity": example.given["excluded_specific_gravity"],
        "bulk_basis": "oven-dry",
    }
    return compaction(example, more={"oversize": coarse})


def dry_soil(example: Example) -> Recomputed:
    """b02: also the dry mass in the mold."""
    made, volume = compaction(example), float(example.given["mold_volume"])
    masses = [dry * volume for dry in made.figures["dry_density"]]
    return Recomputed({**made.figures, "dry_soil": masses}, made.flags)


def printed_parabola(example: Example) -> Recomputed:
    """b04: the source fitted a parabola to its printed points."""
    made, printed = compaction(example), example.tree["published"]
    given = {name: printed[name] for name in ("water_content", "dry_density")}
    record = test_record(example, given) | {"curve": {"form": "quadratic"}}
    for point, dry in zip(record["points"], given["dry_density"], strict=True):
        point["dry_density"] = dry
    fitted: Values = compute_records(record)[example.id].case.values
    curve = fitted.curve
    if not isinstance(curve, Curve):
        raise ValueError(f"b04: {curve.words}")
    unit = example.units["density"]
    more = {
        "quadratic": coefficients(lambda w: from_si(curve.line(w), unit), 9.0, 2.0),
        "maximum_dry_density": from_si(curve.peak_dry_density, unit),
        "optimum_water_content": curve.peak_water_content,
    }
    return Recomputed({**made.figures, **more}, made.flags)


def coefficients(
    parabola: Callable[[float], float], at: float, step: float
) -> dict[str, float]:
    """
    Coefficients of a parabola, from three of its values.

    >>> coefficients(lambda w: 3 * w * w - 2 * w + 1, 5.0, 1.0)
    {'a': 3.0, 'b': -2.0, 'c': 1.0}
    """
    low, middle, high = (parabola(at + k * step) for k in (-1, 0, 1))
    a = (high - 2 * middle + low) / (2 * step * step)
    b = (high - low) / (2 * step) - 2 * a * at
    return {"a": a, "b": b, "c": middle - a * at * at - b * at}


def field_air_voids(example: Example) -> Recomputed:
    """b06: also the air voids of its second part; 18.15 kN/m³ is of the dry soil."""
    made, given = compaction(example), example.given
    field = {name: float(value) for name, value in given["field"].items()}
    density = field["unit_weight_kN_m3"] / field["gravity"]  # Mg/m³
    gravity = float(given["specific_gravity"])
    air = air_voids(density, field["water_content"], gravity, 1.0)
    return Recomputed({**made.figures, "field_air_voids": air}, made.flags)


def first_wet_density(example: Example) -> Recomputed:
    """b11: only the first wet density was printed."""
    made = compaction(example)
    first = made.figures["wet_density"][0]
    return Recomputed({**made.figures, "first_wet_density": first}, made.flags)


def inconsistent(example: Example) -> Recomputed:
    """b14: computed from its wet densities; flagged with its dry ones beside them."""
    made = compaction(example)
    record = test_record(example, example.given)
    for point, dry in zip(
        record["points"], example.tree["published"]["dry_density"], strict=True
    ):
        point["dry_density"] = dry
    return Recomputed(made.figures, all_flags(compute_records(record)))


def filled_with_water(example: Example) -> Recomputed:
    """b15: a container calibrated as a mold is, and a water content."""
    given = example.given
    filling = {
        "empty_with_plates": given["empty"],
        "full_with_plates": given["full_of_water"],
        "temperature_c": given["temperature"],
    }
    names = ("container", "container_and_wet", "container_and_dry")
    one = {**given, "containers": [[given[name] for name in names]]}
    mold = mold_record(example, "b15-M1", {"water": filling})
    made = compute_records(mold, test_record(example, one))
    values: Values = made["b15"].case.values
    volume = made["b15-M1"].results["mold_volume"].value
    sand = (float(given["full_of_sand"]) - float(given["empty"])) / volume  # kg/m³
    return Recomputed(
        {
            "water_density": water_density(float(given["temperature"])),
            "mold_volume": from_si(volume, "cm3"),
            "sand_density_g_cm3": from_si(sand, "g/cm3"),
            "water_content": values.points[0].water_content,
        },
        all_flags(made),
    )


def cylinder(example: Example) -> Recomputed:
    """b16: a cylinder measured as a mold is, and the sand that filled it."""
    given, units = example.given, example.units
    made = compute_records(*mold_records(example, given))
    (mold,) = made.values()
    volume = mold.case.values[0].by_dimensions
    whole, cone, empty = (
        float(given[name]) for name in ("full_with_cone", "sand_in_cone", "empty")
    )
    sand = whole - cone - empty
    density = to_si(sand, units["mass"]) / volume
    return Recomputed(
        {
            "mold_volume": from_si(volume, units["volume"]),
            "sand_in_container": sand,
            "sand_density": from_si(density, units["density"]),
        }
    )


def drive_cylinders(example: Example) -> Recomputed:
    """b17: two cylinders as molds; three containers of other soil beside them."""
    rows = example.given["cylinders"]
    given = {
        "mold_diameter": [str(2 * Decimal(row["radius"])) for row in rows.values()],
        "mold_height": [row["height"] for row in rows.values()],
        "mold_mass": [row["empty"] for row in rows.values()],
        "mold_and_wet_soil": [row["with_wet_soil"] for row in rows.values()],
        "containers": example.given["containers"],
    }
    made = compaction(example, given).figures
    figures: dict[str, Any] = {"water_content": made["water_content"]}
    for i, name in enumerate(rows):
        volume, wet = made["mold_volume"][i], made["wet_density"][i]
        figures[name] = {"volume": volume, "wet_density": wet}
    return Recomputed(figures)
