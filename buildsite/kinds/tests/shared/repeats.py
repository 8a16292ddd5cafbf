"""Two tests of one sample by one method, compared by the repeatability, in words."""

from collections.abc import Callable, Iterable

from buildsite.kinds.kind import Compared
from buildsite.kinds.tests.shared.record import AnyTest, RecordOfWork, act_of
from buildsite.record.flags import Doubt
from buildsite.standards.cells import Cell
from buildsite.values import dataclass

OF_MEAN = "% of mean"
"""Unit of a repeatability in percent of the mean of the two results."""


@dataclass(frozen=True)
class Pair:
    """
    A result that both tests have.

    `label` is the standard's word for it, `stated` the cell of its repeatability if
    there is one; `difference_text` writes a difference as the result is reported, with
    so many more decimals.
    `soil` is the class by which some standards state the repeatability.
    """

    label: str
    one: float
    other: float
    stated: Cell | None
    difference_text: Callable[[float, int], str]
    soil: str = ""


def other_soils(cell: Cell, soil: str) -> str:
    """State that a limit is for other soils, where it is."""
    if not cell.soils or soil in cell.soils:
        return ""
    stated = ", ".join(one for one in cell.soils if one != "other")
    return f", stated for {stated} and used for {soil or 'this soil'} too"


def greatest_difference(cell: Cell, mean: float) -> float:
    """Return the greatest difference of two results, in SI."""
    return cell.si / 100 * mean if cell.unit == OF_MEAN else cell.si


def compare(earlier: AnyTest, later: AnyTest, pairs: Iterable[Pair]) -> Compared:
    """
    Return the comparison of two repeat tests, with a doubt if they differ too much.

    The doubt is on the later test, which can still be looked into.
    """
    first, last = earlier.record, later.record
    texts, apart = [], []
    for pair in pairs:
        words, wrong = compare_pair(pair)
        texts.append(words)
        apart += [(words, wrong)] if wrong is not None else []
    lead = f"{first.id} and {last.id}, repeat tests of {last.sample}"
    if not texts:
        return Compared(f"{lead}: no results in common.", None)
    lead += ", compared before rounding"
    words = f"{lead}: {'; '.join(texts)}.{two_operators(first, last)}"
    if not apart:
        return Compared(words, None)
    doubt = Doubt(
        field=("sample",),
        found=f"{'; '.join(text for text, _ in apart)} (the other test: {first.id})",
        expected="two results of one sample within the repeatability of the method",
        mend="check both tests for errors; else test a third portion before using one",
        basis=apart[0][1].basis,
    )
    return Compared(words, doubt)


def compare_pair(pair: Pair) -> tuple[str, Cell | None]:
    """Return the words on one difference, and the cell of its limit if exceeded."""
    apart, cell = abs(pair.other - pair.one), pair.stated
    if cell is None:
        words = f"{pair.label} differs by {pair.difference_text(apart, 0)}"
        return f"{words}; the standard states no repeatability", None
    most = greatest_difference(cell, (pair.one + pair.other) / 2)
    # The tolerance is for the last bit of a binary float.
    above = apart > most * (1 + 1e-9)
    how = "more than" if above else "within"
    decimals = MORE_DECIMALS if above else 0
    difference, limit = told_apart(pair, apart, most, decimals)
    source = f"{cell.basis}{other_soils(cell, pair.soil)}"
    text = f"{pair.label} differs by {difference}, {how} the {limit} of {source}"
    return text, cell if above else None


MORE_DECIMALS = 9
"""With these, even what differs by the tolerance of a float is told apart."""


def told_apart(pair: Pair, apart: float, most: float, decimals: int) -> tuple[str, str]:
    """Return a difference and its limit in as many more decimals as tell them apart."""
    texts = "", ""
    for more in range(decimals + 1):
        texts = pair.difference_text(apart, more), pair.difference_text(most, more)
        if texts[0] != texts[1]:
            break
    return texts


def two_operators(first: RecordOfWork, last: RecordOfWork) -> str:
    """State that the limit is for one operator, where two people did the work."""
    act = last.work.act
    one, other = act_of(first, act), act_of(last, act)
    if one is None or other is None or not one.by or not other.by or one.by == other.by:
        return ""
    who = f"{act.capitalize()} by {one.by} and {other.by}"
    return f" {who}; the limit is for one operator."
