"""Specific gravities that soils have, whichever record states one."""

from decimal import Decimal

POSSIBLE = (Decimal("1.5"), Decimal(5))
"""Specific gravities of soils, from peat to iron ore."""

USUAL = (Decimal("2.4"), Decimal("3.0"))
"""Specific gravity of inorganic soil: mostly 2.60 to 2.80, with room for laterites
and for soils with some organic matter."""

USUAL_BASIS = "FM 5-472 (2000): most inorganic soils 2.60 to 2.80"

ORGANIC = ("OL", "OH", "PT")
"""Classes of soil that may be lighter."""
