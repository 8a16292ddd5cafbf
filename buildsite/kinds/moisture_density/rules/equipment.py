"""Whether devices were in calibration, and balances fine and strong enough."""

from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal

from buildsite.kinds.answers import DeviceFacts
from buildsite.kinds.moisture_density.case import Test
from buildsite.kinds.moisture_density.links import device_refs
from buildsite.kinds.moisture_density.specimens import containers_of
from buildsite.record.flags import Doubt, Rule, Severity
from buildsite.record.units import from_si, to_si
from buildsite.soil.rounding import plain, round_half_even
from buildsite.standards.cells import Cell

PROGRAMME = "ISO/IEC 17025:2017, 6.4.7 and 6.4.8 (from memory)"
"""Equipment is calibrated by a programme, and its status is known before use."""

CHECKED_BY_INTERVAL = ("rammer",)
"""Devices that a compaction standard gives an interval for, beside the mold."""


def devices(case: Test, *kinds: str) -> Iterator[tuple[str, DeviceFacts, date | None]]:
    """Devices of some kinds: field under `equipment`, what it is, day of its use."""
    for ref in device_refs(case.record):
        facts = case.inputs.get(DeviceFacts, ref.id, ref.on)
        if facts is not None and ref.kinds[0] in kinds:
            yield str(ref.field[-1]), facts, ref.on


def is_later(on: date, made: date, months: int) -> bool:
    """
    Whether a day is past the same day of the month, some months after another.

    >>> is_later(date(2027, 2, 28), date(2026, 1, 31), 13)
    False
    >>> is_later(date(2027, 3, 1), date(2026, 1, 31), 13)
    True
    """
    years, month = divmod(made.month - 1 + months, 12)
    return (on.year, on.month, on.day) > (made.year + years, month + 1, made.day)


def lapsed(
    made: date | None, due: date | None, on: date, interval: Cell | None
) -> tuple[str, str, str | None] | None:
    """
    Say why a calibration did not hold on a day: found, expected, basis; None if it did.

    Without a due date the interval of the standard counts, where it has one.
    """
    if made is None:
        return f"no calibration by {on}", "one made before the test", None
    if due is not None:
        words = f"calibrated {made}, due again {due}"
        return (words, f"a calibration that held on {on}", None) if on > due else None
    if interval is None or not is_later(on, made, int(interval.si)):
        return None
    return f"calibrated {made}", f"within {interval} before {on}", interval.basis


def out_of_calibration(kind: str) -> Callable[[Test], Iterator[Doubt]]:
    """Make the check that devices of one kind were in calibration."""

    def check(case: Test) -> Iterator[Doubt]:
        method = case.method if kind in CHECKED_BY_INTERVAL else None
        interval = method.optional("calibration_interval") if method else None
        for name, facts, on in devices(case, kind):
            wrong = (
                lapsed(facts.calibrated_on, facts.next_due, on, interval)
                if on is not None
                else None
            )
            if wrong is not None:
                found, expected, basis = wrong
                yield Doubt(
                    field=("equipment", name),
                    found=f"{facts.id}, {found}",
                    expected=expected,
                    mend="enter the calibration that held, or calibrate and judge what "
                    "was tested since",
                    basis=basis,
                )

    article = "An" if kind[0] in "aeiou" else "A"
    check.__doc__ = (
        f"{article} {kind} without a calibration that held on the day of its use."
    )
    return check


def in_unit(value: float, cell: Cell) -> str:
    """Write an SI value in a cell's unit, one place finer than the cell."""
    places = len(cell.value.partition(".")[2]) + 1
    return f"{plain(round_half_even(from_si(value, cell.unit), places))} {cell.unit}"


def compacted_masses(case: Test) -> list[Decimal]:
    """Every reading of the balance for compacted soil."""
    record = case.record
    readings = [record.mold_mass]
    for point in record.points:
        readings += [point.mold_mass, point.mold_and_wet_soil, point.specimen_mass]
    return [reading for reading in readings if reading is not None]


def moisture_masses(case: Test) -> list[Decimal]:
    """Every reading of the balance for moisture specimens."""
    readings: list[Decimal | None] = []
    for point in case.record.points:
        for one in containers_of(point):
            readings += [one.container_mass, one.container_and_wet]
            readings += one.container_and_dry or ()
    return [reading for reading in readings if reading is not None]


def columns(case: Test) -> dict[str, tuple[list[Decimal], str | None]]:
    """Readings of each balance, and their unit."""
    units = case.record.units
    return {
        "balance": (compacted_masses(case), units.compacted),
        "moisture_balance": (moisture_masses(case), units.moisture),
    }


def balance_over_capacity(case: Test) -> Iterator[Doubt]:
    """A reading above what its balance can weigh."""
    read = columns(case)
    for name, facts, _ in devices(case, "balance"):
        readings, unit = read[name]
        if facts.capacity_kg is None or unit is None or not readings:
            continue
        most = max(readings)
        if to_si(most, unit) > facts.capacity_kg * (1 + 1e-9):
            able = from_si(facts.capacity_kg, unit)
            yield Doubt(
                field=("equipment", name),
                found=f"{most} {unit} on {facts.id}",
                expected=f"at most {plain(round_half_even(able, 2))} {unit}, "
                "its capacity",
                mend="find out which balance was used, or look for a slip of the pen",
            )


COARSEST = {
    "balance": ("resolution_compacted_g", "resolution_compacted_lb"),
    "moisture_balance": ("resolution_moisture_g", "resolution_moisture_lb"),
}
"""Cells that say how fine each balance must read; the coarser counts."""


def balance_too_coarse(case: Test) -> Iterator[Doubt]:
    """A balance that does not read as finely as the method asks."""
    method = case.method
    if method is None:
        return
    for name, facts, _ in devices(case, "balance"):
        cells = [cell for at in COARSEST[name] if (cell := method.optional(at))]
        if not cells or facts.resolution_kg is None:
            continue
        cell = max(cells, key=lambda one: one.si)
        if facts.resolution_kg > cell.si * (1 + 1e-9):
            step = from_si(facts.resolution_kg, cell.unit)
            yield Doubt(
                field=("equipment", name),
                found=f"{facts.id} reads to {step:g} {cell.unit}",
                expected=f"{cell} or finer",
                mend="weigh on a finer balance",
                basis=cell.basis,
            )


def calibration_rule(kind: str) -> Rule[Test]:
    """The rule on the calibration of one kind of device."""
    flag = f"{kind}-out-of-calibration"
    return Rule(flag, Severity.WARNING, PROGRAMME, out_of_calibration(kind))


RULES: tuple[Rule[Test], ...] = (
    calibration_rule("rammer"),
    calibration_rule("balance"),
    calibration_rule("oven"),
    calibration_rule("sieve"),
    Rule(
        "balance-over-capacity",
        Severity.WARNING,
        "common practice",
        balance_over_capacity,
    ),
    Rule(
        "balance-too-coarse",
        Severity.WARNING,
        "the method's resolution of weighings",
        balance_too_coarse,
    ),
)
