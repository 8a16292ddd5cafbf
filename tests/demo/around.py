"""
The tests around the curve, worked forward: water contents and a coarse fraction.

**Water content.** A soil has a true one; what goes into a container is wetter or drier
by 0.15 points, as on the compaction bench.

**Coarse fraction** (`Coarse`). Of the whole, each size has a true share by dry mass and
a true water content; its stones a true bulk specific gravity Gb, oven-dry, and a true
absorption a. Quartering moves a share by 1 % of itself (standard deviation; common
practice). While the soil is sieved 0.2 % of its mass is lost, as water and dust. Stones
come out of the cloth wetter or drier by 0.08 points, about the single-operator figure
of AASHTO T 85 (from memory). In water a stone weighs its dry mass less that of the
water which its solid part displaces, A (1 - 1/Ga) with 1/Ga = 1/Gb - a/100.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from tests.demo.bench import WATER_NOISE, Field, braces
from tests.demo.laboratory import BALANCES, Balance, Chance, container_mass, read
from tests.demo.write import OVENS, schema, workday

SHARE_NOISE = 0.01  # of a share
SIEVING_LOSS = (0.002, 0.0005)  # of the mass: mean, deviation
CLOTH_NOISE = 0.08  # points of absorption
IN_WATER_NOISE = 0.5  # g

PLATFORM = Balance("kg", "0.01", 3.0)
"""B-05, which shows kilograms."""


@dataclass(frozen=True)
class Weighed:
    """A water content as planned. `water`: what the soil truly has [%]."""

    id: str
    project: str
    sample: str
    standard: str
    on: date
    people: tuple[str, str]  # weighed wet, weighed dry
    containers: tuple[str, ...]
    moist: tuple[float, float]  # least and most that a technician takes [g]
    largest: str
    water: float

    @property
    def file(self) -> str:
        """Its path in the archive."""
        return f"records/{self.project}/tests/{self.id}.yaml"


@dataclass(frozen=True)
class Size:
    """One size of a soil: true share of the whole and water content [%]."""

    sieve: str
    share: float
    water: float


@dataclass(frozen=True)
class Coarse:
    """A coarse fraction as planned, and the stones as they truly are."""

    id: str
    project: str
    sample: str
    standard: str
    on: date
    people: tuple[str, str]
    whole: float  # dry [g]
    sizes: tuple[Size, ...]
    pans: tuple[str, ...]
    sieve: str
    nominal: str
    bulk: float  # oven-dry specific gravity
    absorption: float  # %
    soaked: tuple[time, float]  # into the water at, hours

    @property
    def file(self) -> str:
        """Its path in the archive."""
        return f"records/{self.project}/tests/{self.id}.yaml"


WATERS = (
    Weighed(
        id="HF-0122",
        project="heron-flats",
        sample="HF-S07",
        standard='designation: AASHTO T 265, edition: "22", method: none',
        on=date(2026, 8, 7),
        people=("T07", "T04"),
        containers=("P40", "P41"),
        moist=(320.0, 380.0),
        largest="1/2 in",
        water=6.2,
    ),
    Weighed(
        id="AQ-0015",
        project="alder-quay",
        sample="AQ-S07",
        standard='designation: ASTM D2216, edition: "19", method: B',
        on=date(2026, 10, 8),
        people=("T04", "T07"),
        containers=("P42", "P43"),
        moist=(540.0, 600.0),
        largest="3/8 in",
        water=6.1,
    ),
)

COARSE = (
    Coarse(
        id="AQ-0016",
        project="alder-quay",
        sample="AQ-S04",
        standard='designation: ASTM C127, edition: "24", method: none',
        on=date(2026, 8, 26),
        people=("T07", "T04"),
        whole=30400.0,
        sizes=(
            Size("3/4 in", 14.2, 1.2),
            Size("3/8 in", 16.8, 1.6),
            Size("No. 4", 16.5, 2.1),
            Size("pan", 52.5, 4.03),
        ),
        pans=("P30", "P31", "P32", "P33"),
        sieve="3/4 in",
        nominal="1 in",
        bulk=2.623,
        absorption=1.4,
        soaked=(time(15, 30), 23.0),
    ),
)


def heading(kind: str, test: Weighed | Coarse) -> list[str]:
    """What is tested, by which method."""
    return [
        schema(kind, 2),
        "format: 1",
        f"kind: {kind}",
        f"id: {test.id}",
        f"project: {test.project}",
        f"sample: {test.sample}",
        f"standard: {{{test.standard}, variant: none}}",
    ]


def acts(test: Weighed | Coarse, dried: date) -> list[str]:
    """Who did what, and when."""
    first, last = test.people
    return [
        f"tested: {{on: {test.on}, by: {first}}}",
        f"dried: {{on: {dried}, by: {last}}}",
        f"entered: {{by: {first}, checked_by: {last}}}",
        f"reviewed: {{on: {workday(dried, 1)}, by: E02}}",
        "status: complete",
    ]


def in_pan(id: str, pan: str, moist: tuple[float, float], water: float) -> list[Field]:
    """One container: empty, with moist soil, after the oven."""
    chance, balance = Chance(f"{id} container {pan}"), BALANCES["B-04"]
    empty, wet = container_mass(pan), chance.between(*moist)
    dry = wet / (1 + (water + chance.normal(WATER_NOISE)) / 100)
    return [
        ("container", f'"{pan}"'),
        ("container_mass", str(balance.weigh(empty, chance))),
        ("container_and_wet", str(balance.weigh(empty + wet, chance))),
        ("container_and_dry", str(balance.weigh(empty + dry, chance))),
    ]


def oven(id: str, start: datetime, end: datetime) -> str:
    """The oven's times and how hot it was."""
    heat = read(110 + Chance(f"{id} oven").normal(1.0), "1")
    return (
        f"oven: {{in: {start:%Y-%m-%dT%H:%M}, out: {end:%Y-%m-%dT%H:%M}, "
        f"temperature_c: {heat}}}"
    )


def water_text(test: Weighed) -> str:
    """The whole record of a water content."""
    start = datetime.combine(test.on, time(15, 10))
    end = datetime.combine(workday(test.on, 1), time(8, 10))
    lines = [
        *heading("water-content", test),
        f"largest_particle: {test.largest}",
        *acts(test, end.date()),
        "units: {moisture: g}",
        f"equipment: {{moisture_balance: B-04, oven: {OVENS[test.project]}}}",
        "containers:",
        *(
            f"  - {braces(in_pan(test.id, pan, test.moist, test.water))}"
            for pan in test.containers
        ),
        oven(test.id, start, end),
    ]
    return "\n".join(lines) + "\n"


def dry_masses(test: Coarse) -> Mapping[str, float]:
    """What of each size came into the sample, dry [g]."""
    chance = Chance(f"{test.id} quartering")
    parts = {
        one.sieve: one.share * (1 + chance.normal(SHARE_NOISE)) for one in test.sizes
    }
    whole = sum(parts.values())
    return {sieve: test.whole * part / whole for sieve, part in parts.items()}


def fractions(test: Coarse) -> list[str]:
    """The mass before sieving, then each fraction with its water."""
    chance, dry = Chance(f"{test.id} sieving"), dry_masses(test)
    moist = {one.sieve: dry[one.sieve] * (1 + one.water / 100) for one in test.sizes}
    kept = 1 - SIEVING_LOSS[0] - chance.normal(SIEVING_LOSS[1])
    lines = [
        f"total_mass: {weigh_kg(sum(moist.values()), chance)}",
        "fractions:",
    ]
    for one, pan in zip(test.sizes, test.pans, strict=True):
        taken = (570.0, 680.0) if one.sieve != "pan" else (300.0, 360.0)
        fields = [
            ("retained_on", one.sieve),
            ("mass", weigh_kg(moist[one.sieve] * kept, chance)),
            *in_pan(test.id, pan, taken, one.water),
        ]
        lines.append(f"  - {braces(fields)}")
    return lines


def weigh_kg(grams: float, chance: Chance) -> str:
    """What the platform balance shows, in kilograms."""
    seen = grams + chance.normal(PLATFORM.repeatability)
    return str(read(seen / 1000, PLATFORM.last_place))


def stones(test: Coarse) -> str:
    """The stones over the oversize sieve: surface-dry, in water, oven-dry."""
    chance, balance = Chance(f"{test.id} stones"), BALANCES["B-04"]
    dry = dry_masses(test)[test.sieve] * 0.98  # chips and dust are washed off
    apparent = 1 / (1 / test.bulk - test.absorption / 100)
    soaked = dry * (1 + (test.absorption + chance.normal(CLOTH_NOISE)) / 100)
    sunk = dry * (1 - 1 / apparent) + chance.normal(IN_WATER_NOISE)
    return braces(
        [
            ("retained_on", test.sieve),
            ("surface_dry", str(balance.weigh(soaked, chance))),
            ("in_water", str(balance.weigh(sunk, chance))),
            ("oven_dry", str(balance.weigh(dry, chance))),
        ]
    )


def coarse_text(test: Coarse) -> str:
    """The whole record of a coarse fraction."""
    at, hours = test.soaked
    into = datetime.combine(test.on, at)
    out = into + timedelta(hours=hours)
    hot = out + timedelta(minutes=70)
    cold = datetime.combine(workday(hot.date(), 1), time(8, 10))
    warm = read(23 + Chance(f"{test.id} water").normal(0.5), "0.1")
    lines = [
        *heading("coarse-fraction", test),
        f"sieve: {test.sieve}",
        f"nominal_maximum: {test.nominal}",
        "split_masses: moist",
        "before_soaking: natural",
        *acts(test, cold.date()),
        "units: {split: kg, moisture: g, gravity: g}",
        "equipment: {balance: B-05, moisture_balance: B-04, gravity_balance: B-04, "
        f"oven: {OVENS[test.project]}, sieve: S-19}}",
        *fractions(test),
        f"soak: {{in: {into:%Y-%m-%dT%H:%M}, out: {out:%Y-%m-%dT%H:%M}, "
        f"water_temperature_c: {warm}}}",
        "specimens:",
        f"  - {stones(test)}",
        oven(test.id, hot, cold),
    ]
    return "\n".join(lines) + "\n"


def texts() -> dict[str, str]:
    """Every file that is generated here, by its path in the archive."""
    waters = {test.file: water_text(test) for test in WATERS}
    return waters | {test.file: coarse_text(test) for test in COARSE}
