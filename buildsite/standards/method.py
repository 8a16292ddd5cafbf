"""One method of a standard: every figure, in SI, with its cell."""

import re
from collections.abc import Iterator, Mapping
from functools import cached_property

from buildsite.record.units import UNITS
from buildsite.standards.cells import PUBLISHED, Cell
from buildsite.standards.figures import (
    Cells,
    Choices,
    Count,
    Figure,
    MaybeCount,
    MaybeFigure,
    MaybeTolerance,
    Truth,
    Word,
)
from buildsite.standards.reading import closest
from buildsite.values import dataclass

_FIGURES = "significant figures"
_FAMILIES = ("density", "water_content", "specific_gravity")


@dataclass(frozen=True)
class Rounding:
    """How a result is rounded: to a step, or to a number of significant figures."""

    cell: Cell

    @property
    def step(self) -> str:
        """The step as the standard prints it, `0.02`; empty when figures count."""
        return "" if self.cell.unit == _FIGURES else self.cell.value

    @property
    def figures(self) -> int | None:
        """Significant figures, where the standard counts those."""
        return int(self.cell.value) if self.cell.unit == _FIGURES else None

    @property
    def places(self) -> int:
        """Decimals to print; 0 for whole numbers and tens."""
        return len(self.step.partition(".")[2])


@dataclass(frozen=True, eq=False)
class Method(Cells):
    """
    One method of one standard, with its edition and the agency's variant.

    Every plain attribute is in SI and read from a cell; `cell(name)` gives the cell,
    and `cell(name).basis` the clause for a flag.
    """

    designation: str
    name: str
    variant: str
    edition: str
    title: str
    cells: Mapping[str, Cell]
    reporting: Mapping[tuple[str, str], Cell]
    words: Mapping[str, str]
    report_items: tuple[Cell, ...] = ()

    effort = Word("effort")  # standard | modified
    mold = Word("mold")  # nominal, as a mold's record writes it: 4 in
    mold_diameter_m = Figure("mold_diameter")
    mold_height_m = Figure("mold_height")
    mold_volume_m3 = Figure("mold_volume")  # a test uses its mold's calibrated one
    mold_volume_tolerance_m3 = MaybeTolerance("mold_volume")
    mold_wear_percent = MaybeFigure("mold_wear")  # past the tolerance, of it

    rammer_mass_kg = Figure("rammer_mass")
    drop_m = Figure("rammer_drop")
    rammer_face_diameter_m = MaybeFigure("rammer_face_diameter")
    rammer_faces = Choices("rammer_faces")  # round, sector
    layers = Count("layers")
    blows_per_layer = Count("blows_per_layer")
    effort_nominal_j_m3 = Figure("effort_nominal")

    sieve = Word("sieve")  # the soil is processed through it
    oversize_sieve = Word("oversize_sieve")
    oversize_limit_percent = Figure("oversize_limit")  # above: does not apply
    oversize_least_percent = Figure("oversize_least")  # up to it: no correction
    oversize_correction = Word("oversize_correction")  # weighted | gravel taken dry
    oversize_specific_gravity = MaybeFigure("oversize_specific_gravity")  # not measured
    oversize_water_content_percent = MaybeFigure("oversize_water_content")

    least_points = Count("least_points")
    least_points_each_side = MaybeCount("least_points_each_side")
    stop_when_wet_mass_falls = Truth("stop_when_wet_mass_falls")
    greatest_step_percent = Figure("greatest_step")
    greatest_step_heavy_clay_percent = Figure("greatest_step_heavy_clay")
    may_reuse_soil = Word("may_reuse_soil")  # yes | no | unless fragile

    moisture_specimen_least_kg = Figure("moisture_specimen_least")
    weighed_with = Choices("weighed_with")  # mold, mold and base plate
    default_density_unit = Word("default_density_unit")

    def cell(self, name: str) -> Cell:
        """Return one cell; raise LookupError if the method has none of that name."""
        if name not in self.cells:
            near = closest(name, sorted(self.cells))
            hint = f"; nearest: {near}" if near else ""
            raise LookupError(f"{self.designation} {self.name}: no cell {name!r}{hint}")
        return self.cells[name]

    def optional(self, name: str) -> Cell | None:
        """Return one cell, or None if the method has none of that name."""
        return self.cells.get(name)

    def requires(self, basis: str) -> bool:
        """
        Whether a flag's source is a clause that this method requires to be followed.

        It is that of a cell with a publication, or the standard itself.
        """
        own = rf"{re.escape(self.designation)}(?![0-9])"
        return bool(re.match(own, basis)) or basis.startswith(self._clauses)

    @cached_property
    def _clauses(self) -> tuple[str, ...]:
        """The sources of the cells that a publication states."""
        published = (cell for cell in self.cells.values() if cell.status in PUBLISHED)
        return tuple(dict.fromkeys(cell.basis for cell in published))

    def word(self, name: str) -> str:
        """Return the standard's term, as for `water_content`; else the neutral one."""
        return self.words.get(name, name.replace("_", " "))

    @cached_property
    def gradation_limits(self) -> tuple[tuple[str, float, Cell], ...]:
        """Return the limits of the gradation: field of the sample, percent, cell."""
        lead = "gradation_"
        return tuple(
            (name.removeprefix(lead), cell.si, cell)
            for name, cell in self.cells.items()
            if name.startswith(lead)
        )

    @cached_property
    def oven_low_c(self) -> float:
        cell = self.cell("oven")
        return cell.si - (cell.si_tolerance or 0.0)

    @cached_property
    def oven_high_c(self) -> float:
        cell = self.cell("oven")
        return cell.si + (cell.si_tolerance or 0.0)

    def for_soil(self, lead: str, soil: str) -> Cell | None:
        """Return the cell named `lead…` that is for that soil, else for the others."""
        rest = None
        for name, cell in self.cells.items():
            if name.startswith(lead):
                if soil in cell.soils:
                    return cell
                if not cell.soils or "other" in cell.soils:
                    rest = cell
        return rest

    def standing(self, soil: str) -> Cell | None:
        """Return the cell behind `standing_hours`."""
        return self.for_soil("standing", soil)

    def standing_hours(self, soil: str) -> float | None:
        """
        Return the standing time of wetted soil of a class before compaction. [h]

        None where the standard has no requirement; 0 where it states none is needed.
        """
        found = self.standing(soil)
        return found.si if found else None

    def resolution(self, lead: str, unit: str) -> float | None:
        """Return the coarsest step by the cells `lead_…`, in `unit`: g, kg, lb."""
        grams = self.optional(f"{lead}_g")
        if unit == "kg":
            return grams.si if grams else None
        found = self.optional(f"{lead}_{unit}")
        return float(found.value) if found else None

    def report(self, quantity: str, unit: str) -> Rounding:
        """
        Return the rounding of a result reported in `unit`, else raise LookupError.

        A quantity without its own rows uses those of its family
        (`corrected_maximum_dry_density`: `maximum_dry_density`, then `density`). The
        unit is `%` for contents, empty for specific gravity.
        """
        return Rounding(self.reporting[self.reported_as(quantity, unit)])

    def reported_as(self, quantity: str, unit: str) -> tuple[str, str]:
        """Return the key of a result's rounding, else raise LookupError."""
        bare = quantity.removeprefix("corrected_")
        family = next((name for name in _FAMILIES if bare.endswith(name)), bare)
        for name in (quantity, bare, family):
            if (name, unit) in self.reporting:
                return name, unit
        raise LookupError(f"{self.designation}: no rounding for {quantity} in {unit!r}")

    def rows(self) -> Iterator[tuple[str, Cell]]:
        """Yield every cell with its label, in the order of the file."""
        from buildsite.standards.labels import label

        for name, cell in self.cells.items():
            yield label(name), cell
        for (quantity, unit), cell in self.reporting.items():
            yield reporting_label(quantity, unit), cell


def reporting_label(quantity: str, unit: str) -> str:
    """
    Return the label of the row that says how a quantity is rounded.

    >>> reporting_label("dry_density", "lb/ft3")
    'Dry density reported to, lb/ft³'
    """
    from buildsite.standards.labels import label

    to = f", {UNITS[unit].shown if unit in UNITS else unit}" if unit else ""
    return f"{label(quantity)} reported to{to}"
