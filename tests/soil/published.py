"""Published examples of `buildsite/published`, read for tests, and their points."""

from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from buildsite.soil.curves import Solids
from buildsite.soil.phase import dry_density, water_content

FOLDER = Path(__file__).parents[2] / "buildsite" / "published"
WATER = 998.2
"""Density of water at 20 °C, for zero air voids. [kg/m³]"""

POUND_PER_CUBIC_FOOT = 0.45359237 / 0.3048**3
"""By the definitions of pound and foot. [kg/m³]"""


@cache
def example(identity: str) -> dict[str, Any]:
    """Read one example, by the id its file's name begins with."""
    (path,) = FOLDER.glob(f"{identity}-*.yaml")
    read: dict[str, Any] = yaml.safe_load(path.read_text(encoding="utf-8"))
    return read


def contents(identity: str) -> list[float]:
    """Water contents of each container of an example [%]."""
    return [water_content(*row) for row in example(identity)["given"]["containers"]]


def means(values: list[float], size: int) -> list[float]:
    """Mean of every ``size`` values in a row."""
    return [sum(values[i : i + size]) / size for i in range(0, len(values), size)]


def points(identity: str) -> list[tuple[float, float]]:
    """Water content [%] and dry density [kg/m³], from what the example was given."""
    given = example(identity)["given"]
    if "containers" in given:
        waters = means(contents(identity), given["containers_a_point"])
    else:
        waters = given["water_content"]
    wets = wet_densities(identity)
    return [(w, dry_density(wet, w)) for w, wet in zip(waters, wets, strict=True)]


def wet_densities(identity: str) -> list[float]:
    """Wet densities [kg/m³], from what the example was given."""
    given = example(identity)["given"]
    if "wet_density" in given:
        return [1000 * wet for wet in given["wet_density"]]
    if "wet_soil" in given:
        volume = float(Fraction(given["mold_volume"]))
        return [soil / volume * POUND_PER_CUBIC_FOOT for soil in given["wet_soil"]]
    count = len(given["mold_and_wet_soil"])
    volumes = [given["mold_volume"]] * count if "mold_volume" in given else None
    if volumes is None:
        volumes = example(identity)["published"]["mold_volume"]
    mold = given["mold_mass"]
    molds = mold if isinstance(mold, list) else [mold] * count
    return [
        1000 * (total - empty) / volume
        for total, empty, volume in zip(
            given["mold_and_wet_soil"], molds, volumes, strict=True
        )
    ]


def solids(identity: str) -> Solids | None:
    """Build what zero air voids rests on, where the example names it."""
    gravity = example(identity)["given"].get("specific_gravity")
    return None if gravity is None else Solids(gravity, WATER)
