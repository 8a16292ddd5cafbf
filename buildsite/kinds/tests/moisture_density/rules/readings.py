"""What the masses of a point say of themselves."""

from collections.abc import Iterator

from buildsite.kinds.tests.moisture_density.case import Test
from buildsite.kinds.tests.moisture_density.rules.common import at_point, each_container
from buildsite.kinds.tests.shared.containers import Held, container_rules
from buildsite.record.flags import Doubt, Rule, Severity


def held(case: Test) -> Iterator[Held]:
    """Every container of every point."""
    for point, field, one in each_container(case):
        yield Held(
            field,
            one,
            line=f"point {int(field[1]) + 1}",
            rejected=point.rejected is not None,
        )


def soil_no_heavier_than_mold(case: Test) -> Iterator[Doubt]:
    """A mold that weighs no more with soil in it than empty."""
    unit = case.record.units.compacted or ""
    for i, point in enumerate(case.record.points):
        own = point.mold_mass is not None
        mold = point.mold_mass if own else case.record.mold_mass
        whole = point.mold_and_wet_soil
        if mold is not None and whole is not None and whole <= mold:
            yield Doubt(
                field=("points", i, "mold_and_wet_soil"),
                found=f"{whole} {unit}",
                expected=f"more than the empty mold, {mold} {unit}",
                mend="weigh mold and soil together, or look for a mold taken away "
                "twice",
                severity=at_point(point),
            )


RULES: tuple[Rule[Test], ...] = (
    *container_rules(held),
    Rule(
        "soil-no-heavier-than-mold",
        Severity.ERROR,
        "conservation of mass",
        soil_no_heavier_than_mold,
    ),
)
