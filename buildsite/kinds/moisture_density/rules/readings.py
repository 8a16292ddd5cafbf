"""What the masses of a point say of themselves."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

from buildsite.kinds.moisture_density.case import Test
from buildsite.kinds.moisture_density.rules.about import at_point, each_container
from buildsite.record.flags import Doubt, Field, Rule, Severity
from buildsite.record.reading import resolution

CONSTANT_MASS_PERCENT = Decimal("0.1")
"""Loss in a further hour or more of drying below which a mass counts as constant."""


def dry_heavier_than_wet(case: Test) -> Iterator[Doubt]:
    """A container that weighs more after the oven than before."""
    unit = case.record.units.moisture or ""
    for point, field, one in each_container(case):
        wet = one.container_and_wet
        for dry in one.container_and_dry or ():
            if wet is not None and dry > wet:
                yield Doubt(
                    field=(*field, "container_and_dry"),
                    found=f"{dry} {unit}",
                    expected=f"at most container_and_wet, {wet} {unit}",
                    mend="drying adds no mass: look for two readings in each "
                    "other's place, or a decimal point that went astray",
                    severity=at_point(point),
                )
                break


def container_heavier_than_soil(case: Test) -> Iterator[Doubt]:
    """An empty container that weighs no less than with soil in it."""
    unit = case.record.units.moisture or ""
    for point, field, one in each_container(case):
        empty, dry = one.container_mass, one.container_and_dry
        filled = {
            "container_and_wet": one.container_and_wet,
            "container_and_dry": min(dry) if dry else None,
        }
        for name, mass in filled.items():
            if empty is not None and mass is not None and empty >= mass:
                yield Doubt(
                    field=(*field, "container_mass"),
                    found=f"{empty} {unit}",
                    expected=f"less than {name}, {mass} {unit}",
                    mend="weigh the empty container again, or look for two readings "
                    "in each other's place",
                    severity=at_point(point),
                )
                break


def oven_mass_rose(case: Test) -> Iterator[Doubt]:
    """Successive oven masses of one container that rise."""
    unit = case.record.units.moisture or ""
    for point, field, one in each_container(case):
        masses = one.container_and_dry or ()
        for earlier, later in pairwise(masses):
            if later - earlier > resolution(masses):
                yield Doubt(
                    field=(*field, "container_and_dry"),
                    found=f"{later} {unit} after {earlier} {unit}",
                    expected="each mass at most the one before it",
                    mend="let it cool under a lid and weigh again: dry soil takes up "
                    "water from the air",
                    severity=at_point(point),
                )


def not_dried_to_constant_mass(case: Test) -> Iterator[Doubt]:
    """Oven masses that still fell by more than 0.1 % of the dry soil at the last."""
    unit = case.record.units.moisture or ""
    for point, field, one in each_container(case):
        empty, masses = one.container_mass, one.container_and_dry or ()
        if empty is None or len(masses) < 2 or masses[-1] <= empty:
            continue
        lost = (masses[-2] - masses[-1]) / (masses[-1] - empty) * 100
        if lost > CONSTANT_MASS_PERCENT:
            yield Doubt(
                field=(*field, "container_and_dry"),
                found=f"{masses[-2]} {unit}, then {masses[-1]} {unit}: "
                f"{lost:.2f} % of the dry soil lost",
                expected=f"at most {CONSTANT_MASS_PERCENT} % in an hour or more",
                mend="dry on until two masses agree, and add the last one",
                severity=at_point(point),
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


def container_used_twice(case: Test) -> Iterator[Doubt]:
    """One container named at two places of a test."""
    seen: dict[str, Field] = {}
    for point, field, one in each_container(case):
        label = one.container
        if label is None or point.rejected is not None:
            continue
        if label in seen:
            yield Doubt(
                field=(*field, "container"),
                found=f"container {label}, which point {int(seen[label][1]) + 1} "
                "has too",
                expected="a container of its own",
                mend="look at the bench sheet: one of the two numbers is another",
            )
        seen.setdefault(label, field)


def readings_repeated(case: Test) -> Iterator[Doubt]:
    """Two containers of a test with the same wet and the same dry mass."""
    seen: dict[tuple[Decimal, tuple[Decimal, ...]], Field] = {}
    for point, field, one in each_container(case):
        wet, dry = one.container_and_wet, one.container_and_dry
        if wet is None or not dry or point.rejected is not None:
            continue
        first = seen.setdefault((wet, tuple(dry)), field)
        if first != field:
            yield Doubt(
                field=(*field, "container_and_wet"),
                found=f"the wet and dry masses of point {int(first[1]) + 1}",
                expected="readings of its own",
                mend="look at the bench sheet: a line was written twice",
            )


RULES: tuple[Rule[Test], ...] = (
    Rule(
        "dry-heavier-than-wet",
        Severity.ERROR,
        "conservation of mass",
        dry_heavier_than_wet,
    ),
    Rule(
        "container-heavier-than-soil",
        Severity.ERROR,
        "conservation of mass",
        container_heavier_than_soil,
    ),
    Rule("oven-mass-rose", Severity.WARNING, "conservation of mass", oven_mass_rose),
    Rule(
        "not-dried-to-constant-mass",
        Severity.WARNING,
        "ASTM D2216 (from memory)",
        not_dried_to_constant_mass,
    ),
    Rule(
        "soil-no-heavier-than-mold",
        Severity.ERROR,
        "conservation of mass",
        soil_no_heavier_than_mold,
    ),
    Rule(
        "container-used-twice",
        Severity.WARNING,
        "common practice",
        container_used_twice,
    ),
    Rule("readings-repeated", Severity.WARNING, "common practice", readings_repeated),
)
