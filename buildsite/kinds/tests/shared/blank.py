"""The blank of a test: its text, the questions of `new`, and suggestions."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

from buildsite.kinds.answers import DeviceFacts, MoldFacts
from buildsite.kinds.blank import ArchiveContext, Ask, Blank
from buildsite.kinds.tests.shared.record import Work
from buildsite.kinds.tests.shared.rules.equipment import lapse
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method
from buildsite.standards.tables import find, standard
from buildsite.values import dataclass

Suggest = Callable[[ArchiveContext], Mapping[str, str]]

STANDARD = "{{designation: {standard}, edition: {edition}, method: {method}}}"
NO_VARIANT = f"{STANDARD[:-2]},\n  variant: none}}}}"
"""The standard in a blank."""

ENTERED = """entered: {{by: , checked_by: }}
status: in-progress         # in-progress | complete | withdrawn
"""

OVEN = "oven: {{in: , out: , temperature_c: }}   # in, out: YYYY-MM-DDTHH:MM\n"


def blank_of(
    kind: str,
    before: str,
    after: str,
    *,
    standard: str = STANDARD,
    asks: tuple[Ask, ...],
    places: tuple[str, ...],
    suggest: Suggest,
) -> Blank:
    """
    Return the blank of a kind of test.

    `before` and `after` are its lines before and after `entered`. Braces of YAML are
    doubled; names in single braces are filled in.
    """
    head = f"""format: 1
kind: {kind}
id: {{id}}
project: {{project}}
sample: {{sample}}
standard: {standard}
"""
    text = f'{head}{before}{ENTERED}{after}remarks: ""\n'
    return Blank(text, "", asks, places, suggest)


def asks(
    standard: str,
    done: str,
    *own: Ask,
    edition: str = "22 or 12(2021)",
) -> tuple[Ask, ...]:
    """
    Return the questions of `new`: those for every test, and a kind's `own`.

    `standard` is the default, `done` the act that dates the test, `edition` an example.
    """
    return (
        Ask("project", "Project"),
        Ask("sample", "Sample"),
        Ask("standard", f"Standard, such as {standard}", standard),
        Ask("edition", f"Edition, such as {edition}"),
        *own,
        Ask("on", f"{done} on (YYYY-MM-DD)"),
        Ask("by", f"{done} by (staff code)"),
    )


Fits = Callable[[DeviceFacts], bool]


def method_of(context: ArchiveContext) -> dict[str, str]:
    """Return the method of a standard, its only or default one, and latest edition."""
    known = standard(context.answers.get("standard", ""))
    if known is None:
        return {}
    usual = known.method_when_none_named.value
    name = usual if usual in known.methods else known.methods[0]
    newest = known.editions[-1].edition if known.editions else ""
    return {"method": name, "edition": newest}


def in_calibration(
    device: DeviceFacts | MoldFacts, on: date | None, interval: Cell | None = None
) -> bool:
    """Whether a calibration was in force on the day; no day: whether there is one."""
    made = device.calibrated_on
    if made is None:
        return False
    return on is None or lapse(made, device.next_due, on, interval) is None


def choose(ids: Sequence[str], used: Sequence[Any], name: str) -> str:
    """Return the one of `ids` that was used last, or the only one; else empty."""
    for one in used:
        id = getattr(one.equipment, name, None)
        if id in ids:
            return str(id)
    return ids[0] if len(ids) == 1 else ""


def equipment(
    context: ArchiveContext, work: Work, fits: Mapping[str, Fits]
) -> dict[str, str]:
    """Return equipment that fits and is in calibration: last used, or the only one."""
    used = context.earlier(context.answers.get("project", "")) or context.earlier("")
    found = {}
    for tool in work.tools:
        will_do = fits.get(tool.name)
        ids = [
            one.id
            for one in context.facts(DeviceFacts, (tool.kind,), context.on)
            if in_calibration(one, context.on) and (will_do is None or will_do(one))
        ]
        found[tool.name] = choose(ids, used, tool.name)
    return found


@dataclass(frozen=True)
class Load:
    """
    What a balance must do: read to a step [kg], and carry a load [kg].

    The step is that of the method's cell, if it has one, else `step`.
    """

    step: float
    load: float
    cell: str = ""

    def fits(self, method: Method | None) -> Fits:
        """Return the test of whether a balance is fine and large enough."""
        asked = method.optional(self.cell) if method is not None else None
        step = asked.si if asked is not None else self.step
        return lambda balance: reads_to(step, balance) and carries(self.load, balance)


def reads_to(step: float, balance: DeviceFacts) -> bool:
    """Return whether a balance has that resolution or finer. [kg]"""
    own = balance.resolution_kg
    return own is not None and own <= step * (1 + 1e-9)


def carries(load: float, balance: DeviceFacts) -> bool:
    """Return whether a balance carries a load; an unknown capacity may do. [kg]"""
    return balance.capacity_kg is None or balance.capacity_kg >= load


def method_row(answers: Mapping[str, str]) -> Method | None:
    """Return the row of the standard and method that were answered."""
    names = ("standard", "method", "variant", "edition")
    standard, method, variant, edition = (answers.get(name, "") for name in names)
    return find(standard, method or "none", variant or "none", edition)


def suggest_by(work: Work, loads: Mapping[str, Load]) -> Suggest:
    """Return the function that suggests method, edition and equipment of a kind."""

    def suggest(context: ArchiveContext) -> Mapping[str, str]:
        usual = method_of(context)
        row = method_row({**usual, **context.answers})
        fits = {name: one.fits(row) for name, one in loads.items()}
        return usual | equipment(context, work, fits)

    return suggest
