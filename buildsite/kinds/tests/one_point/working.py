"""The working of a one-point: the specimen, the curve it leads to, the whole soil."""

from collections.abc import Iterator

from buildsite.kinds.reporting import UNRULED_FIGURES, result_label
from buildsite.kinds.steps import Input, Line, Step, Steps, Symbol
from buildsite.kinds.tests.moisture_density.working.air import Places
from buildsite.kinds.tests.moisture_density.working.specimens import specimen_parts
from buildsite.kinds.tests.moisture_density.working.whole_soil import whole_soil_steps
from buildsite.kinds.tests.one_point.compute import Test
from buildsite.kinds.tests.one_point.model import as_full_test
from buildsite.kinds.tests.shared.working import (
    capital,
    result_line,
    rounding_note,
    rounding_row,
    unit_note,
    words_of,
)
from buildsite.kinds.working import digits
from buildsite.soil.curves.family import Found

PRINTED = Places(water_content=2, saturation=1)
DENSITY, OPTIMUM = "maximum_dry_density", "optimum_water_content"


def working(case: Test) -> tuple[Steps, ...]:
    """Return every step from the readings to the results."""
    return tuple(one for one in parts(case) if one.steps or one.paragraphs)


def parts(case: Test) -> Iterator[Steps]:
    """Yield the steps under their headings."""
    yield from specimen_parts(case, as_full_test(case.record), PRINTED)
    why = (f"{capital(case.values.why)}.",) if case.values.why else ()
    yield Steps("curve", "The curve through the point", tuple(curve_steps(case)), why)
    yield whole_soil_steps(case)
    yield Steps("units", "Units", (), unit_note(case.values.density_unit))


def curve_steps(case: Test) -> Iterator[Step]:
    """Yield the peak of the curve that the point leads to."""
    found = case.values.found
    if not isinstance(found, Found) or DENSITY not in case.results:
        return
    members = [
        next(one for one in case.values.curves if one.id == name)
        for name in found.members
    ]
    several = len(members) > 1
    words = words_of(case.method)
    share = Input("s", digits(found.share), line="share-1")
    if several:
        yield Step(
            "share",
            "Where the point lies between the two curves",
            (Line("share-1", "", (), digits(found.share)),),
            "s",
            notes=(
                "The share of the way from the first curve to the second at which the "
                "curve between them passes through the point, found by closing in on "
                "it (docs/one-point.md).",
            ),
        )
    for name, symbol, value, unit in (
        (DENSITY, "rho", "maximum_dry_density", "kg/m3"),
        (OPTIMUM, "w", "optimum_water_content", "%"),
    ):
        inputs = tuple(
            Input(
                f"{symbol}_{i}" if several else symbol,
                digits(getattr(one.peak, value)),
                unit,
                to=("test", one.id),
            )
            for i, one in enumerate(members, 1)
        )
        rounding_unit = case.values.density_unit if name == DENSITY else "%"
        shown = "kg/m³" if name == DENSITY else "%"
        term = "maximum dry density" if name == DENSITY else "optimum water content"
        yield Step(
            f"step-{name}",
            result_label(case.method, name, case.values.density_unit),
            (
                result_line(case, name)._replace(
                    inputs=(*inputs, *((share,) if several else ())),
                ),
            ),
            "rho_max" if name == DENSITY else "w_opt",
            f"{symbol}_1 + s * ({symbol}_2 - {symbol}_1)" if several else symbol,
            tuple(
                Symbol(one.symbol, f"{term} of {member.id}", shown)
                for one, member in zip(inputs, members, strict=True)
            ),
            "Between two curves of a family, in a straight line" if several else "",
            notes=(rounding_note(case.method, name, rounding_unit, UNRULED_FIGURES),),
            to=rounding_row(case, name),
        )
    if DENSITY in case.results and case.values.point is not None:
        yield percent_step(case, found, words["water content"])


def percent_step(case: Test, found: Found, water: str) -> Step:
    """Return how near to the optimum the point is."""
    point = case.values.point
    own = digits(point.water_content or 0.0) if point is not None else ""
    inputs = (
        Input("w", own, "%", line="water-content-1"),
        Input("w_opt", digits(found.curve.optimum), "%", line=OPTIMUM),
    )
    return Step(
        "percent-of-optimum",
        f"{capital(water)} of the point, in percent of the optimum",
        (
            Line(
                "percent-of-optimum-1",
                "",
                inputs,
                digits(found.percent_of_optimum),
                "%",
            ),
        ),
        "p",
        "w / w_opt * 100",
        (
            Symbol("w", f"{water} of the point", "%"),
            Symbol("w_opt", "optimum of its curve", "%"),
        ),
    )
