"""What the readings of a point say of themselves."""

from collections.abc import Iterator

from buildsite.kinds.moisture_density.case import Test
from buildsite.kinds.moisture_density.compute import containers_of
from buildsite.kinds.moisture_density.model import Point
from buildsite.record.flags import Doubt, Field, Rule, Severity


def container_field(point: Point, index: int, which: int) -> Field:
    """Where a point's container stands, counted as `containers_of` does."""
    lead: Field = ("points", index)
    listed = which - (len(containers_of(point)) - len(point.containers))
    return lead if listed < 0 else (*lead, "containers", listed)


def dry_heavier_than_wet(case: Test) -> Iterator[Doubt]:
    """A container that weighs more after the oven than before."""
    unit = case.record.units.moisture or ""
    for i, point in enumerate(case.record.points):
        for k, one in enumerate(containers_of(point)):
            wet = one.container_and_wet
            for dry in one.container_and_dry or ():
                if wet is not None and dry > wet:
                    yield Doubt(
                        field=(*container_field(point, i, k), "container_and_dry"),
                        found=f"{dry} {unit}",
                        expected=f"at most container_and_wet, {wet} {unit}",
                        mend="drying adds no mass: look for two readings in each "
                        "other's place",
                    )


RULES: tuple[Rule[Test], ...] = (
    Rule(
        "dry-heavier-than-wet",
        Severity.ERROR,
        "conservation of mass",
        dry_heavier_than_wet,
    ),
)
