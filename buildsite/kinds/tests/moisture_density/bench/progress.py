"""Progress at the bench: the points so far, and what the series still lacks."""

from collections.abc import Callable

from buildsite.kinds.bench_spec import Progress
from buildsite.kinds.reporting import point_density
from buildsite.kinds.tests.moisture_density.bench.next_point import series_state
from buildsite.kinds.tests.moisture_density.bench.trend import FALLS, wet_mass_trend
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.estimates import Estimate, estimates
from buildsite.kinds.tests.moisture_density.rules.common import percent, quantity_word
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.record.units import UNITS, from_si
from buildsite.soil.curves import Curve, sample

LINE_PLACES = 30
"""Points along the small curve."""


def progress(case: Test) -> Callable[[], Progress]:
    """Return the function that gives the progress of the readings so far."""

    def progress_so_far() -> Progress:
        known = {one.number: one for one in estimates(case)}
        unit, curve = case.values.density_unit, case.values.curve
        line = curve.line if isinstance(curve, Curve) else None
        lines = [
            (point.number, point_line(case, point, known.get(point.number)))
            for point in case.values.points
            if point.wet_density is not None or point.water_content is not None
        ]
        places = [
            (one.number, (one.water_content, from_si(one.dry_density, unit)))
            for one in known.values()
            if one.dry_density is not None
        ]
        along = sample(line, LINE_PLACES) if line is not None else ()
        required = tuple(one.what for one in series_state(case, None).wanted)
        return Progress(
            lines=tuple(lines),
            points=tuple(places),
            line=tuple((water, from_si(dry, unit)) for water, dry in along),
            axes=(
                f"{quantity_word(case, 'water_content')}, %",
                f"{quantity_word(case, 'dry_density')}, {UNITS[unit].shown}",
            ),
            hint=hint(case, required),
            required=required,
            estimated=tuple(n for n, one in known.items() if not one.measured),
        )

    return progress_so_far


def point_line(case: Test, point: PointValues, known: Estimate | None) -> str:
    """Return one point, measured or estimated, as a short line."""
    unit = case.values.density_unit
    about = "about " if known is not None and not known.measured else ""
    parts = []
    if known is not None:
        parts.append(f"w {about}{percent(known.water_content)}")
    if point.wet_density is not None:
        parts.append(f"wet {point_density(point.wet_density, unit)}")
    if known is not None and known.dry_density is not None:
        parts.append(f"dry {about}{point_density(known.dry_density, unit)}")
    last = f" {UNITS[unit].shown}" if point.wet_density is not None else ""
    return f"point {point.number}: {', '.join(parts)}{last}"


def hint(case: Test, required: tuple[str, ...]) -> str:
    """Return how the wet mass goes; not that the series may end where it may not."""
    trend, text = wet_mass_trend(case)
    return "" if not trend or (trend == FALLS and required) else text
