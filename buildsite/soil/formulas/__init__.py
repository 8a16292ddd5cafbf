"""
The formulas of the functions here, as an engineer writes them by hand.

Each is data: the text is arithmetic over symbols, and each symbol names a parameter of
the function or a constant of its module. `tests/soil/test_formulas.py` evaluates the
text and holds it against the function, so that what a page prints is what is computed.

Symbols are names: ``rho_d`` is printed as ρ with the index d.
"""

from buildsite.soil.formulas.compaction import (
    AIR_VOIDS,
    DRY_DENSITY,
    FINE_DRY_DENSITY,
    FINE_WATER_CONTENT,
    OVEN_DRY_BULK,
    SATURATION,
    TOTAL_DRY_DENSITY,
    TOTAL_WATER_CONTENT,
    WATER_CONTENT,
    WATER_DENSITY,
    WET_DENSITY,
)
from buildsite.soil.formulas.field import (
    BALLOON_VOLUME,
    COARSE_PERCENT,
    GAUGE_DRY_DENSITY,
    ON_DRY_BASIS,
    PERCENT_COMPACTION,
    SAND_CONE_VOLUME,
)
from buildsite.soil.formulas.formula import (
    GRAVITY_OF_TWO,
    Formula,
    Term,
    mean,
    mean_of_alike,
    mean_of_gravities,
    mean_of_waters,
)
from buildsite.soil.formulas.particles import (
    APPARENT_OF_BULK,
    FILLED_MASS,
    PARTICLES,
    SOLIDS_GRAVITY,
    TEMPERATURE_FACTOR,
    VOLUME_BY_WATER,
)

ALL = (
    WATER_CONTENT,
    WET_DENSITY,
    DRY_DENSITY,
    SATURATION,
    AIR_VOIDS,
    WATER_DENSITY,
    TOTAL_DRY_DENSITY,
    TOTAL_WATER_CONTENT,
    OVEN_DRY_BULK,
    FINE_DRY_DENSITY,
    FINE_WATER_CONTENT,
    SAND_CONE_VOLUME,
    BALLOON_VOLUME,
    GAUGE_DRY_DENSITY,
    ON_DRY_BASIS,
    COARSE_PERCENT,
    PERCENT_COMPACTION,
    VOLUME_BY_WATER,
    FILLED_MASS,
    TEMPERATURE_FACTOR,
    SOLIDS_GRAVITY,
    APPARENT_OF_BULK,
    *PARTICLES,
)
"""Every formula, for the tests."""

__all__ = [
    "AIR_VOIDS",
    "ALL",
    "APPARENT_OF_BULK",
    "BALLOON_VOLUME",
    "COARSE_PERCENT",
    "DRY_DENSITY",
    "FILLED_MASS",
    "FINE_DRY_DENSITY",
    "FINE_WATER_CONTENT",
    "GAUGE_DRY_DENSITY",
    "GRAVITY_OF_TWO",
    "ON_DRY_BASIS",
    "OVEN_DRY_BULK",
    "PARTICLES",
    "PERCENT_COMPACTION",
    "SAND_CONE_VOLUME",
    "SATURATION",
    "SOLIDS_GRAVITY",
    "TEMPERATURE_FACTOR",
    "TOTAL_DRY_DENSITY",
    "TOTAL_WATER_CONTENT",
    "VOLUME_BY_WATER",
    "WATER_CONTENT",
    "WATER_DENSITY",
    "WET_DENSITY",
    "Formula",
    "Term",
    "mean",
    "mean_of_alike",
    "mean_of_gravities",
    "mean_of_waters",
]
