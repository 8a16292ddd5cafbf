"""Two tests of one sample by one method, held against the repeatability, in words."""

from collections.abc import Callable, Iterable

from buildsite.kinds.kind import Compared
from buildsite.kinds.tests.shared.record import AnyTest, RecordOfTest, act_of
from buildsite.record.flags import Doubt
from buildsite.standards.cells import Cell
from buildsite.values import dataclass

OF_MEAN = "% of mean"
"""Unit of a repeatability that is a share of the mean of the two results."""


@dataclass(frozen=True)
class Pair:
    """
    A result that both tests have.

    `label` is the standard's word for it, `stated` the cell of its repeatability where
    there is one, and `shown` writes a difference as the result itself is reported.
    `soil` is the class by which some standards state it.
    """

    label: str
    one: float
    other: float
    stated: Cell | None
    shown: Callable[[float], str]
    soil: str = ""


def other_soils(cell: Cell, soil: str) -> str:
    """Say where a limit is stated for other soils than the one at hand."""
    if not cell.soils or soil in cell.soils:
        return ""
    stated = ", ".join(one for one in cell.soils if one != "other")
    return f", stated for {stated} and taken for {soil or 'this soil'} too"


def greatest_difference(cell: Cell, mean: float) -> float:
    """Greatest difference of two results, in their own unit in SI."""
    return cell.si / 100 * mean if cell.unit == OF_MEAN else cell.si


def compare(earlier: AnyTest, later: AnyTest, pairs: Iterable[Pair]) -> Compared:
    """
    Say how far two repeat tests are apart, and whether that is more than is allowed.

    The later one is doubted: it is what a person can still look into.
    """
    first, last = earlier.record, later.record
    told, apart = [], []
    for pair in pairs:
        words, wrong = compare_pair(pair)
        told.append(words)
        apart += [(words, wrong)] if wrong is not None else []
    lead = f"{first.id} and {last.id}, repeat tests of {last.sample}"
    if not told:
        return Compared(f"{lead}: no two results to compare.", None)
    lead += ", compared before rounding"
    words = f"{lead}: {'; '.join(told)}.{two_operators(first, last)}"
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


def compare_pair(pair: Pair) -> tuple[str, Cell | None]:
    """Words on one difference, and the cell of its limit where it is above that."""
    apart = abs(pair.other - pair.one)
    words, cell = f"{pair.label} {pair.shown(apart)} apart", pair.stated
    if cell is None:
        return f"{words}, and the standard states no repeatability", None
    most = greatest_difference(cell, (pair.one + pair.other) / 2)
    # The play is for the last bit of a binary float, not for the soil.
    above = apart > most * (1 + 1e-9)
    how = "more than" if above else "within"
    source = f"{cell.basis}{other_soils(cell, pair.soil)}"
    told = f"{words}, {how} the {pair.shown(most)} of {source}"
    return told, cell if above else None


def two_operators(first: RecordOfTest, last: RecordOfTest) -> str:
    """Remind that the limit is one operator's, where two people did the work."""
    act = last.work.act
    one, other = act_of(first, act), act_of(last, act)
    if one is None or other is None or not one.by or not other.by or one.by == other.by:
        return ""
    return f" {one.by} and {other.by} {act}: the limit is that of one operator."
