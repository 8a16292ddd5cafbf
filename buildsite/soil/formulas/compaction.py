"""Formulas of `phase`, `water` and `oversize`."""

from buildsite.soil import oversize, phase, water
from buildsite.soil.formulas.formula import DEFINITION, Formula, Term

WATER_CONTENT = Formula(
    phase.water_content,
    "w",
    "(m_1 - m_2) / (m_2 - m_0) * 100",
    (
        Term("m_0", "container", "empty container"),
        Term("m_1", "wet", "container and wet soil"),
        Term("m_2", "dry", "container and dry soil"),
    ),
    f"{DEFINITION}, common to AASHTO T 265, ASTM D2216, BS 1377-2 and ISO 17892-1",
)

WET_DENSITY = Formula(
    phase.wet_density,
    "rho",
    "m / V",
    (
        Term("m", "mass", "wet soil in the mold"),
        Term("V", "volume", "volume of the mold"),
    ),
    DEFINITION,
)

DRY_DENSITY = Formula(
    phase.dry_density,
    "rho_d",
    "rho / (1 + w / 100)",
    (
        Term("rho", "wet_density", "wet density"),
        Term("w", "water_content", "water content"),
    ),
    f"{DEFINITION}, so every standard agrees",
)

SOLIDS_AND_WATER = (
    Term("rho_d", "dry_density", "dry density"),
    Term("w", "water_content", "water content"),
    Term("G_s", "specific_gravity", "specific gravity of the solids"),
    Term("rho_w", "water_density", "density of water"),
)

SATURATION = Formula(
    phase.saturation,
    "S",
    "w * G_s / (G_s * rho_w / rho_d - 1)",
    SOLIDS_AND_WATER,
    "S e = w G, from the definitions; the void ratio is the lower part",
)

AIR_VOIDS = Formula(
    phase.air_voids,
    "A",
    "(1 - rho_d / rho_w * (1 / G_s + w / 100)) * 100",
    SOLIDS_AND_WATER,
    "From the definitions; the basis of the lines of BS 1377-4",
)

WATER_DENSITY = Formula(
    water.water_density,
    "rho_w",
    "a_5 * (1 - (t + a_1)**2 * (t + a_2) / (a_3 * (t + a_4)))",
    (Term("t", "temperature", "temperature of the water"),),
    "M. Tanaka and others, Metrologia 38 (2001) 301-309, equation 1 and table 1",
    {f"a_{i}": value for i, value in enumerate(water.COEFFICIENTS, 1)},
)

COARSE = (
    Term("P", "percent_oversize", "oversize, by dry mass of the whole"),
    Term(
        "G_b", "bulk_specific_gravity", "oven-dry bulk specific gravity of the oversize"
    ),
)

TOTAL_DRY_DENSITY = Formula(
    oversize.total_dry_density,
    "rho_t",
    "100 * rho_f * G_b * rho_w / (rho_f * P + G_b * rho_w * (100 - P))",
    (Term("rho_f", "dry_density", "dry density of the fraction compacted"), *COARSE),
    "AASHTO T 224 and ASTM D4718, with the density of the oversize G ρw (unchecked)",
    {"rho_w": oversize.WATER},
)

TOTAL_WATER_CONTENT = Formula(
    oversize.total_water_content,
    "w_t",
    "w_f * (1 - P / 100) + w_c * P / 100",
    (
        Term("w_f", "water_content", "water content of the fraction compacted"),
        COARSE[0],
        Term("w_c", "oversize_water_content", "water content of the oversize"),
    ),
    "AASHTO T 224, moisture of the total sample; the masses of water added",
)

OVEN_DRY_BULK = Formula(
    oversize.oven_dry_bulk,
    "G_b",
    "G_ssd / (1 + A / 100)",
    (
        Term("G_ssd", "saturated", "bulk specific gravity, surface-dry"),
        Term("A", "absorption", "absorption of the oversize"),
    ),
    "AASHTO T 85 and ASTM C127: the definitions share the volume",
)

FINE_DRY_DENSITY = Formula(
    oversize.fine_dry_density,
    "rho_f",
    "rho_t * G_b * rho_w * (100 - P) / (100 * G_b * rho_w - rho_t * P)",
    (Term("rho_t", "dry_density", "dry density of the whole soil"), *COARSE),
    "AASHTO T 224 and ASTM D4718, with the density of the oversize G ρw (unchecked)",
    {"rho_w": oversize.WATER},
)

FINE_WATER_CONTENT = Formula(
    oversize.fine_water_content,
    "w_f",
    "(w_t - w_c * P / 100) / (1 - P / 100)",
    (
        Term("w_t", "water_content", "water content of the whole soil"),
        COARSE[0],
        Term("w_c", "oversize_water_content", "water content of the oversize"),
    ),
    "AASHTO T 224, moisture of the total sample, solved for the fine fraction",
)
