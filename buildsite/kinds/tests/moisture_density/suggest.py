"""Suggestions for a new compaction test, from the method and earlier tests."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date

from buildsite.kinds.answers import DeviceFacts, MoldFacts
from buildsite.kinds.blank import ArchiveContext
from buildsite.kinds.sieves import same_sieve
from buildsite.kinds.tests.moisture_density.model import COLUMNS, MoistureDensity
from buildsite.kinds.tests.moisture_density.rules.molds import is_other_mold
from buildsite.kinds.tests.moisture_density.rules.rammers import (
    is_other_rammer,
)
from buildsite.kinds.tests.shared.blank import carries, choose, in_calibration
from buildsite.kinds.tests.shared.columns import resolution_cells
from buildsite.standards.method import Method
from buildsite.standards.tables import find, standard

WET_DENSITY = 2400.0
"""Soil in a mold is rarely denser than this, in kg/m³: common practice."""

USUAL = {
    "moisture_unit": "g",
    "water_added": "each",
    "mold_mass_note": "as weighed for this test",
}
"""Defaults of a first test: common practice."""

COARSEST = resolution_cells(COLUMNS)
"""The cells that state the resolution of each balance."""

Used = Sequence[MoistureDensity]


def suggest(context: ArchiveContext) -> Mapping[str, str]:
    """Return suggestions for the places of the blank."""
    answers = context.answers
    used = latest(context.earlier(answers.get("project", "")))
    alike = [one for one in used if one.standard.designation == answers.get("standard")]
    method = find(
        answers.get("standard", ""),
        answers.get("method", ""),
        "none",
        answers.get("edition", ""),
    )
    equipment = dict(
        fitting_equipment(context, method, used or latest(context.earlier("")))
    )
    return {
        **USUAL,
        **newest_edition(answers),
        **last_used(used, alike),
        **from_method(method),
        **equipment,
        **from_mold(context, equipment.get("mold", "")),
        **from_rammer(context, equipment.get("rammer", "")),
    }


def newest_edition(answers: Mapping[str, str]) -> dict[str, str]:
    """Return the newest known edition of the standard."""
    known = standard(answers.get("standard", ""))
    editions = known.editions if known is not None else ()
    return {"edition": editions[-1].edition} if editions else {}


def latest(records: Iterable[MoistureDensity]) -> Used:
    """Sort tests, the one compacted last first."""
    dated = ((one.compacted.on or date.min, one.id, one) for one in records)
    return [one for _, _, one in sorted(dated, key=lambda row: row[:2], reverse=True)]


def last_used(used: Used, alike: Used) -> dict[str, str]:
    """Return the units and options last used in this project."""
    found: dict[str, str] = {}
    for one in used[:1]:
        found["compacted_unit"] = one.units.compacted or ""
        found["moisture_unit"] = one.units.moisture or ""
        found["water_added"] = one.water_added or ""
    for one in alike[:1]:
        found["edition"] = one.standard.edition or ""
        found["preparation"] = one.preparation or ""
        found["specimens"] = one.specimens or ""
        found["weighed_with"] = one.weighed_with or ""
    return {name: value for name, value in found.items() if value}


def from_method(method: Method | None) -> dict[str, str]:
    """Return what the method prescribes."""
    if method is None:
        return {}
    found = {
        "processed_through": method.sieve,
        "layers": str(method.layers),
        "blows_per_layer": str(method.blows_per_layer),
    }
    if method.may_reuse_soil == "no":
        found["specimens"] = "separate"
    return found


def fitting_equipment(
    context: ArchiveContext, method: Method | None, used: Used
) -> Iterator[tuple[str, str]]:
    """Yield the equipment last used that fits the method and is in calibration."""
    on = context.on
    interval = method.optional("calibration_interval") if method else None
    molds = [
        one
        for one in context.facts(MoldFacts, ("mold",), on)
        if in_calibration(one, on, interval) and fits_mold(one, method)
    ]
    mold = choose([one.id for one in molds], used, "mold")
    yield "mold", mold
    heavy = {
        "balance": heaviest(molds, mold, method),
        "moisture_balance": CONTAINER + least_specimen(method),
    }
    unit = context.answers.get("compacted_unit", "g")
    for name, fits in DEVICES.items():
        limit = interval if name == "rammer" else None
        found = [
            one
            for one in context.facts(DeviceFacts, (kind_of(name),), on)
            if in_calibration(one, on, limit) and fits(one, method)
        ]
        if name in heavy:
            found = [
                one
                for one in found
                if carries(heavy[name], one)
                and reads_finely_enough(name, one, method, unit)
            ]
        ids = [one.id for one in found]
        if name in heavy and not any(has_used(one, name, ids) for one in used):
            ids = coarsest_or_finest(found, coarsest=name == "balance")
        yield name, choose(ids, used, name)


def coarsest_or_finest(balances: Sequence[DeviceFacts], *, coarsest: bool) -> list[str]:
    """Return the coarsest suitable balances for the mold, or the finest."""
    steps = [one.resolution_kg or 0.0 for one in balances]
    wanted = (max if coarsest else min)(steps, default=0.0)
    return [one.id for one in balances if one.resolution_kg == wanted]


def has_used(test: MoistureDensity, name: str, ids: Sequence[str]) -> bool:
    """Return whether a test used one of some devices."""
    return getattr(test.equipment, name, None) in ids


EMPTY_WITH_PLATE = {"4 in": 4.5, "6 in": 8.0}
"""Mass of an empty mold with its base plate, in kg: common practice."""

LARGEST_EMPTY = 8.0

CONTAINER = 0.1
"""Mass of an empty moisture container, in kg: common practice."""


def heaviest(molds: Sequence[MoldFacts], mold: str, method: Method | None) -> float:
    """
    Return the greatest mass of a filled mold: the one chosen, else any that fits. [kg]

    Where none is on file, it is that of the method's size with its base plate.
    """
    chosen = [one for one in molds if one.id == mold] or molds
    known = [filled_mold_mass(one) for one in chosen if one.mass_kg is not None]
    if known or method is None:
        return max(known, default=0.0)
    empty = EMPTY_WITH_PLATE.get(method.mold, LARGEST_EMPTY)
    return empty + method.mold_volume_m3 * WET_DENSITY


def least_specimen(method: Method | None) -> float:
    """Return the least mass of a moisture specimen, if the method has one. [kg]"""
    cell = method.optional("moisture_specimen_least") if method is not None else None
    return cell.si if cell is not None else 0.0


def filled_mold_mass(mold: MoldFacts) -> float:
    """Return the greatest mass of a filled mold. [kg]"""
    return (mold.mass_kg or 0.0) + (mold.volume_m3 or 0.0) * WET_DENSITY


def fits_mold(mold: MoldFacts, method: Method | None) -> bool:
    """Return whether a mold has a calibrated volume and the method's size."""
    known = mold.volume_m3 is not None
    return known and method is not None and not is_other_mold(mold, method)


def fits_rammer(rammer: DeviceFacts, method: Method | None) -> bool:
    """Return whether a rammer is known to fit the method."""
    if method is None or rammer.mass_kg is None:
        return False
    face = rammer.face in ("", *method.rammer_faces)
    return face and not is_other_rammer(rammer, method)


def reads_finely_enough(
    name: str, balance: DeviceFacts, method: Method | None, unit: str
) -> bool:
    """Return whether a balance reads as finely as the method requires in a unit."""
    step = balance.resolution_kg
    if method is None or step is None:
        return step is not None
    wanted = f"_{unit if name == 'balance' and unit == 'lb' else 'g'}"
    asked = (method.optional(at) for at in COARSEST[name] if at.endswith(wanted))
    limits = [cell.si for cell in asked if cell is not None]
    return not limits or step <= min(limits) * (1 + 1e-9)


def fits_sieve(sieve: DeviceFacts, method: Method | None) -> bool:
    """Return whether a sieve is the method's."""
    return method is not None and same_sieve(sieve.opening, method.sieve)


def any_device(device: DeviceFacts, method: Method | None) -> bool:
    """Return that a device of this kind fits any method."""
    return True


def kind_of(name: str) -> str:
    """Return the kind of a piece of equipment; a `…_balance` is a balance."""
    return name.rpartition("_")[2]


DEVICES: dict[str, Callable[[DeviceFacts, Method | None], bool]] = {
    "rammer": fits_rammer,
    "balance": any_device,  # by load and resolution
    "moisture_balance": any_device,
    "oven": any_device,
    "sieve": fits_sieve,
}
"""Devices by their field under `equipment`, and how each fits a method."""


def from_mold(context: ArchiveContext, mold: str) -> dict[str, str]:
    """Return the mass of the mold when last used, where the unit is the same."""
    if not mold:
        return {}
    found: dict[str, str] = {}
    for one in context.facts(MoldFacts, ("mold",), context.on):
        if one.id == mold and one.weighed_with:
            found["weighed_with"] = one.weighed_with
    for test in latest(context.earlier(mold)):
        uses = test.equipment is not None and test.equipment.mold == mold
        if not uses or test.mold_mass is None:
            continue
        if test.units.compacted == context.answers.get("compacted_unit"):
            found["mold_mass"] = str(test.mold_mass)
            found["mold_mass_note"] = f"as for {test.id}: weigh it again"
        return found
    return found


def from_rammer(context: ArchiveContext, rammer: str) -> dict[str, str]:
    """Return how the rammer is operated, and its face."""
    for one in context.facts(DeviceFacts, ("rammer",), context.on):
        if one.id == rammer:
            return {"operation": one.operation, "face": one.face}
    return {}
