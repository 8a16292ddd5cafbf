"""Whether there are enough points, and whether they go far enough."""

from collections.abc import Iterator

from buildsite.kinds.tests.moisture_density.compute import FEWEST_POINTS, Test
from buildsite.kinds.tests.moisture_density.rules.common import (
    density,
    field_of,
    note_until_complete,
    percent,
)
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.record.flags import Doubt, Rule, warning
from buildsite.standards.cells import Cell


@warning("too-few-points", "the method's least number of points")
def too_few_points(case: Test) -> Iterator[Doubt]:
    """Fewer points that count than the method asks for."""
    cell = case.cell("least_points")
    least = int(cell.value) if cell is not None else FEWEST_POINTS
    count = len(case.values.on_curve)
    if case.record.points and count < least:
        made = [point for point in case.record.points if point.model_fields_set]
        left_out = max(len(made) - count, 0)
        kept = sum(point.rejected is None for point in made)
        yield Doubt(
            field=("points",),
            found=f"{count} that count"
            + (f", {left_out} that do not" * bool(left_out)),
            expected=f"{least} or more",
            mend="mend what leaves the others out"
            if kept >= least
            else "compact more points, on the side of the optimum that has fewer",
            severity=note_until_complete(case),
            basis=cell.basis if cell is not None else None,
        )


@warning("too-few-points-on-a-side", "the method's least number of points on each side")
def too_few_points_on_a_side(case: Test) -> Iterator[Doubt]:
    """Fewer points dry or wet of the optimum than the method asks for."""
    cell = case.cell("least_points_each_side")
    optimum = case.values.optimum_water_content
    if cell is None or optimum is None:
        return
    waters = [point.water_content or 0.0 for point in case.values.on_curve]
    sides = {
        "dry": sum(water < optimum for water in waters),
        "wet": sum(water > optimum for water in waters),
    }
    for side, count in sides.items():
        if count < int(cell.value):
            yield Doubt(
                field=("points",),
                found=f"{count} {side} of the optimum, {percent(optimum)}",
                expected=f"{cell.value} or more on each side",
                mend=f"compact a {'drier' if side == 'dry' else 'wetter'} point",
                severity=note_until_complete(case),
                basis=cell.basis,
            )


@warning("stopped-before-wet-mass-fell", "the method's rule for ending the series")
def stopped_before_wet_mass_fell(case: Test) -> Iterator[Doubt]:
    """A series that ended while the wet mass still rose, where it is to go on."""
    cell = wet_mass_cell(case)
    known = [point for point in case.values.on_curve if point.wet_density is not None]
    if cell is None or len(known) < FEWEST_POINTS:
        return
    before, last = known[-2:]
    if wet_density_of(last) > wet_density_of(before) * (1 + 1e-9):
        yield Doubt(
            field=field_of(last),
            found=f"wet density up from {density(case, before.wet_density)} to "
            f"{density(case, last.wet_density)} at the wettest point",
            expected="a wettest point at which it falls or stays",
            mend="add water and compact one more",
            severity=note_until_complete(case),
            basis=cell.basis,
        )


def wet_mass_cell(case: Test) -> Cell | None:
    """Cell of a method that goes on until the wet mass falls or stays."""
    cell = case.cell("stop_when_wet_mass_falls")
    return cell if cell is not None and cell.value == "yes" else None


def wet_density_of(point: PointValues) -> float:
    """Wet density of a point that is known to have one."""
    return point.wet_density if point.wet_density is not None else 0.0


RULES: tuple[Rule[Test], ...] = (
    too_few_points,
    too_few_points_on_a_side,
    stopped_before_wet_mass_fell,
)
