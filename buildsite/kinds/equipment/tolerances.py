"""What was measured of molds and rammers, checked against the limits of the methods."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from buildsite.kinds.limits import HAIR, in_unit, within
from buildsite.kinds.sheet import Cell as Text
from buildsite.kinds.sheet import Column, Row, Table
from buildsite.record.units import unit
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method
from buildsite.standards.tables import designations, find, standard
from buildsite.values import dataclass

OTHER = 0.10
"""Equipment this far off the method's is other equipment, not worn: common practice."""


@dataclass(frozen=True)
class LimitCheck:
    """One thing measured, and what a method asks of it."""

    what: str
    found: str
    asked: str
    basis: str
    verdict: str  # within | worn | set | outside

    @property
    def words(self) -> str:
        """What is asked, and who asks it."""
        return f"{self.asked}, {self.basis}"


def check_tolerance(
    what: str, value: float | None, cell: Cell | None, wear: float = 0.0
) -> Iterator[LimitCheck]:
    """Check a value against a tolerance, which wear may exceed by a percentage."""
    if value is None or cell is None:
        return
    verdict = "within"
    if not within(cell, value):
        verdict = "worn" if wear and within(cell, value, wear) else "outside"
    asked = f"{cell}; in service {wear:g} % more" if wear else str(cell)
    yield LimitCheck(what, in_unit_of(value, cell), asked, cell.basis, verdict)


def in_unit_of(value: float, cell: Cell) -> str:
    """Write an SI value in a cell's unit, as a page prints that."""
    number, _, name = in_unit(value, cell).partition(" ")
    return f"{number} {unit(name).shown}"


@dataclass(frozen=True)
class RammerMeasures:
    """What a calibration measured of a rammer, in SI."""

    face: str  # round | sector
    mass: float | None
    drop: float | None
    face_diameter: float | None
    sector_radius: float | None
    compared: bool = False  # mechanical, and found to compact as the hand rammer does


def check_rammer(found: RammerMeasures, method: Method) -> Iterator[LimitCheck]:
    """Check a rammer against a method, where it is the method's at all."""
    mass = found.mass
    if method.optional("rammer_mass") is None:
        return
    if mass is not None and abs(mass / method.rammer_mass_kg - 1) > OTHER:
        return
    for what, value in (("mass", mass), ("drop", found.drop)):
        for one in check_tolerance(what, value, method.cell(f"rammer_{what}")):
            set_so = found.compared and one.verdict == "outside"
            yield replace(one, verdict="set") if set_so else one
    if found.face == "round":
        yield from check_face(found.face_diameter, method)
    else:
        cell = method.optional("rammer_sector_radius")
        yield from check_tolerance("radius of the sector", found.sector_radius, cell)


def check_face(across: float | None, method: Method) -> Iterator[LimitCheck]:
    """Check a round face against the least that wear may leave of it."""
    nominal = method.rammer_face_diameter_m
    cell = method.optional("rammer_face_least") or method.optional("rammer_face_wear")
    if across is None or cell is None or nominal is None:
        return
    least = cell.si if cell.name == "rammer_face_least" else nominal - cell.si
    worn = across < least * (1 - HAIR)
    new = method.cell("rammer_face_diameter")
    asked = f"at least {in_unit_of(least, cell)}; new {new}"
    verdict = "outside" if worn else "within" if within(new, across) else "worn"
    yield LimitCheck("face", in_unit_of(across, cell), asked, cell.basis, verdict)


@dataclass(frozen=True)
class MoldMeasures:
    """What a calibration measured of a mold, in SI."""

    nominal: str
    volume: float | None
    diameter: float | None
    height: float | None


def check_mold(found: MoldMeasures, method: Method) -> Iterator[LimitCheck]:
    """Check a mold against a method, where it is the method's size."""
    if method.optional("mold") is None:
        return
    if found.nominal.casefold().split() != method.mold.casefold().split():
        return
    volume = found.volume
    if volume is not None and abs(volume / method.mold_volume_m3 - 1) > OTHER:
        return
    wear = method.mold_wear_percent or 0.0
    for what, value in (
        ("volume", volume),
        ("diameter", found.diameter),
        ("height", found.height),
    ):
        yield from check_tolerance(what, value, method.optional(f"mold_{what}"), wear)


def methods() -> Iterator[Method]:
    """Every compaction method there are rows of."""
    for designation in designations():
        known = standard(designation)
        if known is None or known.test != "compaction":
            continue
        for name in known.methods:
            method = find(designation, name)
            if method is not None:
                yield method


KIN = 0.005
"""Rammers of two standards this near in mass and drop are one: common practice."""


def rammer_methods(found: RammerMeasures) -> list[Method]:
    """Methods whose rammer this is: the nearest one's, and those that ask the same."""

    def off(method: Method, mass: float | None, drop: float | None) -> float:
        return max(
            0.0 if mass is None else abs(mass / method.rammer_mass_kg - 1),
            0.0 if drop is None else abs(drop / method.drop_m - 1),
        )

    every = list(methods())
    near = min(every, key=lambda one: off(one, found.mass, found.drop))
    return [one for one in every if off(one, near.rammer_mass_kg, near.drop_m) < KIN]


VERDICTS = {
    "within": "within",
    "worn": "worn, and may still be used",
    "set": "set so, to compact as the hand rammer does",
    "outside": "outside: not to be used under this standard",
}


def limits_table(
    check: Callable[[Method], Iterator[LimitCheck]], asked: Iterable[Method]
) -> Table | None:
    """What each standard asks of the equipment, beside what was found last."""
    found: dict[tuple[str, str], LimitCheck] = {}
    for method in asked:
        for one in check(method):
            found.setdefault((method.designation, one.what), one)
    rows = tuple(
        Row(
            (
                Text(designation, ("method", designation)),
                Text(one.what.capitalize()),
                Text(one.found),
                Text(one.asked),
                Text(VERDICTS[one.verdict]),
                Text(one.basis),
            ),
            mark="error" if one.verdict == "outside" else "",
        )
        for (designation, _), one in found.items()
    )
    labels = ("Standard", "What", "Found last", "Asked", "It is", "Rests on")
    heads = tuple(Column(label) for label in labels)
    title = "Limits of the standards"
    return Table("limits", title, heads, rows, role="more") if rows else None
