"""
Simulated sound soils, and how often the checks flag them: docs/false-alarms.md.

Write it again with `python -m tests.kinds.tests.moisture_density.sound_soils`; a test
checks it is current.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from math import exp, sqrt
from pathlib import Path

import numpy as np

from buildsite.kinds.tests.moisture_density.compute import Values
from buildsite.standards.soils import soil_class
from tests.kinds.making import SAMPLE, in_archive

PAGE = Path(__file__).parents[4] / "docs" / "false-alarms.md"
WORDS = Path(__file__).with_name("sound_soils_words.md")
SETS = 400
WATER = 998.2  # kg/m³ at 20 °C: Tanaka et al., Metrologia 38 (2001) 301-309

CLASSES = ("SM", "SC", "ML", "CL-ML", "CL", "MH", "CH")
SAND, CLAY = ("SM", "SC"), ("CL", "CL-ML", "CH")

DENSITY_SCATTER, WATER_SCATTER, TARGET_SCATTER = 0.004, 0.15, 0.3
"""Of one specimen (share), of its water content and of the water mixed in (points)."""


@dataclass(frozen=True)
class Soil:
    """A soil that follows its phases: its top, and the saturation it tends to."""

    gravity: float
    density: float  # kg/m³
    optimum: float  # %
    tended: float  # saturation of the wet side, far from the optimum [%]
    limb: float  # steepness of the dry side

    @property
    def at_top(self) -> float:
        """Saturation at the optimum [%]."""
        return self.optimum * self.gravity / (self.gravity * WATER / self.density - 1)

    def dry_density(self, water: float) -> float:
        """
        Of a specimen compacted at this water content [kg/m³].

        As tests/demo/soil.py has it: a hyperbola on the dry side; on the wet side the
        saturation grows from that at the top, at the one rate that keeps the top where
        it is: dS/dw = S / w.
        """
        if water <= self.optimum:
            x = (self.optimum - water) / self.optimum
            return self.density * (
                1 - self.limb * 0.18 * (sqrt(1 + (x / 0.18) ** 2) - 1)
            )
        reach = self.tended - self.at_top
        length = self.optimum * reach / self.at_top
        filled = self.tended - reach * exp(-(water - self.optimum) / length)
        return WATER / (1 / self.gravity + water / filled)


def sound(symbol: str, chance: np.random.Generator) -> Soil:
    """
    Make a sound soil of a class.

    Its top lies in the class's range (NAVFAC DM-7.02, table 1, from memory), denser
    where drier. On the wet side it keeps a content of air of the whole volume: 2 to 5 %
    in clay, 3 to 7 % in silt and sand (the lines of 5 and 10 % that British practice
    draws beside zero air voids; ours). It is kept if saturation is 70 to 92 % at the
    top and 3 or more higher on the wet side.
    """
    known = soil_class(symbol)
    assert known is not None
    dense, moist = known.dry_density(), known.water_content()
    assert dense is not None
    assert moist is not None
    clay, sand = symbol in CLAY, symbol in SAND
    while True:
        share = chance.uniform()
        gravity = chance.uniform(2.64, 2.70) if sand else chance.uniform(2.66, 2.76)
        density = dense[1] - share * (dense[1] - dense[0])
        optimum = moist[0] + share * (moist[1] - moist[0]) + chance.normal(0, 1)
        full = Soil(gravity, density, optimum, 0.0, 0.0).at_top
        air = chance.uniform(2, 5) if clay else chance.uniform(3, 7)
        pores = 1 - 0.97 * density / WATER / gravity
        tended = 100 - air / pores
        if 70 <= full <= 92 and tended >= full + 3:
            return Soil(gravity, density, optimum, tended, chance.uniform(0.25, 0.45))


MOLD, VOLUME, PAN, CONTAINER = 2000.0, 943.6, 2300.0, 50.0  # g, cm³, g, g
HEAVY = ("MH", "CH")
"""Classes tested in wider steps of water content."""


def record_of(symbol: str, soil: Soil, chance: np.random.Generator) -> str:
    """
    Return the record of a test of five points some 2 apart (3 for heavy soils).

    Specimens are separate, weighed in the pan; water is measured to 5 mL, and 3 % of
    it is lost in mixing; two containers a point, balances to 1 g and 0.01 g.
    """
    step = 3 if symbol in HEAVY else 2
    before = max(soil.optimum - 3 * step, 1.0)
    first = soil.optimum - 2 * step + chance.uniform(-step / 2, step / 2)
    dry_pan = PAN / (1 + before / 100)
    lines = []
    for i in range(5):
        wanted = dry_pan * (first + step * i - before) / 100
        added = max(5 * round(wanted / 5), 0)
        water = before + 100 * added * (0.97 + chance.normal(0, 0.01)) / dry_pan
        dry = soil.dry_density(water) * (1 + chance.normal(0, DENSITY_SCATTER))
        full = MOLD + dry * (1 + water / 100) * VOLUME / 1000
        containers = []
        for _ in range(2):
            read = water + chance.normal(0, WATER_SCATTER)
            empty, baked = CONTAINER + chance.uniform(-2, 2), 60 + chance.uniform(-9, 9)
            moist = empty + baked * (1 + read / 100)
            containers.append(
                f"{{container_mass: {empty:.2f}, container_and_wet: {moist:.2f}, "
                f"container_and_dry: {empty + baked:.2f}}}"
            )
        lines.append(
            f"  - {{specimen_mass: {PAN:.0f}, water_added_ml: {added}, "
            f"mold_and_wet_soil: {full:.0f}, containers: [{', '.join(containers)}]}}\n"
        )
    return (
        "units: {compacted: g, moisture: g, volume: cm3, density: kg/m3}\n"
        f"specimens: separate\nmold_mass: {MOLD:.0f}\nmold_volume: {VOLUME}\n"
        f"points:\n{''.join(lines)}"
    )


BANDS = (
    "saturation-at-optimum-unusual",
    "wet-leg-unlike-soil",
    "right-of-zero-air-voids",
    "result-unlike-soil",
    "unusual-density",
    "unusual-optimum",
    "unusual-specific-gravity",
    "peak-moves-with-form",
    "no-well-defined-optimum",
    "peak-not-bracketed",
    "two-peaks",
    "peak-where-nothing-was-measured",
    "point-out-of-line",
    "saturation-falls",
    "wet-mass-repeated",
    "containers-disagree",
    "water-content-step-too-large",
    "water-content-unlike-water-added",
)
"""Checks that hold a test against what is usual, or against its own scatter."""

FROM = (1, 2)
"""Distances wet of optimum at which the saturation is shown [points]."""


@dataclass(frozen=True)
class Tried:
    """One simulated test: its flags, and the saturation at its wet points [%]."""

    flags: frozenset[str]
    wet: Mapping[int, tuple[float, float]]


def tried(symbol: str) -> Iterator[Tried]:
    """Yield each simulated test of a class."""
    chance = np.random.default_rng([ord(letter) for letter in symbol])
    for _ in range(SETS):
        soil = sound(symbol, chance)
        sample = SAMPLE + (
            f"soil: {{name: soil, class: {symbol}, class_basis: tested}}\n"
            f"specific_gravity: {{value: {soil.gravity:.2f}, basis: measured}}\n"
        )
        text = record_of(symbol, soil, chance)
        made = in_archive(text, {"records/p/samples/S-1.yaml": sample})
        # The others take as long again, and no band shows them.
        rules = (rule for rule in made.kind.rules if rule.flag in BANDS)
        flags = frozenset(rule.flag for rule in rules if any(rule.check(made.case)))
        yield Tried(flags, dict(wet_side(made.case.values)))


def wet_side(values: Values) -> Iterator[tuple[int, tuple[float, float]]]:
    """Yield the lowest and highest saturation from each distance on."""
    optimum = values.optimum_water_content
    if optimum is None:
        return
    for start in FROM:
        full = [
            point.saturation
            for point in values.on_curve
            if point.saturation is not None
            and (point.water_content or 0.0) >= optimum + start
        ]
        if full:
            yield start, (min(full), max(full))


@dataclass(frozen=True)
class Row:
    """What the page says of a class."""

    flagged: tuple[str, ...]
    wet: tuple[str, ...]


@cache
def row_of(symbol: str) -> Row:
    """Try a class."""
    every, known = list(tried(symbol)), soil_class(symbol)
    assert known is not None
    usual = known.wet_leg_saturation
    flagged = [
        f"{100 * np.mean([band in one.flags for one in every]):.0f}" for band in BANDS
    ]
    if usual is None:
        flagged[BANDS.index("wet-leg-unlike-soil")] = "–"
    wet = [
        f"{np.percentile(low, 1):.0f} to {np.percentile(high, 99):.0f}"
        for low, high in (
            zip(*(one.wet[start] for one in every if start in one.wet), strict=True)
            for start in FROM
        )
    ]
    wet.append("none" if usual is None else f"{usual[0]:g} to {usual[1]:g}")
    return Row(tuple(flagged), tuple(wet))


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Lay out a table in Markdown."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines) + "\n"


def page() -> str:
    """Put the page together from its words and its tables."""
    rows = [row_of(symbol) for symbol in CLASSES]
    flagged = zip(BANDS, *(row.flagged for row in rows), strict=True)
    return WORDS.read_text(encoding="utf-8").format(
        sets=SETS,
        flagged=table(
            ["check", *CLASSES], [[f"`{band}`", *cells] for band, *cells in flagged]
        ),
        wet=table(
            ["class", *(f"from {start}, %" for start in FROM), "limits, %"],
            [[symbol, *row.wet] for symbol, row in zip(CLASSES, rows, strict=True)],
        ),
    )


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
