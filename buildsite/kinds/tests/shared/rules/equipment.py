"""Checks of devices: in calibration, and balances of enough resolution and capacity."""

from collections.abc import Callable, Iterator, Sequence
from datetime import date

from buildsite.kinds.answers import DeviceFacts, MoldFacts, PycnometerFacts
from buildsite.kinds.sieves import same_sieve
from buildsite.kinds.tests.shared.columns import (
    Columns,
    resolution_cells,
    weighed_on,
)
from buildsite.kinds.tests.shared.links import device_refs
from buildsite.kinds.tests.shared.record import AnyTest
from buildsite.record.flags import Doubt, Field, Rule, Severity
from buildsite.record.units import from_si, to_si
from buildsite.soil.rounding import plain, round_half_even
from buildsite.standards.cells import UNCHECKED, Cell

PROGRAM = f"ISO/IEC 17025:2017, 6.4.7 and 6.4.8 ({UNCHECKED})"
"""Equipment is calibrated by a program, and its status is known before use."""


Check = Callable[[AnyTest], Iterator[Doubt]]


def devices(
    case: AnyTest, *kinds: str
) -> Iterator[tuple[str, DeviceFacts, date | None]]:
    """Return the devices of some kinds: field, facts, day of use."""
    for ref in device_refs(case.record):
        if ref.kinds[0] not in kinds:
            continue
        facts = case.inputs.get(DeviceFacts, ref.id, ref.on)
        if facts is not None:
            yield str(ref.field[-1]), facts, ref.on


def balances(case: AnyTest) -> Sequence[tuple[str, DeviceFacts]]:
    """Return each balance once, on whatever days it was used: field, facts."""
    found = {name: facts for name, facts, _ in devices(case, "balance")}
    return tuple(found.items())


def is_later(on: date, made: date, months: int) -> bool:
    """
    Whether a day is later than so many months after another.

    >>> is_later(date(2027, 2, 28), date(2026, 1, 31), 13)
    False
    >>> is_later(date(2027, 3, 1), date(2026, 1, 31), 13)
    True
    """
    years, month = divmod(made.month - 1 + months, 12)
    return (on.year, on.month, on.day) > (made.year + years, month + 1, made.day)


def lapse(
    made: date | None, due: date | None, on: date, interval: Cell | None
) -> tuple[str, str, str | None] | None:
    """
    Return why no calibration was in force on a day: found, expected, basis.

    Without a due date the interval of the standard counts, where it has one.
    """
    if made is None:
        return f"no calibration by {on}", "a calibration before the test", None
    if due is not None:
        words = f"calibrated {made}, next due {due}"
        return (words, f"a calibration in force on {on}", None) if on > due else None
    if interval is None or not is_later(on, made, int(interval.si)):
        return None
    return f"calibrated {made}", f"within {interval} before {on}", interval.basis


def lapsed_doubt(
    facts: DeviceFacts | MoldFacts | PycnometerFacts,
    field: Field,
    on: date | None,
    interval: Cell | None = None,
    mend: str = "enter the calibration in force that day, or calibrate and assess the "
    "tests made since",
) -> Iterator[Doubt]:
    """Doubt a calibration not in force on the day of use."""
    if on is None:
        return
    wrong = lapse(facts.calibrated_on, facts.next_due, on, interval)
    if wrong is not None:
        found, expected, basis = wrong
        yield Doubt(field, f"{facts.id}, {found}", expected, mend, basis=basis)


def out_of_calibration(kind: str, interval_cell: str = "") -> Check:
    """
    Return the check that devices of one kind were in calibration.

    For a device without a due date, the interval in that cell of the method counts.
    """

    def check(case: AnyTest) -> Iterator[Doubt]:
        interval = case.cell(interval_cell)
        for name, facts, on in devices(case, kind):
            yield from lapsed_doubt(facts, ("equipment", name), on, interval)

    article = "An" if kind[0] in "aeiou" else "A"
    check.__doc__ = (
        f"{article} {kind} had no calibration in force on the day of its use."
    )
    return check


def over_capacity(everything: Sequence[Columns]) -> Check:
    """Return the check of the balances' capacity."""

    def balance_over_capacity(case: AnyTest) -> Iterator[Doubt]:
        """A reading is above the capacity of its balance."""
        read = weighed_on(case.record, everything)
        for name, facts in balances(case):
            readings, unit = read.get(name, ([], None))
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
                    mend="find out which balance was used, or check the reading",
                )

    return balance_over_capacity


def too_coarse(everything: Sequence[Columns]) -> Check:
    """Return the check of the balances' resolution; of two cells the coarser counts."""
    cells_of = resolution_cells(everything)

    def balance_too_coarse(case: AnyTest) -> Iterator[Doubt]:
        """The resolution of a balance is coarser than the method requires."""
        method = case.method
        if method is None:
            return
        for name, facts in balances(case):
            named = cells_of.get(name, ())
            cells = [cell for at in named if (cell := method.optional(at))]
            if not cells or facts.resolution_kg is None:
                continue
            cell = max(cells, key=lambda one: one.si)
            if facts.resolution_kg > cell.si * (1 + 1e-9):
                step = from_si(facts.resolution_kg, cell.unit)
                yield Doubt(
                    field=("equipment", name),
                    found=f"{facts.id} reads to {step:g} {cell.unit}",
                    expected=f"{cell} or finer",
                    mend="use a finer balance",
                    basis=cell.basis,
                )

    return balance_too_coarse


def calibration_rule(kind: str, interval_cell: str = "") -> Rule[AnyTest]:
    """Return the rule on the calibration of one kind of device."""
    flag = f"{kind}-out-of-calibration"
    check = out_of_calibration(kind, interval_cell)
    return Rule(flag, Severity.WARNING, PROGRAM, check)


def rules_of(everything: Sequence[Columns]) -> tuple[Rule[AnyTest], ...]:
    """Return the checks of balances, ovens and sieves for the columns of a kind."""
    return (
        calibration_rule("balance"),
        calibration_rule("oven"),
        calibration_rule("sieve"),
        Rule(
            "balance-over-capacity",
            Severity.WARNING,
            "common practice",
            over_capacity(everything),
        ),
        Rule(
            "balance-too-coarse",
            Severity.WARNING,
            "the method's resolution of weighings",
            too_coarse(everything),
        ),
    )


def other_sieves(
    case: AnyTest, on: date | None, expected: str, mend: str
) -> Iterator[Doubt]:
    """Yield a doubt for each sieve, in words or by its id, that is not the method's."""
    record = case.record
    if case.method is None:
        return
    cell = case.method.cell("sieve")
    on_hand = record.equipment.sieve if record.equipment is not None else None
    device = case.inputs.get(DeviceFacts, on_hand or "", on)
    for field, found in (
        (("processed_through",), record.processed_through or ""),
        (("equipment", "sieve"), device.opening if device is not None else ""),
    ):
        if found and not same_sieve(found, cell.value):
            yield Doubt(field, found, f"{cell} in {expected}", mend, basis=cell.basis)
