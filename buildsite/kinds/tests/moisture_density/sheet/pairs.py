"""The pairs of a compaction curve: its peak, and that of the whole soil."""

from collections.abc import Iterator

from buildsite.kinds.reporting import result_text
from buildsite.kinds.sheet import Axis, Dot, DrawnCurve, Line, packed_line
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.reference import CORRECTED, governing
from buildsite.record.units import from_si
from buildsite.soil.curves import sample

CURVE_POINTS = 60


def drawn_curve(case: Test) -> DrawnCurve:
    """Return what is read off the curve, and what figures of several tests draw."""
    values, names = case.values, governing(case)
    pair = [case.results[name] for name in names]
    peak, optimum = values.maximum_dry_density, values.optimum_water_content
    texts = [one.reported.partition(" ")[0] for one in pair]
    line = values.curve.line
    shown = line is not None and not values.is_drawn
    return DrawnCurve(
        unit=values.density_unit,
        line=packed_line(sample(line, CURVE_POINTS) if line and shown else ()),
        peak=(optimum, peak) if peak is not None and optimum is not None else None,
        governing=(pair[1].value, pair[0].value) if pair else None,
        maximum=texts[0] if texts else "",
        optimum=texts[1] if texts else "",
        specific_gravity=float(values.gravity.value) if values.gravity else None,
        water_density=values.water_density,
    )


FOR_THE_FIELD = "for field control"
"""At the pair that field tests are judged by, where the figure has two."""


def corrected_dot(case: Test) -> Dot | None:
    """Return the pair of the whole soil, corrected for oversize, if there is one."""
    found = [case.results.get(name) for name in CORRECTED]
    density, water = found
    if density is None or water is None:
        return None
    judged = governing(case) == CORRECTED
    lead = FOR_THE_FIELD if judged else "whole soil"
    return Dot(
        "governing",
        water.value,
        from_si(density.value, case.values.density_unit),
        label=f"{lead}: {result_text(density)} at {result_text(water)}",
    )


def fraction_words(case: Test) -> str:
    """Return the soil of the curve, where another pair stands beside its peak."""
    sieve = case.method.oversize_sieve if case.method is not None else ""
    return f"passing {sieve}: " if sieve else "fraction: "


def drop_lines(x: Axis, y: Axis, water: float, dry: float) -> tuple[Line, ...]:
    """Return the lines from the peak to both axes."""
    return (
        Line("drop", (water, water), (dry, y.low)),
        Line("drop", (water, x.low), (dry, dry)),
    )


def pair_marks(case: Test, x: Axis, y: Axis, reported: str) -> Iterator[Dot | Line]:
    """
    Yield the marks of both pairs, and lines from the governing one to the axes.

    `reported` is the peak as reported.
    """
    values, whole = case.values, corrected_dot(case)
    peak, optimum = values.maximum_dry_density, values.optimum_water_content
    if peak is None or optimum is None:
        return
    lead = fraction_words(case) if whole is not None else ""
    dot = Dot(
        "peak", optimum, from_si(peak, values.density_unit), label=lead + reported
    )
    judged = whole if whole is not None and governing(case) == CORRECTED else dot
    yield from drop_lines(x, y, judged.x, judged.y)
    yield dot
    if whole is not None:
        yield whole


def pairs_in_words(case: Test, reported: str) -> str:
    """Return the pairs of the figure in words."""
    values, whole = case.values, corrected_dot(case)
    if values.maximum_dry_density is None or values.optimum_water_content is None:
        return "no peak reported"
    peak = f"{'drawn peak' if values.is_drawn else 'peak'} of {reported}"
    return f"{peak}; {whole.label}" if whole is not None else peak
