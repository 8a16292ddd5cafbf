"""The computation of a test as a function of all its inputs."""

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from math import fsum, sqrt

from buildsite.kinds.tests.moisture_density.compute import known_form
from buildsite.kinds.tests.moisture_density.model import Point
from buildsite.kinds.tests.moisture_density.specimens import (
    mold_id,
    volume_of,
)
from buildsite.kinds.tests.moisture_density.uncertainty.inputs import (
    NORMAL,
    RECTANGULAR,
    Input,
    LastPlace,
    ModelInputs,
    balance_error,
    container_deviation,
    density_place,
    masses_place,
    moisture_place,
    mold_volume,
    percent_place,
)
from buildsite.kinds.tests.shared.containers import possible_masses
from buildsite.record.units import to_si
from buildsite.soil import phase
from buildsite.soil.curves import Curve, Solids, fit
from buildsite.soil.uncertainty import Quantity, rectangular

GRAVITY = {"measured": 0.02, "assumed": 0.05}
"""Half-widths of a specific gravity: common practice."""

At = Callable[[Sequence[float]], float]
"""A value computed from the values of all inputs."""


class NoPeakWithin(ValueError):
    """The curve has no peak when a reading changes by its uncertainty."""


def value_at(index: int) -> At:
    """Return the function that gives the value of one input."""
    return lambda x: x[index]


def water_at(readings: ModelInputs, point: Point, place: LastPlace | None) -> At:
    """Return the water content of a point, measured or transcribed. [%]"""
    triples = []
    for masses in filter(None, map(possible_masses, point.all_containers)):
        if place is not None:
            group = "Containers, all masses"
            made = (place.reading(group, float(mass)) for mass in masses)
            triples.append(tuple(map(readings.add, made)))
    if not triples:
        stated = point.water_content or Decimal(0)
        group = readings.group("water_content", "transcribed")
        taken = percent_place(stated).reading(group, float(stated))
        return value_at(readings.add(taken))
    scatter = container_scatter(readings, len(triples))

    def water(x: Sequence[float]) -> float:
        found = [phase.water_content(x[a], x[b], x[c]) for a, b, c in triples]
        return fsum(found) / len(found) + (x[scatter] if scatter is not None else 0.0)

    return water


def container_scatter(readings: ModelInputs, count: int) -> int | None:
    """Add the scatter between the containers of a point, where known. [%]"""
    spread = container_deviation(readings.case)
    if spread is None:
        return None
    mean = Quantity(0.0, spread / sqrt(count))
    group = readings.group("water_content", "between containers")
    source = "containers of one point"
    return readings.add(Input(group, mean, "%", NORMAL, source))


def wet_at(readings: ModelInputs, point: Point) -> At | None:
    """Return the wet density of a point, measured or transcribed. [kg/m³]"""
    case, record = readings.case, readings.case.record
    if point.wet_density is not None:
        return transcribed_density(readings, "wet_density", point.wet_density)
    found = volume_of(record, point, case.inputs, case.method)
    mold = point.mold_mass if point.mold_mass is not None else record.mold_mass
    whole, unit = point.mold_and_wet_soil, record.units.compacted
    if found is None or mold is None or whole is None or unit is None:
        return None
    place, id = masses_place(case), mold_id(record, point) or ""
    filled = readings.add(place.reading("Mold and wet soil", to_si(whole, unit)))
    name = f"Mold {id}, empty" if id else "Mold, empty"
    empty = readings.shared(
        ("mold", f"{id} {mold}"), lambda: place.reading(name, to_si(mold, unit))
    )
    inside = readings.shared(("volume", id), lambda: mold_volume(case, point, found))
    error = readings.shared(("balance", ""), lambda: balance_error(case))
    return lambda x: (x[filled] - x[empty] + x[error]) / x[inside]


def transcribed_density(readings: ModelInputs, name: str, value: Decimal) -> At:
    """Return a transcribed density, known to half its last place. [kg/m³]"""
    unit = readings.case.record.units.density or "kg/m3"
    place = density_place(readings.case, value)
    group = readings.group(name, "transcribed")
    return value_at(readings.add(place.reading(group, to_si(value, unit))))


def dry_at(wet: At, water: At) -> At:
    """Return the dry density of a point. [kg/m³]"""
    return lambda x: phase.dry_density(wet(x), water(x))


def points_at(readings: ModelInputs) -> Iterator[tuple[At, At]]:
    """Yield water content and dry density of each point on the curve."""
    case, place = readings.case, moisture_place(readings.case)
    for values in case.values.on_curve:
        point = case.record.points[values.number - 1]
        water = water_at(readings, point, place)
        if point.dry_density is not None:
            yield water, transcribed_density(readings, "dry_density", point.dry_density)
            continue
        wet = wet_at(readings, point)
        if wet is not None:
            yield water, dry_at(wet, water)


def gravity_at(readings: ModelInputs) -> At | None:
    """Return the specific gravity, where stated: some curve types use it. [1]"""
    gravity = readings.case.values.gravity
    if gravity is None:
        return None
    half = GRAVITY.get(gravity.basis, GRAVITY["assumed"])
    known = Quantity(float(gravity.value), rectangular(half))
    source = f"{gravity.basis}: within {half} (common practice)"
    name = "Specific gravity"
    return value_at(
        readings.add(Input(name, known, "", RECTANGULAR, source, repeats=False))
    )


def model_of(readings: ModelInputs) -> Callable[[Sequence[float]], tuple[float, float]]:
    """
    Return the function from all inputs to maximum dry density [kg/m³] and optimum [%].

    It raises NoPeakWithin if the inputs give a curve without a peak.
    """
    values, points = readings.case.values, tuple(points_at(readings))
    gravity, form = gravity_at(readings), known_form(values.requested_form)

    def model(x: Sequence[float]) -> tuple[float, float]:
        solids = Solids(gravity(x), values.water_density) if gravity else None
        pairs = [(water(x), dry(x)) for water, dry in points]
        curve = fit(form, pairs, solids)
        if not isinstance(curve, Curve):
            raise NoPeakWithin(curve.words)
        return curve.peak_dry_density, curve.peak_water_content

    return model
