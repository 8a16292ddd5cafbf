"""Parts of a bench sheet common to several kinds of test: acts, containers, oven."""

from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import Any

from buildsite.kinds.bench_spec import Part, Progress, Reading
from buildsite.kinds.reporting import to_places
from buildsite.kinds.tests.shared.columns import Column, LinesOf
from buildsite.kinds.tests.shared.containers import MOISTURE
from buildsite.kinds.tests.shared.record import AnyTest
from buildsite.standards.method import Method
from buildsite.values import dataclass


def to_be_named(case: AnyTest, part: str) -> str:
    """Return how the result comes to be used for the sample's other tests."""
    return (
        "Other tests use it where the sample names it: "
        f"buildsite enter {case.record.sample} {part}"
    )


def basis(method: Method | None, cell: str) -> str:
    """Return the source of a cell; empty where the method has no such cell."""
    found = method.optional(cell) if method is not None else None
    return found.short_basis if found is not None else ""


def act(title: str, at: str, done: str, *, needed: bool, last: bool = False) -> Part:
    """Return the part on who did something, and when; `last`: after all readings."""
    return Part(
        title,
        (at,),
        (
            Reading("on", f"{done} on", takes="day", needed=needed),
            Reading("by", f"{done} by", takes="code", needed=needed),
        ),
        when_read=last,
    )


def equipment(*names: tuple[str, str], spare: tuple[str, ...] = ()) -> Part:
    """
    Return the part on equipment: field and words of each; a `…_balance` is a balance.

    Equipment in `spare` may stay blank.
    """
    return Part(
        "Equipment",
        ("equipment",),
        tuple(
            Reading(
                name,
                words,
                takes="equipment",
                of=name.rpartition("_")[2],
                needed=name not in spare,
            )
            for name, words in names
        ),
    )


@dataclass(frozen=True)
class LineList:
    """A list of the record: its place, the word for a line, and its label."""

    at: str
    line: str
    label: str
    times: int = 1

    def part(self, title: str, readings: tuple[Reading, ...]) -> Part:
        """Return a part of the work that is done for each line."""
        return Part(
            title,
            (self.at,),
            readings,
            times=self.times,
            once=False,
            line=self.line,
            label=self.label,
        )


def resolution(
    method: Method | None, lead: str, unit: str
) -> tuple[Decimal | None, str]:
    """Return the coarsest step allowed for a column in its unit, and its source."""
    asked = method.resolution(lead, unit) if method is not None and unit else None
    if asked is None:
        return None, ""
    name = f"{lead}_{'lb' if unit == 'lb' else 'g'}"
    return Decimal(f"{asked:g}"), basis(method, name)


def oven(method: Method | None) -> Part:
    """Return the part on the oven."""
    return Part(
        "Oven",
        ("oven",),
        (
            Reading("in", "Into the oven at", takes="time"),
            Reading(
                "temperature_c",
                "Oven temperature",
                unit="°C",
                basis=basis(method, "oven"),
            ),
            Reading("out", "Out of the oven at", takes="time"),
        ),
    )


def overnight(method: Method | None) -> str:
    """
    Return how long to dry: the one time of `drying-too-short`, on every sheet.

    >>> overnight(None)
    'overnight, or until two successive weighings agree'
    """
    cell = method.optional("oven_least") if method is not None else None
    least = f" (at least {cell.printed})" if cell is not None else ""
    return f"overnight{least}, or until two successive weighings agree"


def entry() -> Part:
    """Return the part on who entered the readings, and who checked the entry."""
    return Part(
        "Bench sheet",
        ("entered",),
        (
            Reading("by", "Readings entered by", takes="code", needed=False),
            Reading("checked_by", "Entry checked by", takes="text", needed=False),
        ),
        when_read=True,
    )


def reading(
    case: AnyTest,
    column: Column,
    *,
    needed: bool = True,
    several: bool = False,
    unless: tuple[str, ...] = (),
    within: str = "",
) -> Reading:
    """Return the reading of a column: in its unit, to the step of the method."""
    unit = getattr(case.record.units, column.unit) or ""
    step, source = resolution(case.method, column.resolution, unit)
    return Reading(
        column.name,
        column.words,
        unit,
        step,
        source,
        needed=needed,
        several=several,
        unless=unless,
        within=within,
    )


def container_readings(
    case: AnyTest, *, unless: tuple[str, ...] = (), within: str = ""
) -> tuple[tuple[Reading, ...], Reading]:
    """Return the readings of a container before the oven, and after."""
    number = Reading(
        "container",
        "Container no.",
        takes="text",
        needed=False,
        unless=unless,
        within=within,
    )
    empty, wet, dry = MOISTURE
    before = (reading(case, one, unless=unless, within=within) for one in (empty, wet))
    after = reading(case, dry, several=True, unless=unless, within=within)
    return (number, *before), after


def tared(case: AnyTest, lines: LinesOf) -> tuple[Part, ...]:
    """Return the part on a tared balance; only where a container reads zero."""
    empty = (line.part.container_mass for line in lines(case.record))
    if case.record.balance_tared is None and not any(mass == 0 for mass in empty):
        return ()
    words = "Balance set to zero with each empty container on it"
    asked = Reading("balance_tared", words, takes="choice", choices=("no", "yes"))
    return (Part("Containers", (), (asked,)),)


def progress(
    lines: Iterable[Any], name: str, words: str, places: int, unit: str = ""
) -> Callable[[], Progress]:
    """Return the function that gives the result of each line so far."""
    return lambda: Progress(
        tuple(
            (one.number, f"{words} {to_places(getattr(one, name), places)}{unit}")
            for one in lines
            if getattr(one, name) is not None
        )
    )
