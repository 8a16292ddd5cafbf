"""Questions of several checks: sample, laboratory, completeness."""

from buildsite.kinds.answers import LaboratoryFacts, SampleFacts
from buildsite.kinds.tests.shared.record import AnyTest, sample_id
from buildsite.record.flags import Severity


def sample_of(case: AnyTest) -> SampleFacts | None:
    """Return the facts of the sample, where they are known."""
    return case.inputs.get(SampleFacts, sample_id(case.record))


def laboratory_of(case: AnyTest) -> LaboratoryFacts | None:
    """Return the facts of the laboratory, where they are known."""
    return case.inputs.get(LaboratoryFacts, "lab")


def is_complete(case: AnyTest) -> bool:
    """Whether the status of the test is complete."""
    status: str = case.record.status
    return status == "complete"


def gap_severity(case: AnyTest) -> Severity:
    """Return the severity of missing data: a note until the test is complete."""
    return Severity.ERROR if is_complete(case) else Severity.NOTE


def points_text(numbers: list[int]) -> str:
    """
    Return points by their numbers.

    >>> points_text([1]), points_text([1, 2, 4])
    ('point 1', 'points 1, 2, 4')
    """
    what = "point" if len(numbers) == 1 else "points"
    return f"{what} {', '.join(str(number) for number in numbers)}"
