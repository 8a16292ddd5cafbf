"""
The fill as it truly is, before anybody tests it: soil, water, roller, stones.

**Soil.** A compaction model of `tests.demo.soil`, at the effort of its zone. Soil of
borrow pit 4 lies between the members of its family: between two peaks, the top of its
curve is on the straight line between theirs (that soils of one pit line up so is the
idea of a family: AASHTO R 75; from memory).

**Roller.** After n passes soil at a water content has the share s(n) of the dry density
that the laboratory's effort gives it there, ``s = 1.015 (1 - exp(-(n + 1.5)/3.2))``:
96 % after 8 passes, 99 % after 10, 101.5 % in the end. A growth toward a limit is
common practice; the figures are ours. From place to place it is denser or looser by
0.5 % (standard deviation), and wetter or drier by 0.3 points. A place at the edge of
the roller's path has a share of its own, which the plan states.

**Stones.** The quarry material has stones over the 3/4 in sieve, by dry mass a share P
of the whole; the soil between them is as dense as it would be without. So
``1/ρ = (1 - P)/ρ_fine + P/(G ρ_water)``, and the water of the whole is that of both
parts by dry mass (ASTM D4718; from memory).
"""

from dataclasses import dataclass
from math import exp

from tests.demo.laboratory import Chance
from tests.demo.soil import SOILS, WATER_20, Soil, Top

PLACE_NOISE = 0.005  # share of the density
WATER_PLACE_NOISE = 0.3  # points
STONE_GRAVITY, STONE_WATER = 2.64, 0.9  # as sample HF-S04 states them


def share(passes: float) -> float:
    """Share of the laboratory's dry density that so many passes reach."""
    return 1.015 * (1 - exp(-(passes + 1.5) / 3.2))


FAMILY = ("HF-S08", "HF-S09", "HF-S10", "HF-S11", "HF-S12")
"""Samples of borrow pit 4, from the wettest and lightest to the driest and densest."""


def between(place: float) -> Soil:
    """The soil of borrow pit 4 at a place along its family: 0 to 4, from HF-S08."""
    i = min(int(place), len(FAMILY) - 2)
    part = place - i
    one, other = (SOILS[name] for name in FAMILY[i : i + 2])
    assert isinstance(one, Soil)
    assert isinstance(other, Soil)
    tops = [soil.tops["standard"] for soil in (one, other)]
    top = Top(
        tops[0].dry_density + part * (tops[1].dry_density - tops[0].dry_density),
        tops[0].water_content + part * (tops[1].water_content - tops[0].water_content),
    )
    return Soil(one.gravity, one.wet_saturation, one.limb, {"standard": top})


@dataclass(frozen=True)
class Ground:
    """The soil at one place as it truly is: SI, water contents in percent."""

    dry_density: float  # of the whole [kg/m³]
    water: float  # of the whole [%]
    fine_water: float
    stones: float  # share of the whole by dry mass

    @property
    def wet_density(self) -> float:
        """Of the whole [kg/m³]."""
        return self.dry_density * (1 + self.water / 100)


def rolled(
    soil: Soil,
    effort: str,
    water: float,
    part: float,
    chance: Chance,
    stones: float = 0.0,
) -> Ground:
    """Roll soil of a planned water content to a share of the laboratory's density."""
    here = water + chance.normal(WATER_PLACE_NOISE)
    fine = soil.dry_density(effort, here) * part * (1 + chance.normal(PLACE_NOISE))
    if not stones:
        return Ground(fine, here, here, 0.0)
    whole = 1 / ((1 - stones) / fine + stones / (STONE_GRAVITY * WATER_20))
    return Ground(whole, (1 - stones) * here + stones * STONE_WATER, here, stones)
