"""The working of a water content test: each container, and their mean."""

from buildsite.kinds.steps import Steps
from buildsite.kinds.tests.shared.working import (
    Portion,
    capital,
    portion_steps,
    result_line,
    rounded_as,
    rounding_row,
    words_of,
)
from buildsite.kinds.tests.water_content.model import Test

RESULT = "water_content"


def working(case: Test) -> tuple[Steps, ...]:
    """Return every step from the masses to the result."""
    if RESULT not in case.results:
        return ()
    name = capital(words_of(case.method)["water content"])
    portions = [
        Portion(("containers", i), one, found.water_content, found.rejected)
        for i, (one, found) in enumerate(
            zip(case.record.containers, case.values.containers, strict=True)
        )
    ]
    steps = portion_steps(
        case.method,
        case.record.units.moisture,
        portions,
        result_line(case, RESULT),
        name,
        rounded_as(case, RESULT),
        rounding_row(case, RESULT),
    )
    return (Steps("steps", name, tuple(steps)),)
