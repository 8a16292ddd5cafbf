"""Formulas of `field_density`."""

from buildsite.soil import field_density
from buildsite.soil.formulas.formula import Formula, Term

SAND_CONE_VOLUME = Formula(
    field_density.sand_cone_volume,
    "V",
    "(m_1 - m_2 - m_3) / rho_s",
    (
        Term("m_1", "before", "apparatus with sand, before"),
        Term("m_2", "after", "apparatus with sand, after"),
        Term("m_3", "cone", "sand in cone and base plate"),
        Term("rho_s", "sand_density", "bulk density of the sand"),
    ),
    "AASHTO T 191 and ASTM D1556: the mass of sand in the hole over its bulk density",
)

BALLOON_VOLUME = Formula(
    field_density.balloon_volume,
    "V",
    "V_2 - V_1",
    (
        Term("V_1", "before", "volume reading on the surface"),
        Term("V_2", "after", "volume reading in the hole"),
    ),
    "ASTM D2167: the difference of the two volume readings",
)

GAUGE_DRY_DENSITY = Formula(
    field_density.gauge_dry_density,
    "rho_d",
    "rho - M",
    (
        Term("rho", "wet_density", "wet density"),
        Term("M", "water_mass", "mass of water over total volume"),
    ),
    "AASHTO T 310 and ASTM D6938: DD = WD − M",
)

ON_DRY_BASIS = Formula(
    field_density.water_on_dry_basis,
    "w",
    "100 * r / (100 - r)",
    (Term("r", "of_wet_mass", "water content by wet mass"),),
    "AASHTO T 217 and ASTM D4944, from the two definitions",
)

COARSE_PERCENT = Formula(
    field_density.coarse_percent,
    "P",
    "100 * (m_r / (1 + w_r / 100)) / (m_r / (1 + w_r / 100) + m_p / (1 + w_p / 100))",
    (
        Term("m_r", "wet_retained", "moist soil retained"),
        Term("m_p", "wet_passing", "moist soil passing"),
        Term("w_r", "water_retained", "water content of what was retained"),
        Term("w_p", "water_passing", "water content of what passed"),
    ),
    "AASHTO T 224 and ASTM D4718 (unchecked): dry mass retained over that of both",
)

PERCENT_COMPACTION = Formula(
    field_density.percent_compaction,
    "C",
    "100 * rho_d / rho_max",
    (
        Term("rho_d", "dry_density", "dry density in place"),
        Term("rho_max", "maximum_dry_density", "maximum dry density"),
    ),
    "A definition, common to specifications",
)
