"""Soil classes, with usual values for checks."""

from collections.abc import Mapping
from functools import cache
from typing import Any

from buildsite.standards.cells import Cell, Printed, cell_from, list_at, text_at
from buildsite.standards.reading import read
from buildsite.values import dataclass

Range = tuple[float, float]


def shift_text(low: Cell, high: Cell) -> str:
    """Return by how much modified effort lowers or raises a range."""
    ends = (low, high) if low.si > 0 else (high, low)
    least, most = (one.value.removeprefix("-") for one in ends)
    far = f"{most} points" if low.unit == "%" else Printed(most, low.unit)
    return f"{'raised' if low.si > 0 else 'lowered'} {least} to {far}"


@dataclass(frozen=True)
class SoilClass:
    """
    One class, or one grain size for which only the word is known.

    `grain` is `fine`, `sand` or `gravel`. The ranges are for standard effort;
    `dry_density(effort)` and `water_content(effort)` give them for another.
    """

    symbol: str
    name: str
    grain: str
    often_no_peak: bool
    heavy_clay: bool
    cells: Mapping[str, Cell]
    shift: Mapping[str, Cell]

    def dry_density(self, effort: str = "standard") -> Range | None:
        """Typical maximum dry density, low and high, in kg/m³."""
        return self._range("dry_density", effort)

    def water_content(self, effort: str = "standard") -> Range | None:
        """Typical optimum water content, low and high, in percent."""
        return self._range("water_content", effort)

    def basis(self, what: str, effort: str = "standard") -> str:
        """
        Return the source of a typical range, and its shift for modified effort.

        >>> soil_class("CL").basis("water_content", "modified").partition(" (not")[0]
        'NAVFAC DM-7.02 (1986), table 1'
        """
        source = self.cells[f"{what}_low"].basis
        if effort != "modified":
            return source
        low, high = self.shift[f"{what}_low"], self.shift[f"{what}_high"]
        return f"{source}, {shift_text(low, high)} for modified effort"

    @property
    def saturation(self) -> Range:
        """Usual saturation at the optimum, low and high, in percent."""
        return self.cells["saturation_low"].si, self.cells["saturation_high"].si

    @property
    def wet_leg_saturation(self) -> Range | None:
        """Usual saturation of points wet of the optimum, in percent, if known."""
        if "wet_leg_low" not in self.cells:
            return None
        return self.cells["wet_leg_low"].si, self.cells["wet_leg_high"].si

    def _range(self, what: str, effort: str) -> Range | None:
        if f"{what}_low" not in self.cells:
            return None
        low, high = self.cells[f"{what}_low"].si, self.cells[f"{what}_high"].si
        if effort == "modified":
            low += self.shift[f"{what}_low"].si
            high += self.shift[f"{what}_high"].si
        return low, high


@cache
def soil_class(symbol: str) -> SoilClass | None:
    """
    Return a class by its symbol, a dual symbol, or the word for its grain size.

    A dual symbol without rows of its own spans its two classes.

    >>> soil_class("SP-SM").grain, soil_class("sand").saturation
    ('sand', (60.0, 95.0))
    """
    raw = read("soil_classes")
    wanted = symbol.strip()
    if wanted.lower() in raw["grains"]:
        return _grain(raw, wanted.lower())
    parts = wanted.upper().replace("/", "-").split("-")
    for name in raw["classes"]:
        if sorted(name.split("-")) == sorted(parts):
            return _single(raw, name)
    known = [part for part in parts if part in raw["classes"]]
    if len(known) != 2 or len(parts) != 2:
        return None
    return _dual(_single(raw, known[0]), _single(raw, known[1]))


def class_name(typed: str) -> str:
    """
    Return a class in capitals; a grain size, or what nobody knows, as typed.

    >>> class_name("cl"), class_name("sp-sm"), class_name("sand"), class_name("zz")
    ('CL', 'SP-SM', 'sand', 'zz')
    """
    grain = typed.strip().lower() in read("soil_classes")["grains"]
    return typed if grain or soil_class(typed) is None else typed.strip().upper()


def symbols() -> tuple[str, ...]:
    """Every symbol with rows of its own."""
    return tuple(read("soil_classes")["classes"])


def _cells(rows: Mapping[str, Any]) -> dict[str, Cell]:
    return {name: cell_from(name, row) for name, row in rows.items()}


def _grain(raw: Mapping[str, Any], grain: str) -> SoilClass:
    return SoilClass(
        symbol=grain,
        name=f"{grain}-grained soil" if grain == "fine" else grain,
        grain=grain,
        often_no_peak=False,
        heavy_clay=False,
        cells=_cells(raw["grains"][grain]),
        shift=_cells(raw["effort_shift"]),
    )


def _single(raw: Mapping[str, Any], symbol: str) -> SoilClass:
    row = raw["classes"][symbol]
    cells = dict(raw["grains"][row["grain"]])
    if "wet_leg" in row:
        cells["wet_leg_low"] = {
            **cells["wet_leg_low"],
            "value": text_at(row, "wet_leg"),
        }
    for what, key, unit in (
        ("dry_density", "density", "lb/ft3"),
        ("water_content", "water", "%"),
    ):
        for end, value in zip(("low", "high"), list_at(row, key), strict=True):
            cells[f"{what}_{end}"] = {"value": value, "unit": unit, **raw["ranges"]}
    return SoilClass(
        symbol=symbol,
        name=text_at(row, "name"),
        grain=text_at(row, "grain"),
        often_no_peak=text_at(row, "peak") == "often none",
        heavy_clay=text_at(row, "heavy") == "yes",
        cells=_cells(cells),
        shift=_cells(raw["effort_shift"]),
    )


def _dual(first: SoilClass, second: SoilClass) -> SoilClass:
    """Span two classes; the first symbol says the grain."""
    cells = dict(first.cells)
    for what in ("dry_density", "water_content"):
        for end, pick in (("low", min), ("high", max)):
            name = f"{what}_{end}"
            ends = (first.cells[name], second.cells[name])
            cells[name] = pick(ends, key=lambda cell: cell.si)
    low = "wet_leg_low"
    if low in first.cells and low in second.cells:
        cells[low] = min(first.cells[low], second.cells[low], key=lambda cell: cell.si)
    return SoilClass(
        symbol=f"{first.symbol}-{second.symbol}",
        name=f"{first.name} to {second.name}",
        grain=first.grain,
        often_no_peak=first.often_no_peak or second.often_no_peak,
        heavy_clay=first.heavy_clay or second.heavy_clay,
        cells=cells,
        shift=first.shift,
    )
