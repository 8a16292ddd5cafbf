"""What a new test is filled in with: its method's name, equipment in calibration."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from buildsite.kinds.answers import DeviceFacts
from buildsite.kinds.archive_context import Around
from buildsite.kinds.tests.shared.record import Work
from buildsite.kinds.tests.shared.rules.equipment import lapsed
from buildsite.standards.tables import standard

Fits = Callable[[DeviceFacts], bool]


def method_of(around: Around) -> dict[str, str]:
    """Name the method of a standard: its only one, or that for when none is named."""
    known = standard(around.told.get("standard", ""))
    if known is None:
        return {}
    usual = known.method_when_none_named.value
    name = usual if usual in known.methods else known.methods[0]
    newest = known.editions[-1].edition if known.editions else ""
    return {"method": name, "edition": newest}


def held(device: DeviceFacts, around: Around) -> bool:
    """Whether a calibration held on the day; on none, whether there is one at all."""
    made, on = device.calibrated_on, around.on
    if made is None:
        return False
    return on is None or lapsed(made, device.next_due, on, None) is None


def chosen(ids: Sequence[str], used: Sequence[Any], name: str) -> str:
    """Choose what was used last of what fits, or the only one; else nothing."""
    for one in used:
        id = getattr(one.equipment, name, None)
        if id in ids:
            return str(id)
    return ids[0] if len(ids) == 1 else ""


def equipment(around: Around, work: Work, fits: Mapping[str, Fits]) -> dict[str, str]:
    """Equipment that fits and was in calibration: used last, or the only one."""
    used = around.earlier(around.told.get("project", "")) or around.earlier("")
    found = {}
    for tool in work.tools:
        will_do = fits.get(tool.name)
        ids = [
            one.id
            for one in around.facts(DeviceFacts, (tool.kind,), around.on)
            if held(one, around) and (will_do is None or will_do(one))
        ]
        found[tool.name] = chosen(ids, used, tool.name)
    return found


def reads_to(kilograms: float) -> Fits:
    """Make the test that a balance reads so finely."""

    def fine(balance: DeviceFacts) -> bool:
        step = balance.resolution_kg
        return step is not None and step <= kilograms * (1 + 1e-9)

    return fine
