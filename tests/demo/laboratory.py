"""
The invented laboratory's things as they truly are, and how they read.

Molds have a true volume and a true mass that wear a little; balances have a last
place; containers keep their mass. What the records say of them is read here with
those instruments, so it is close to the truth and not the truth.
"""

from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal
from random import Random
from statistics import NormalDist

POUND = 453.59237  # g

WATER = {19: 998.41, 20: 998.21, 21: 998.00, 22: 997.77, 23: 997.54, 24: 997.30}
"""Density of water by temperature in °C [kg/m³]: Tanaka et al., Metrologia 38 (2001)
301-309, the equation worked out at whole degrees and rounded to 0.01."""


class Chance:
    """Random readings that a name fixes: the same name, the same readings for ever."""

    def __init__(self, name: str) -> None:
        self._random = Random(f"kestrel-bend {name}")  # noqa: S311  noise, no secret

    def normal(self, deviation: float) -> float:
        """Draw from a normal distribution about zero."""
        # Strictly inside 0 and 1; by inversion, so one draw of the generator each.
        share = (self._random.randrange(1, 2**32) - 0.5) / 2**32
        return NormalDist().inv_cdf(share) * deviation

    def between(self, low: float, high: float) -> float:
        """Draw evenly."""
        return low + (high - low) * self._random.random()


def read(value: float, last_place: str) -> Decimal:
    """What an instrument with that last place shows."""
    return Decimal(value).quantize(Decimal(last_place), ROUND_HALF_EVEN)


@dataclass(frozen=True)
class Mold:
    """A mold. `volumes` [cm³]: each from its day on."""

    nominal: str
    volumes: tuple[tuple[date, float], ...]
    mass: float  # g, at the start of 2024
    wear: float  # g lost in a year
    across: float  # inside diameter [mm]

    def volume(self, on: date) -> float:
        """True volume on a day [cm³]."""
        return [volume for since, volume in self.volumes if since <= on][-1]

    def weighs(self, on: date) -> float:
        """True mass, clean and empty, without base plate [g]."""
        return self.mass - self.wear * (on - FIRST).days / 365


FIRST = date(2024, 1, 1)

MOLDS = {
    "M-01": Mold("4 in", ((FIRST, 942.1),), 2004.6, 1.1, 101.58),
    # It fell on 11 May 2026 and its halves no longer close fully. It was calibrated the
    # day after; the sheet stayed in its box and was entered only in November.
    "M-02": Mold(
        "4 in", ((FIRST, 945.3), (date(2026, 5, 11), 951.9)), 2117.8, 0.9, 101.70
    ),
    "M-03": Mold("6 in", ((FIRST, 2121.6),), 4712.3, 1.4, 152.31),
    "M-04": Mold("6 in", ((FIRST, 2127.4),), 4689.5, 1.2, 152.48),
}


@dataclass(frozen=True)
class Calibration:
    """One calibration of a mold as planned. Its readings follow."""

    on: date
    by: str
    next_due: date
    state: str
    temperature: int


CALIBRATIONS = {
    "M-01": (
        Calibration(date(2024, 1, 16), "T04", date(2025, 1, 16), "as found", 20),
        Calibration(date(2025, 1, 14), "T04", date(2026, 1, 14), "as found", 21),
        Calibration(date(2026, 1, 13), "T07", date(2027, 1, 13), "as found", 20),
    ),
    "M-02": (
        Calibration(date(2024, 1, 16), "T04", date(2025, 1, 16), "as found", 20),
        Calibration(date(2025, 1, 15), "T04", date(2026, 1, 15), "as found", 22),
        Calibration(date(2026, 1, 13), "T07", date(2027, 1, 13), "as found", 20),
        Calibration(date(2026, 5, 12), "T04", date(2027, 5, 12), "as found", 22),
    ),
    "M-03": (
        Calibration(date(2024, 2, 6), "T04", date(2025, 2, 6), "as found", 21),
        Calibration(date(2025, 2, 4), "T07", date(2026, 2, 4), "as found", 19),
        Calibration(date(2026, 2, 3), "T07", date(2027, 2, 3), "as found", 21),
    ),
    "M-04": (
        Calibration(date(2024, 8, 22), "T04", date(2025, 8, 22), "as found", 23),
        Calibration(date(2025, 8, 21), "T07", date(2026, 8, 21), "as found", 24),
        Calibration(date(2026, 9, 9), "T04", date(2027, 9, 9), "as found", 23),
    ),
}

PLATES = {"4 in": 1108.4, "6 in": 2460.7}  # two glass plates and grease [g]


@dataclass(frozen=True)
class Balance:
    """A balance: the unit it shows, its last place, its repeatability [g]."""

    unit: str
    last_place: str
    repeatability: float

    def weigh(self, grams: float, chance: Chance) -> Decimal:
        """Weigh a mass."""
        seen = grams + chance.normal(self.repeatability)
        return read(seen / POUND if self.unit == "lb" else seen, self.last_place)


BALANCES = {
    "B-01": Balance("g", "1", 0.3),
    "B-02": Balance("lb", "0.01", 0.5),
    "B-03": Balance("g", "0.01", 0.004),
    "B-04": Balance("g", "0.1", 0.03),
}


def container_mass(number: str) -> float:
    """True mass of a container [g]: small tins by number, pans as P-numbers."""
    chance = Chance(f"container {number}")
    return chance.between(180, 220) if number[0] == "P" else chance.between(28, 34)
