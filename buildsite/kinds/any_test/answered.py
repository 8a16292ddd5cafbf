"""What the checks of several subjects ask: answers, weights, bands of a cell."""

from buildsite.kinds.answers import LaboratoryFacts, SampleFacts
from buildsite.kinds.any_test.record import AnyTest
from buildsite.record.flags import Severity
from buildsite.standards.cells import Cell, Printed

HAIR = 1e-9
"""Relative play for values that stand on a limit and were taken to SI."""


def sample_of(case: AnyTest) -> SampleFacts | None:
    """The sample, where it could be asked."""
    return case.inputs.get(SampleFacts, case.record.sample)


def laboratory_of(case: AnyTest) -> LaboratoryFacts | None:
    """The laboratory, where it could be asked."""
    return case.inputs.get(LaboratoryFacts, "lab")


def is_complete(case: AnyTest) -> bool:
    """Whether the test claims to be complete."""
    status: str = case.record.status
    return status == "complete"


def weight_of_gap(case: AnyTest) -> Severity:
    """What data without which nothing follows weighs: a note until complete."""
    return Severity.ERROR if is_complete(case) else Severity.NOTE


def within(cell: Cell, value: float, more_percent: float = 0.0) -> bool:
    """
    Whether an SI value is within a cell's tolerance, in either of its unit systems.

    Parameters
    ----------
    cell
        A figure with its tolerance; one without a tolerance holds everything.
    value
        In SI.
    more_percent
        How far the tolerance may be exceeded, percent of it.
    """
    bands = [band for band in (cell.printed, cell.also) if band is not None]
    return any(_within(band, value, more_percent) for band in bands)


def _within(band: Printed, value: float, more_percent: float) -> bool:
    tolerance = band.si_tolerance
    if tolerance is None:
        return True
    allowed = tolerance * (1 + more_percent / 100)
    return abs(value - band.si) <= allowed + HAIR * band.si


def listed(numbers: list[int]) -> str:
    """
    Name points by their numbers.

    >>> listed([1]), listed([1, 2, 4])
    ('point 1', 'points 1, 2, 4')
    """
    what = "point" if len(numbers) == 1 else "points"
    return f"{what} {', '.join(str(number) for number in numbers)}"
