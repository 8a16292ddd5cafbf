"""Formulas of `solids`, `coarse` and `volume`."""

from buildsite.soil import coarse, solids, volume, water
from buildsite.soil.formulas.formula import DEFINITION, Formula, Term

VOLUME_BY_WATER = Formula(
    volume.volume_by_water,
    "V_p",
    "(m_f - m_p) / rho_w",
    (
        Term("m_p", "empty", "empty pycnometer"),
        Term("m_f", "full", "pycnometer full of water"),
        Term("rho_w", "water_density", "density of that water"),
    ),
    DEFINITION,
)

FILLED_MASS = Formula(
    solids.filled_mass,
    "m_w",
    "m_p + V_p * rho_w",
    (
        Term("m_p", "empty", "empty pycnometer"),
        Term("V_p", "volume", "volume of the pycnometer"),
        Term("rho_w", "temperature", "density of water", water.water_density),
    ),
    "ASTM D854, mass of pycnometer and water at the test temperature",
)

TEMPERATURE_FACTOR = Formula(
    solids.temperature_factor,
    "K",
    "rho_w / rho_20",
    (Term("rho_w", "temperature", "density of water", water.water_density),),
    "ASTM D854, table 2, and AASHTO T 100, table 1",
    {"rho_20": water.water_density(solids.STANDARD_TEMPERATURE)},
)

SOLIDS_GRAVITY = Formula(
    solids.specific_gravity,
    "G_t",
    "m_s / (m_w + m_s - m_ws)",
    (
        Term("m_s", "dry_soil", "dry soil"),
        Term("m_w", "full_of_water", "pycnometer full of water"),
        Term("m_ws", "with_soil", "pycnometer full of soil and water"),
    ),
    "ASTM D854 and AASHTO T 100",
)

APPARENT_OF_BULK = Formula(
    solids.apparent_of_bulk,
    "G_a",
    "1 / (1 / G_b - A / 100)",
    (
        Term("G_b", "bulk", "bulk specific gravity, oven-dry"),
        Term("A", "absorption", "absorption"),
    ),
    "AASHTO T 85 and ASTM C127: from A / (B − C), A / (A − C) and (B − A) / A",
)

WEIGHED = {
    "oven_dry": Term("A", "oven_dry", "oven-dry, in air"),
    "surface_dry": Term("B", "surface_dry", "surface-dry, in air"),
    "in_water": Term("C", "in_water", "in water"),
}

PARTICLES = (
    Formula(
        coarse.bulk_specific_gravity,
        "G_b",
        "A / (B - C)",
        tuple(WEIGHED.values()),
        "AASHTO T 85 and ASTM C127",
    ),
    Formula(
        coarse.surface_dry_specific_gravity,
        "G_ssd",
        "B / (B - C)",
        (WEIGHED["surface_dry"], WEIGHED["in_water"]),
        "AASHTO T 85 and ASTM C127",
    ),
    Formula(
        coarse.apparent_specific_gravity,
        "G_a",
        "A / (A - C)",
        (WEIGHED["oven_dry"], WEIGHED["in_water"]),
        "AASHTO T 85 and ASTM C127",
    ),
    Formula(
        coarse.absorption,
        "a",
        "(B - A) / A * 100",
        (WEIGHED["oven_dry"], WEIGHED["surface_dry"]),
        "AASHTO T 85 and ASTM C127",
    ),
)
"""Bulk, surface-dry and apparent specific gravity, and absorption."""
