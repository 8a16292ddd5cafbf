"""The peak by every form of curve: asked by a rule and by the sheet, found once."""

from functools import lru_cache

from buildsite.kinds.tests.moisture_density.compute import Values
from buildsite.soil.curves import TOLERANCE, Solids, spread
from buildsite.soil.curves.shape import Points
from buildsite.soil.curves.spread import Spread


@lru_cache(maxsize=16)
def _compared(points: Points, solids: Solids | None) -> Spread:
    return spread(points, solids, TOLERANCE)


def compared(values: Values) -> Spread | None:
    """Fit every form to the points that count; None with fewer than three."""
    points = tuple(
        (point.water_content, point.dry_density)
        for point in values.used
        if point.water_content is not None and point.dry_density is not None
    )
    return _compared(points, values.solids) if len(points) >= 3 else None
