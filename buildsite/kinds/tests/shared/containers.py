"""Moisture containers: their columns, and the checks of their masses."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import pairwise
from math import fsum
from typing import Any

from buildsite.kinds.kind import Case
from buildsite.kinds.reporting import to_places
from buildsite.kinds.tests.shared.columns import Column, Line, LinesOf, read_in
from buildsite.kinds.tests.shared.empty_containers import empty_container_rules
from buildsite.record.flags import Doubt, Field, Rule, Severity
from buildsite.record.parts import Container
from buildsite.record.reading import resolution
from buildsite.standards.cells import UNCHECKED

CONSTANT_MASS_PERCENT = Decimal("0.1")
"""Greatest loss in a further hour or more of drying for a constant mass: ASTM D2216
(from memory), where the method's row has no figure of its own."""


APART_POINTS = 1.0
APART_PERCENT_OF_MEAN = 10.0
"""Two containers of one soil may differ by the smaller of these: common practice."""

BALANCE = ("moisture", "moisture_balance", "resolution_moisture")
MOISTURE = (
    Column("container_mass", "Empty container", *BALANCE),
    Column("container_and_wet", "Container and wet soil", *BALANCE),
    Column("container_and_dry", "Container and dry soil", *BALANCE),
)
"""The readings of a moisture container, in any kind of test."""

THREE_MASSES = "empty, wet and dry masses"
MASSES = tuple(column.name for column in MOISTURE)


Test = Case[Any, Any]


def possible_masses(one: Container) -> tuple[Decimal, Decimal, Decimal] | None:
    """Return empty, wet and last dry mass, where all are read and possible."""
    if not one.container_and_dry or one.container_and_wet is None:
        return None
    empty, wet, dry = (
        one.container_mass,
        one.container_and_wet,
        one.container_and_dry[-1],
    )
    if empty is None or not empty < dry <= wet:
        return None
    return empty, wet, dry


def unit_of(case: Test) -> str:
    """Return the unit of the containers, as written in the record."""
    return case.record.units.moisture or ""


def disagreement(
    field: Field, waters: Sequence[float], severity: Severity | None = None
) -> Iterator[Doubt]:
    """Doubt water contents of one soil that differ too much."""
    if len(waters) < 2:
        return
    mean = fsum(waters) / len(waters)
    allowed = min(APART_POINTS, mean * APART_PERCENT_OF_MEAN / 100)
    if max(waters) - min(waters) > allowed:
        yield Doubt(
            field=field,
            found=" and ".join(f"{to_places(water, 1)} %" for water in waters),
            expected=f"within {allowed:.1f} points of each other",
            mend="check for a swapped container or a misread mass; until corrected, "
            "their mean is used",
            severity=severity,
        )


def disagree_rule(check: Callable[[Test], Iterator[Doubt]]) -> Rule[Test]:
    """Return the rule, common to all kinds of test."""
    return Rule("containers-disagree", Severity.WARNING, "common practice", check)


def dry_heavier_than_wet(line: Line, case: Test) -> Iterator[Doubt]:
    """A container weighs more after the oven than before."""
    wet, unit = line.part.container_and_wet, unit_of(case)
    for dry in line.part.container_and_dry or ():
        if wet is not None and dry > wet:
            yield Doubt(
                field=(*line.field, "container_and_dry"),
                found=f"{dry} {unit}",
                expected=f"at most container and wet soil, {wet} {unit}",
                mend="check for interchanged readings or a misplaced decimal point",
                severity=line.severity,
            )
            break


def container_heavier_than_soil(line: Line, case: Test) -> Iterator[Doubt]:
    """An empty container weighs no less than with soil in it."""
    empty, dry, unit = (
        line.part.container_mass,
        line.part.container_and_dry,
        unit_of(case),
    )
    filled = {
        "container and wet soil": line.part.container_and_wet,
        "container and dry soil": min(dry) if dry else None,
    }
    for name, mass in filled.items():
        if empty is not None and mass is not None and empty >= mass:
            yield Doubt(
                field=(*line.field, "container_mass"),
                found=f"{empty} {unit}",
                expected=f"less than {name}, {mass} {unit}",
                mend="weigh the empty container again, or check for interchanged "
                "readings",
                severity=line.severity,
            )
            break


def risen(line: Line, name: str, unit: str, mend: str) -> Iterator[Doubt]:
    """Doubt successive dry masses that rise."""
    masses = read_in(line.part, name)
    step = resolution(masses) if masses else Decimal(0)
    for earlier, later in pairwise(masses):
        if later - earlier > step:
            yield Doubt(
                field=(*line.field, name),
                found=f"{later} {unit} after {earlier} {unit}",
                expected="no mass greater than the one before",
                mend=mend,
                severity=line.severity,
            )


def oven_mass_rose(line: Line, case: Test) -> Iterator[Doubt]:
    """Successive oven-dry masses of one container rise."""
    mend = "cool it under a lid and weigh again; dry soil absorbs water from the air"
    yield from risen(line, "container_and_dry", unit_of(case), mend)


def constant_mass(case: Test) -> tuple[Decimal, str | None]:
    """Return the greatest loss for a constant mass [%], and the row's basis."""
    cell = case.cell("constant_mass")
    if cell is None:
        return CONSTANT_MASS_PERCENT, None
    return Decimal(cell.value), cell.basis


def last_loss(one: Container) -> Decimal | None:
    """Return the loss in the last drying, in percent of the dry soil."""
    empty, masses = one.container_mass, one.container_and_dry or ()
    if empty is None or len(masses) < 2 or masses[-1] <= empty:
        return None
    return (masses[-2] - masses[-1]) / (masses[-1] - empty) * 100


def still_falling(
    line: Line, name: str, unit: str, lost: tuple[Decimal, str], case: Test
) -> Iterator[Doubt]:
    """Doubt a mass that still fell; `lost`: the last loss in percent, and of what."""
    masses, (allowed, basis) = read_in(line.part, name), constant_mass(case)
    share, words = lost
    if share > allowed:
        yield Doubt(
            field=(*line.field, name),
            found=f"{masses[-2]} {unit}, then {masses[-1]} {unit}: "
            f"{share:.2f} %{words} lost",
            expected=f"at most {allowed} % in an hour or more",
            mend="dry again until two successive masses agree, and enter the last one",
            severity=line.severity,
            basis=basis,
        )


def not_dried_to_constant_mass(line: Line, case: Test) -> Iterator[Doubt]:
    """The last loss in the oven is over the method's, in percent of the dry soil."""
    lost = last_loss(line.part)
    if lost is not None:
        of_soil = (lost, " of the dry soil")
        yield from still_falling(
            line, "container_and_dry", unit_of(case), of_soil, case
        )


def container_used_twice(everything: Iterable[Line]) -> Iterator[Doubt]:
    """One container is named in two places of a test."""
    seen: dict[str, Line] = {}
    for line in everything:
        label = line.part.container
        if label is None or line.rejected:
            continue
        if label in seen:
            yield Doubt(
                field=(*line.field, "container"),
                found=f"container {label}, as in {seen[label].words}",
                expected="a different container",
                mend="check the two numbers against the bench sheet",
            )
        seen.setdefault(label, line)


def readings_repeated(everything: Iterable[Line]) -> Iterator[Doubt]:
    """Two containers of a test have the same wet and dry masses."""
    seen: dict[tuple[Decimal, tuple[Decimal, ...]], Line] = {}
    for line in everything:
        wet, dry = line.part.container_and_wet, line.part.container_and_dry
        if wet is None or not dry or line.rejected:
            continue
        first = seen.setdefault((wet, tuple(dry)), line)
        if first is not line:
            yield Doubt(
                field=(*line.field, "container_and_wet"),
                found=f"the wet and dry masses of {first.words}",
                expected="its own readings",
                mend="check the bench sheet for a line entered twice",
            )


Single = Callable[[Line, Test], Iterator[Doubt]]
Together = Callable[[Iterable[Line]], Iterator[Doubt]]

CONSERVED = "conservation of mass"
SINGLE: tuple[tuple[str, Severity, str, Single], ...] = (
    ("dry-heavier-than-wet", Severity.ERROR, CONSERVED, dry_heavier_than_wet),
    (
        "container-heavier-than-soil",
        Severity.ERROR,
        CONSERVED,
        container_heavier_than_soil,
    ),
    ("oven-mass-rose", Severity.WARNING, CONSERVED, oven_mass_rose),
    (
        "not-dried-to-constant-mass",
        Severity.WARNING,
        f"ASTM D2216 ({UNCHECKED})",
        not_dried_to_constant_mass,
    ),
)
TOGETHER: tuple[tuple[str, Together], ...] = (
    ("container-used-twice", container_used_twice),
    ("readings-repeated", readings_repeated),
)


Check = Callable[[Test], Iterator[Doubt]]


def of_each(lines: LinesOf, single: Single, more: Check | None) -> Check:
    """Return the check of each container, and of `more`."""

    def check(case: Test) -> Iterator[Doubt]:
        for line in lines(case.record):
            yield from single(line, case)
        if more is not None:
            yield from more(case)

    check.__doc__ = single.__doc__
    return check


def of_all(lines: LinesOf, together: Together) -> Check:
    """Return the check of all containers together."""

    def check(case: Test) -> Iterator[Doubt]:
        yield from together(lines(case.record))

    check.__doc__ = together.__doc__
    return check


def container_rules(
    lines: LinesOf, more: Mapping[str, Check] | None = None
) -> tuple[Rule[Test], ...]:
    """
    Return the rules on moisture containers for a kind of test.

    Their unit is `units.moisture` of the record; the method's row may have a cell
    `constant_mass`. `more` checks other masses for the same fault, by flag.
    """
    return (
        *(
            Rule(flag, severity, basis, of_each(lines, single, (more or {}).get(flag)))
            for flag, severity, basis, single in SINGLE
        ),
        *(
            Rule(flag, Severity.WARNING, "common practice", of_all(lines, together))
            for flag, together in TOGETHER
        ),
        *empty_container_rules(lines),
    )
