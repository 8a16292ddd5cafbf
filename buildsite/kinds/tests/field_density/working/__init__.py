"""The working of a field density: water, density, comparison, verdict."""

from buildsite.kinds.steps import Steps
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.working.comparison import (
    comparison_steps,
    verdict_steps,
)
from buildsite.kinds.tests.field_density.working.density import density_steps
from buildsite.kinds.tests.field_density.working.water import water_steps
from buildsite.kinds.tests.shared.working import capital, unit_note, words_of


def working(case: Test) -> tuple[Steps, ...]:
    """Return every step from the readings to the verdict."""
    unit = case.values.density_unit
    words = words_of(case.method, unit)
    verdict = case.values.verdict
    parts = (
        Steps("water", capital(words["water content"]), tuple(water_steps(case))),
        Steps("density", capital(words["dry density"]), tuple(density_steps(case))),
        Steps(
            "comparison",
            "Comparison with the reference",
            tuple(comparison_steps(case)),
            (f"{capital(case.values.compared.why_not)}.",)
            if case.values.compared.why_not
            else (),
        ),
        Steps(
            "verdict",
            "Verdict",
            tuple(verdict_steps(case)),
            (f"{VERDICTS[verdict.verdict]}: {verdict.why}.",),
        ),
        Steps("units", "Units", (), unit_note(unit)),
    )
    return tuple(one for one in parts if one.steps or one.paragraphs)


VERDICTS = {"pass": "Pass", "fail": "Fail", "none": "No verdict"}
