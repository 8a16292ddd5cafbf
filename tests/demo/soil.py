"""
The stated soils: how each compacts, before anybody reads a balance.

Every soil of the demo is one of two models. Neither is a form of curve that the
program fits, and nothing here is taken from the program.

**A soil with an optimum** (`Soil`). Given are the top of its curve for an effort
(dry density in lb/ft³, water content in percent, chosen inside the usual range of the
class: NAVFAC DM-7.02, table 1, for standard effort; from memory), its specific gravity
G and the saturation that its wet leg tends to, S∞, 92 to 96 %.

- *Wet of optimum* air is trapped: saturation grows from that at the optimum, So,
  towards S∞ as ``S = S∞ - (S∞ - So) exp(-(w - wo)/λ)``. Dry density follows from the
  definition of saturation, ``ρw / (1/G + w/S)``. It has its top at the optimum only if
  dS/dw = So/wo there (put dρ/dw = 0 into that definition), so λ = wo (S∞ - So)/So is
  not chosen.
- *Dry of optimum* density falls off along a hyperbola, ``ρo (1 - a (√(1 + (x/b)²) -
  1))`` with x = (wo - w)/wo: round at the top, straight far from it. b, the
  roundness, is 0.18; a/b, the steepness of the straight limb, is the soil's own,
  0.25 (flat) to 0.45. The shape is common practice, the figures are ours.

**A clean sand** (`CleanSand`). Nearly as dense dry as wet, looser between, where
suction of the water films holds the grains apart (bulking): the loss is greatest at a
few percent of water and dies away both ways. Water beyond what the sand holds runs
out at the base. It has no well-defined optimum, which is what a test should find.
"""

from dataclasses import dataclass
from math import exp, sqrt

WATER_20 = 998.207  # kg/m³ at 20 °C: Tanaka et al., Metrologia 38 (2001) 301-309
POUND_PER_CUBIC_FOOT = 0.45359237 / 0.3048**3  # kg/m³

ROUNDNESS = 0.18


@dataclass(frozen=True)
class Top:
    """The top of a curve: dry density [lb/ft³], water content [%]."""

    dry_density: float
    water_content: float

    @property
    def density(self) -> float:
        """In kg/m³."""
        return self.dry_density * POUND_PER_CUBIC_FOOT


@dataclass(frozen=True)
class Soil:
    """A soil with an optimum. `tops`: by effort, standard or modified."""

    gravity: float
    wet_saturation: float  # tended to on the wet leg [%]
    limb: float  # steepness of the dry leg
    tops: dict[str, Top]

    def saturation(self, dry_density: float, water: float) -> float:
        """Share of the voids that water fills [%]."""
        voids = self.gravity * WATER_20 / dry_density - 1
        return water * self.gravity / voids

    def dry_density(self, effort: str, water: float) -> float:
        """Of a specimen compacted at this water content [kg/m³]."""
        top = self.tops[effort]
        optimum = top.water_content
        if water <= optimum:
            x = (optimum - water) / optimum
            fall = self.limb * ROUNDNESS * (sqrt(1 + (x / ROUNDNESS) ** 2) - 1)
            return top.density * (1 - fall)
        at_top = self.saturation(top.density, optimum)
        reach = self.wet_saturation - at_top
        length = optimum * reach / at_top
        filled = self.wet_saturation - reach * exp(-(water - optimum) / length)
        return WATER_20 / (1 / self.gravity + water / filled)

    def holds(self, water: float) -> float:
        """Water content that stays in the mold: all of it [%]."""
        return water


@dataclass(frozen=True)
class CleanSand:
    """A sand without an optimum. Dry densities in lb/ft³, water contents in %."""

    gravity: float
    dry: float  # dry density without water
    bulking: float  # greatest loss of it, as a share
    bulked_at: float  # water content there
    held: float  # water content beyond which water runs out
    tops: dict[str, Top]

    def dry_density(self, effort: str, water: float) -> float:
        """Of a specimen compacted at this water content [kg/m³]."""
        x = water / self.bulked_at
        loss = self.bulking * x * exp(1 - x)
        return self.dry * POUND_PER_CUBIC_FOOT * (1 - loss)

    def holds(self, water: float) -> float:
        """Water content that stays in the mold [%]."""
        return min(water, self.held)


SOILS: dict[str, Soil | CleanSand] = {
    # Heron Flats
    "HF-S01": Soil(
        2.70, 94.5, 0.38, {"standard": Top(110.5, 16.2), "modified": Top(122.0, 11.9)}
    ),  # lean clay
    "HF-S02": Soil(
        2.67, 92.0, 0.30, {"standard": Top(118.0, 12.2), "modified": Top(126.5, 9.3)}
    ),  # silty sand
    "HF-S03": Soil(2.74, 95.0, 0.25, {"standard": Top(94.5, 25.6)}),  # fat clay
    "HF-S04": Soil(2.68, 92.0, 0.28, {"modified": Top(134.5, 7.0)}),  # gravelly sand
    "HF-S05": Soil(2.68, 93.0, 0.32, {"standard": Top(106.0, 17.4)}),  # silt
    "HF-S06": Soil(2.71, 95.0, 0.36, {"standard": Top(107.2, 17.8)}),  # lean clay
    "HF-S07": Soil(2.69, 93.5, 0.38, {"standard": Top(112.6, 14.6)}),  # silty clay
    # Borrow pit 4, a family: from its wettest and lightest to its driest and densest.
    "HF-S08": Soil(2.71, 94.5, 0.32, {"standard": Top(104.0, 19.4)}),  # lean clay
    "HF-S09": Soil(2.70, 94.5, 0.33, {"standard": Top(107.1, 17.7)}),  # lean clay
    "HF-S10": Soil(2.70, 94.0, 0.34, {"standard": Top(110.2, 16.1)}),  # lean clay
    "HF-S11": Soil(2.69, 94.0, 0.35, {"standard": Top(113.4, 14.5)}),  # sandy lean clay
    "HF-S12": Soil(2.69, 93.5, 0.36, {"standard": Top(116.7, 12.9)}),  # sandy lean clay
    "HF-S13": Soil(2.70, 94.0, 0.34, {"standard": Top(111.6, 15.4)}),  # borrow pit 5
    # Alder Quay
    "AQ-S01": Soil(
        2.68, 94.0, 0.36, {"standard": Top(116.5, 13.6), "modified": Top(125.8, 10.2)}
    ),  # clayey sand
    "AQ-S02": CleanSand(2.65, 106.5, 0.022, 4.5, 15.0, {}),  # poorly graded sand
    "AQ-S03": Soil(2.70, 94.0, 0.30, {"standard": Top(113.4, 14.9)}),  # clay, gravel
    "AQ-S04": Soil(2.71, 93.0, 0.30, {"modified": Top(136.0, 7.2)}),  # silty gravel
    "AQ-S05": Soil(2.68, 93.5, 0.32, {"standard": Top(103.0, 18.6)}),  # old silt
    "AQ-S06": Soil(2.70, 94.5, 0.38, {"modified": Top(119.5, 12.8)}),  # two pits
    "AQ-S07": Soil(2.70, 94.5, 0.38, {"modified": Top(120.5, 12.4)}),  # sandy clay
}
"""The soil of each sample."""
