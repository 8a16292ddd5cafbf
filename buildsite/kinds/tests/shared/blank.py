"""A test ready to fill in: its text, what `new` asks, and what can be suggested."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

from buildsite.kinds.answers import DeviceFacts, MoldFacts
from buildsite.kinds.blank import ArchiveContext, Ask, Blank
from buildsite.kinds.tests.shared.record import Work
from buildsite.kinds.tests.shared.rules.equipment import lapse
from buildsite.standards.cells import Cell
from buildsite.standards.tables import standard

Suggest = Callable[[ArchiveContext], Mapping[str, str]]

STANDARD = "{{designation: {standard}, edition: {edition}, method: {method}}}"
NO_VARIANT = f"{STANDARD[:-2]},\n  variant: none}}}}"
"""How a blank names its standard."""

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
    Make the blank of a kind of test.

    Parameters
    ----------
    kind
        As `kind:` has it.
    before, after
        What stands in it before who entered it, and after. Braces of YAML are doubled,
        for names in single ones are filled in.
    standard
        How it names its standard.
    asks, places, suggest
        As `Blank` has them.
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
    Make what `new` asks of every test, and what it asks of one kind alone.

    Parameters
    ----------
    standard
        The one that is taken where no other is named.
    done
        What was done on the day that dates the test: Weighed wet.
    own
        What is asked of this kind alone.
    edition
        How an edition may be written.
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
    """Name the method of a standard: its only one, or that for when none is named."""
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
    """Whether a calibration held on the day; on none, whether there is one at all."""
    made = device.calibrated_on
    if made is None:
        return False
    return on is None or lapse(made, device.next_due, on, interval) is None


def choose(ids: Sequence[str], used: Sequence[Any], name: str) -> str:
    """Choose what was used last of what fits, or the only one; else nothing."""
    for one in used:
        id = getattr(one.equipment, name, None)
        if id in ids:
            return str(id)
    return ids[0] if len(ids) == 1 else ""


def equipment(
    context: ArchiveContext, work: Work, fits: Mapping[str, Fits]
) -> dict[str, str]:
    """Equipment that fits and was in calibration: used last, or the only one."""
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


def reads_to(kilograms: float) -> Fits:
    """Make the test that a balance reads so finely."""

    def fine(balance: DeviceFacts) -> bool:
        step = balance.resolution_kg
        return step is not None and step <= kilograms * (1 + 1e-9)

    return fine


def suggest_by(work: Work, fits: Mapping[str, Fits]) -> Suggest:
    """Make the function that suggests method, edition and equipment of a kind."""
    return lambda context: method_of(context) | equipment(context, work, fits)
