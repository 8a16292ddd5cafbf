"""Two compaction tests of one sample by one method, held against the repeatability."""

from collections.abc import Iterator

from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.kind import Compared
from buildsite.kinds.moisture_density.case import Test
from buildsite.kinds.reporting import density_result, percent_result, printed, word
from buildsite.record.flags import Doubt
from buildsite.standards.cells import Cell
from buildsite.standards.tables import Method

OF_MEAN = "% of mean"
"""Unit of a repeatability that is a share of the mean of the two results."""

DENSITY, OPTIMUM = "maximum_dry_density", "optimum_water_content"


def limit(cell: Cell, mean: float) -> float:
    """Greatest difference of two results, in their own unit in SI."""
    return cell.si / 100 * mean if cell.unit == OF_MEAN else cell.si


def shown(case: Test, name: str, value: float) -> str:
    """Write a difference as the result itself is reported."""
    if name == DENSITY:
        unit = case.values.density_unit
        return printed(density_result(name, value, case.method, unit))
    return f"{percent_result(name, value, case.method).reported[:-2]} points"


def of_soil(case: Test) -> str:
    """Class of the soil, by which some standards state their precision."""
    sample = case.inputs.get(SampleFacts, case.record.sample)
    return sample.soil_class if sample is not None else ""


def pairs(earlier: Test, later: Test) -> Iterator[tuple[str, float, float]]:
    """Each result that both have."""
    for name in (DENSITY, OPTIMUM):
        one, other = getattr(earlier.values, name), getattr(later.values, name)
        if one is not None and other is not None:
            yield name, one, other


def stated(method: Method, soil: str, name: str) -> Cell | None:
    """Repeatability of a result, where the standard states one."""
    quantity = "density" if name == DENSITY else "water_content"
    return method.for_soil(f"repeatability_{quantity}", soil)


def compared(earlier: Test, later: Test) -> Compared:
    """
    Say how far two repeat tests are apart, and whether that is more than is allowed.

    The later one is doubted: it is what a person can still look into.
    """
    first, last = earlier.record, later.record
    told, apart = [], []
    for name, one, other in pairs(earlier, later):
        words, wrong = judged(later, name, one, other)
        told.append(words)
        apart += [(words, wrong)] if wrong is not None else []
    lead = f"{first.id} and {last.id}, repeat tests of {last.sample}"
    if not told:
        return Compared(f"{lead}: no two results to compare.", None)
    words = f"{lead}: {'; '.join(told)}.{by_two(earlier, later)}"
    if not apart:
        return Compared(words, None)
    doubt = Doubt(
        field=("sample",),
        found=f"{'; '.join(text for text, _ in apart)} (the other test: {first.id})",
        expected="two results of one sample within the repeatability of the method",
        mend="look for a slip in either; else test a third portion before one is used",
        basis=apart[0][1].basis,
    )
    return Compared(words, doubt)


def judged(case: Test, name: str, one: float, other: float) -> tuple[str, Cell | None]:
    """Words on one difference, and the cell of its limit where it is above that."""
    label = word(case.method, name, case.values.density_unit)
    words = f"{label} {shown(case, name, abs(other - one))} apart"
    cell = stated(case.method, of_soil(case), name) if case.method else None
    if cell is None:
        return f"{words}, and the standard states no repeatability", None
    most = limit(cell, (one + other) / 2)
    # The play is for the last bit of a binary float, not for the soil.
    above = abs(other - one) > most * (1 + 1e-9)
    how = "more than" if above else "within"
    return f"{words}, {how} the {shown(case, name, most)} of {cell.basis}", (
        cell if above else None
    )


def by_two(earlier: Test, later: Test) -> str:
    """Remind that the limit is one operator's, where two people compacted."""
    one, other = earlier.record.compacted.by, later.record.compacted.by
    if one is None or other is None or one == other:
        return ""
    return f" {one} and {other} compacted: the limit is that of one operator."
