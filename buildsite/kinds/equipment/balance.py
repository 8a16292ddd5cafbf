"""A balance: its readability, capacity and errors."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Literal

from buildsite.kinds.answers import BalanceError
from buildsite.kinds.blank import Ask, Measured, pairs
from buildsite.kinds.equipment.calibrations import Nonconformity, in_force, unsettled
from buildsite.kinds.equipment.device import Device, device_blank, device_kind, facts
from buildsite.kinds.kind import Case, Ref
from buildsite.record.flags import Doubt, Field, warning
from buildsite.record.reading import Positive
from buildsite.record.units import to_si
from buildsite.standards.cells import UNCHECKED
from buildsite.standards.method import Method
from buildsite.standards.tables import limit


class Balance(Device):
    kind: Literal["balance"]
    readability: Positive
    capacity: Positive | None = None


def largest_error(balance: Balance, ref: Ref) -> BalanceError | None:
    """Return the largest error in the calibration in force, if stated."""
    index = in_force(balance.calibrations, ref.on)
    one = None if index is None else balance.calibrations[index]
    if one is None or one.largest_error is None:
        return None
    error = to_si(abs(one.largest_error), balance.units.mass)
    return BalanceError(balance.id, one.on, error)


def answers(case: Case[Balance, None], ref: Ref) -> object | None:
    """Return the facts of a balance on the date of a test, or its largest error."""
    if ref.asks is BalanceError:
        return largest_error(case.record, ref)
    return facts(case, ref)


def errors_beyond_limit(record: Balance, i: int) -> Iterator[tuple[Field, str, str]]:
    """Return the errors of a balance beyond its limit: field, found, required."""
    one, unit = record.calibrations[i], record.units.mass
    steps = limit("balance_error_steps")
    share = Decimal(limit("balance_error_load").value) / 100
    least = record.readability * Decimal(steps.value)
    for k, check in enumerate(one.check_masses):
        most = max(least, check.mass * share)
        if abs(check.read - check.mass) > most:
            yield (
                ("check_masses", k),
                f"{check.read} {unit} for a mass of {check.mass} {unit}",
                f"within {most.normalize():f} {unit}, {steps.basis}",
            )
    if one.largest_error is not None and record.capacity is not None:
        most = max(least, record.capacity * share)
        if abs(one.largest_error) > most:
            yield (
                ("largest_error",),
                f"error {one.largest_error} {unit}",
                f"at most {most.normalize():f} {unit}, {steps.basis}",
            )


def faults(
    case: Case[Balance, None], i: int, method: Method | None
) -> Iterator[Nonconformity]:
    """Return the faults of a balance in a calibration, for any method."""
    if method is None:
        for _, found, required in errors_beyond_limit(case.record, i):
            yield Nonconformity(found, required, lasts=True)


@warning("balance-off", f"AASHTO M 231 ({UNCHECKED})")
def balance_off(case: Case[Balance, None]) -> Iterator[Doubt]:
    """The error of a balance exceeds the limit for its readability and load."""
    for i, _ in unsettled(case.record.calibrations):
        for where, found, required in errors_beyond_limit(case.record, i):
            yield Doubt(
                field=("calibrations", i, *where),
                found=found,
                expected=required,
                mend="have the balance adjusted, and assess the tests since the "
                "calibration before, listed on its page",
            )


CHECK_MASSES = Ask(
    "check_masses",
    "Check masses in {mass}: each mass and its reading, as in 500 500.02 1000 999.98 "
    "(Enter: none)",
    split=pairs("mass", "read"),
)

BLANK = device_blank(
    "balance",
    "B",
    stated="readability: {readability}\ncapacity: {capacity}\n",
    asks=(
        Ask("readability", "Readability in {mass}, such as 0.01"),
        Ask("capacity", "Capacity in {mass}"),
    ),
    found="largest_error: {largest_error}, check_masses: {check_masses},\n     ",
    findings=(
        Ask("largest_error", "Largest certified error, in {mass} (Enter: none stated)"),
        CHECK_MASSES,
    ),
)

MEASURED = (
    Measured(
        Ask("largest_error", "Largest error in {mass} (Enter: none stated)"),
        ("largest_error",),
    ),
    Measured(CHECK_MASSES, ("check_masses",)),
)

KIND = device_kind(
    Balance,
    BLANK,
    rules=(balance_off,),
    wrong=faults,
    measured=MEASURED,
    answers=answers,
)
