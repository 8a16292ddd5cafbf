"""A balance: what it reads to, how much it takes, and how far off it was found."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Literal

from buildsite.kinds.answers import BalanceError
from buildsite.kinds.blank import Ask, pairs
from buildsite.kinds.equipment.calibrations import Amiss, in_force, unsettled
from buildsite.kinds.equipment.device import Device, device_blank, device_kind, facts
from buildsite.kinds.kind import Case, Ref
from buildsite.record.flags import Doubt, Field, warning
from buildsite.record.reading import Positive
from buildsite.record.units import to_si
from buildsite.standards.method import Method
from buildsite.standards.tables import limit


class Balance(Device):
    kind: Literal["balance"]
    readability: Positive
    capacity: Positive | None = None


def largest_error(balance: Balance, ref: Ref) -> BalanceError | None:
    """Return how far off the calibration in force found a balance, if it says so."""
    index = in_force(balance.calibrations, ref.on)
    one = None if index is None else balance.calibrations[index]
    if one is None or one.largest_error is None:
        return None
    error = to_si(abs(one.largest_error), balance.units.mass)
    return BalanceError(balance.id, one.on, error)


def answers(case: Case[Balance, None], ref: Ref) -> object | None:
    """Return what the balance was on a test's day, or how far off it was found."""
    if ref.asks is BalanceError:
        return largest_error(case.record, ref)
    return facts(case, ref)


def errors_beyond_limit(record: Balance, i: int) -> Iterator[tuple[Field, str, str]]:
    """Errors of a balance beyond its limit: field, what was found, what is asked."""
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
                f"off by {one.largest_error} {unit}",
                f"at most {most.normalize():f} {unit}, {steps.basis}",
            )


def amiss(case: Case[Balance, None], i: int, method: Method | None) -> Iterator[Amiss]:
    """What a calibration found wrong with a balance, whatever the method."""
    if method is None:
        for _, found, asked in errors_beyond_limit(case.record, i):
            yield Amiss(found, asked, lasts=True)


@warning("balance-off", "AASHTO M 231 (from memory)")
def balance_off(case: Case[Balance, None]) -> Iterator[Doubt]:
    """A balance that is off by more than its readability and load allow."""
    for i, _ in unsettled(case.record.calibrations):
        for where, found, asked in errors_beyond_limit(case.record, i):
            yield Doubt(
                field=("calibrations", i, *where),
                found=found,
                expected=asked,
                mend="have the balance adjusted, and judge the tests that its page "
                "lists as weighed on it since the calibration before",
            )


BLANK = device_blank(
    "balance",
    "B",
    stated="readability: {readability}\ncapacity: {capacity}\n",
    asks=(
        Ask("readability", "Readability in g, such as 0.01"),
        Ask("capacity", "Capacity in g"),
    ),
    found="largest_error: {largest_error}, check_masses: {check_masses},\n     ",
    findings=(
        Ask("largest_error", "Largest error certified, in g (Enter: none stated)"),
        Ask(
            "check_masses",
            "Check masses in g: each mass and what was read, as in 500 500.02 1000 "
            "999.98 (Enter: none)",
            split=pairs("mass", "read"),
        ),
    ),
)

KIND = device_kind(
    Balance,
    BLANK,
    rules=(balance_off,),
    wrong=amiss,
    answers=answers,
)
