"""The uncertainty budget of one test beside a Monte Carlo run on this machine."""

from buildsite.kinds.tests.moisture_density.uncertainty.monte_carlo import beside
from buildsite.validation.examples import Example, Recomputed
from buildsite.validation.records import compute_records

DRAWS = 10_000
"""A standard deviation is then known to 0.7 %."""


def budget_of_a_test(example: Example) -> Recomputed:
    """j02: drawn deviations over those of the budget, and what k = 2 covers."""
    record = {
        "kind": "moisture-density",
        "id": example.id,
        "project": "published",
        "sample": example.id,
        "status": "complete",
        "uncertainty": "yes",
        "compacted": {"on": "2026-11-05", "by": "T04"},
        **example.given,
    }
    made = compute_records(record)[example.id]
    found, (density, water) = beside(made.case, DRAWS)
    return Recomputed(
        {
            "maximum_over_budget": density.deviation / found.standard[0],
            "optimum_over_budget": water.deviation / found.standard[1],
            "maximum_covered": 100 * density.covered,
            "optimum_covered": 100 * water.covered,
        }
    )
