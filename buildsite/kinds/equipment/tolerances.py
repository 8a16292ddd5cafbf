"""Molds and rammers checked against the limits of the methods."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from buildsite.kinds.limits import HAIR, in_unit, least_face, within
from buildsite.kinds.sheet import Cell as Text
from buildsite.kinds.sheet import Column, Row, Table
from buildsite.record.units import unit
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method
from buildsite.standards.tables import designations, find, standard
from buildsite.values import dataclass

OTHER = 0.10
"""Equipment differing by more is of another method, not worn: common practice."""


@dataclass(frozen=True)
class LimitCheck:
    """One measurement, and the limit of a method."""

    what: str
    found: str
    required: str
    basis: str
    verdict: str  # within | worn | set | outside
    in_service: bool = False  # the limit is wider than that for new equipment

    @property
    def words(self) -> str:
        """Return the limit and its source."""
        return f"{self.required}, {self.basis}"


def check_tolerance(
    what: str, value: float | None, cell: Cell | None, wear: float = 0.0
) -> Iterator[LimitCheck]:
    """Check a value against a tolerance, increased for wear by a percentage."""
    if value is None or cell is None:
        return
    verdict = "within"
    if not within(cell, value):
        verdict = "worn" if wear and within(cell, value, wear) else "outside"
    factor = 1 + wear / 100
    required = (
        f"{cell}; in-service limit: {factor:g} × tolerance" if wear else f"{cell}"
    )
    found = in_unit_of(value, cell)
    yield LimitCheck(what, found, required, cell.basis, verdict, bool(wear))


def in_unit_of(value: float, cell: Cell) -> str:
    """Return an SI value in a cell's unit, as printed."""
    number, _, name = in_unit(value, cell).partition(" ")
    return f"{number} {unit(name).shown}"


@dataclass(frozen=True)
class RammerMeasures:
    """Measurements of a rammer in a calibration, in SI."""

    face: str  # round | sector
    mass: float | None
    drop: float | None
    face_diameter: float | None
    sector_radius: float | None
    compared: bool = False  # mechanical, and equivalent to the hand rammer


def check_rammer(found: RammerMeasures, method: Method) -> Iterator[LimitCheck]:
    """Check a rammer against a method, if it is of that method."""
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
        yield from check_tolerance("sector radius", found.sector_radius, cell)


def check_face(across: float | None, method: Method) -> Iterator[LimitCheck]:
    """Check a round face against its minimum diameter in service."""
    limit = least_face(method)
    if across is None or limit is None:
        return
    least, cell = limit
    worn = across < least * (1 - HAIR)
    new = method.cell("rammer_face_diameter")
    required = f"at least {in_unit_of(least, cell)}; new {new}"
    verdict = "outside" if worn else "within" if within(new, across) else "worn"
    found = in_unit_of(across, cell)
    yield LimitCheck("face", found, required, cell.basis, verdict, in_service=True)


@dataclass(frozen=True)
class MoldMeasures:
    """Measurements of a mold in a calibration, in SI."""

    nominal: str
    volume: float | None
    diameter: float | None
    height: float | None


def check_mold(found: MoldMeasures, method: Method) -> Iterator[LimitCheck]:
    """Check a mold against a method, if it is of the method's size."""
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
    """Return every compaction method on file."""
    for designation in designations():
        known = standard(designation)
        if known is None or known.test != "compaction":
            continue
        for name in known.methods:
            method = find(designation, name)
            if method is not None:
                yield method


SAME_RAMMER = 0.005
"""Rammers of two standards this close in mass and drop are equal: common practice."""


def rammer_methods(found: RammerMeasures) -> list[Method]:
    """Return the methods that use this rammer: the nearest one, and its equals."""

    def off(method: Method, mass: float | None, drop: float | None) -> float:
        return max(
            0.0 if mass is None else abs(mass / method.rammer_mass_kg - 1),
            0.0 if drop is None else abs(drop / method.drop_m - 1),
        )

    every = list(methods())
    near = min(every, key=lambda one: off(one, found.mass, found.drop))
    return [
        one for one in every if off(one, near.rammer_mass_kg, near.drop_m) < SAME_RAMMER
    ]


VERDICTS = {
    "within": "within",
    "worn": "worn, within the in-service limit",
    "set": "set to match the hand rammer",
    "outside": "out of tolerance",
}


def verdict_text(one: LimitCheck) -> str:
    """Return a verdict in words, by the limit that applies in service."""
    if one.verdict == "outside" and one.in_service:
        return "outside the in-service limit"
    return VERDICTS[one.verdict]


def limits_table(
    check: Callable[[Method], Iterator[LimitCheck]], required: Iterable[Method]
) -> Table | None:
    """Return the limits of each standard, with the last measurements."""
    found: dict[tuple[str, str], LimitCheck] = {}
    for method in required:
        for one in check(method):
            found.setdefault((method.designation, one.what), one)
    rows = tuple(
        Row(
            (
                Text(designation, ("method", designation)),
                Text(one.what.capitalize()),
                Text(one.found),
                Text(one.required),
                Text(verdict_text(one)),
                Text(one.basis),
            ),
            mark="error" if one.verdict == "outside" else "",
        )
        for (designation, _), one in found.items()
    )
    labels = ("Standard", "Item", "Last measured", "Required", "Verdict", "Source")
    heads = tuple(Column(label) for label in labels)
    title = "Limits of the standards"
    return Table("limits", title, heads, rows, role="more") if rows else None
