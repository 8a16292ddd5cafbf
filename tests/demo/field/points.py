"""The one-points of borrow pit 4: one specimen each, dry of its optimum."""

from dataclasses import dataclass
from datetime import date, datetime, time

from tests.demo.bench import DENSITY_NOISE, WATER_NOISE, braces
from tests.demo.field.curves import CURVES
from tests.demo.field.densities import other
from tests.demo.field.model import FAMILY, between
from tests.demo.laboratory import BALANCES, MOLDS, Chance, container_mass, read
from tests.demo.write import schema, workday


@dataclass(frozen=True)
class OnePoint:
    """One specimen: where its soil lies along the family, and how dry it is."""

    number: int
    on: date
    by: str
    place: float
    part: float  # water content, as a share of the optimum of the soil
    station: str

    @property
    def id(self) -> str:
        """Its number."""
        return f"HF-P{self.number:04}"


def november(day: int) -> date:
    """A day of November 2026."""
    return date(2026, 11, day)


POINTS = (
    OnePoint(1, date(2026, 10, 30), "T07", 0.6, 0.90, "12+40"),
    OnePoint(2, november(2), "T04", 1.4, 0.88, "12+60"),
    OnePoint(3, november(2), "T04", 2.5, 0.91, "12+50"),
    OnePoint(4, november(3), "T07", 1.0, 0.87, "13+10"),
    OnePoint(5, november(4), "T04", 3.3, 0.89, "13+40"),
    OnePoint(6, november(4), "T04", 2.7, 1.09, "13+75"),  # too wet: refused
    OnePoint(7, november(5), "T07", 2.0, 0.92, "14+05"),
    OnePoint(8, november(6), "T04", 3.6, 0.86, "14+30"),
)
ISSUED = [f"HF-P{number:04}" for number in (1, 2, 3)]
"""Those by which lifts 4 to 6 are judged."""


def specimen(one: OnePoint) -> tuple[str, list[tuple[str, str]]]:
    """Mass of the empty mold; mold with wet soil, and the container."""
    chance, mold = Chance(f"{one.id} specimen"), MOLDS["M-01"]
    soil = between(one.place)
    water = soil.tops["standard"].water_content * one.part
    dry = soil.dry_density("standard", water) + chance.normal(DENSITY_NOISE)
    wet = dry * (1 + water / 100)
    empty = mold.weighs(one.on)
    name = f"{80 + one.number}"
    tin, moist = container_mass(name), chance.between(145, 180)
    solid = moist / (1 + (water + chance.normal(WATER_NOISE)) / 100)
    coarse, fine = BALANCES["B-01"], BALANCES["B-03"]
    filled = empty + wet / 1000 * mold.volume(one.on)
    return str(coarse.weigh(empty, chance)), [
        ("mold_and_wet_soil", str(coarse.weigh(filled, chance))),
        ("container", f'"{name}"'),
        ("container_mass", str(fine.weigh(tin, chance))),
        ("container_and_wet", str(fine.weigh(tin + moist, chance))),
        ("container_and_dry", str(fine.weigh(tin + solid, chance))),
    ]


def text_of(one: OnePoint) -> str:
    """The whole record of a one-point."""
    empty, point = specimen(one)
    out = workday(one.on, 1)
    start = datetime.combine(one.on, time(15, 30))
    end = datetime.combine(out, time(8, 10))
    heat = read(110 + Chance(f"{one.id} oven").normal(1.0), "1")
    lines = [
        schema("one-point", 2),
        "format: 1",
        "kind: one-point",
        f"id: {one.id}",
        "project: heron-flats",
        "family: embankment",
        'standard: {designation: AASHTO T 272, edition: "18", method: A, effort: T 99}',
        f"position: {{station: {one.station}}}",
        "preparation: moist",
        f"compacted: {{on: {one.on}, by: {one.by}}}",
        f"dried: {{on: {out}, by: {other(one.by)}}}",
        f"entered: {{by: {one.by}, checked_by: {other(one.by)}}}",
        "status: complete",
        "rammer: {operation: manual, face: round}",
        "layers: 3",
        "blows_per_layer: 25",
        "units: {compacted: g, moisture: g}",
        "equipment: {mold: M-01, rammer: R-01, balance: B-01, moisture_balance: B-03, "
        "oven: O-01, sieve: S-04}",
        f"mold_mass: {empty}",
        "weighed_with: mold",
        "water_content_by: oven",
        f"point: {braces(point)}",
        f"oven: {{in: {start:%Y-%m-%dT%H:%M}, out: {end:%Y-%m-%dT%H:%M}, "
        f"temperature_c: {heat}}}",
    ]
    return "\n".join(lines) + "\n"


def family() -> dict[str, str]:
    """The family of borrow pit 4."""
    members = ", ".join(test.id for test in CURVES if test.sample in FAMILY)
    lines = [
        schema("family-of-curves", 2),
        "format: 1",
        "kind: family-of-curves",
        "id: embankment",
        "project: heron-flats",
        "name: clays of borrow pit 4",
        "source: borrow pit 4",
        f"members: [{members}]",
    ]
    return {"records/heron-flats/families/embankment.yaml": "\n".join(lines) + "\n"}


def texts() -> dict[str, str]:
    """Every one-point, by its path in the archive."""
    return {f"records/heron-flats/tests/{one.id}.yaml": text_of(one) for one in POINTS}
