"""The budget of a test beside a Monte Carlo run over the same inputs."""

from collections.abc import Sequence
from math import fsum

from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.uncertainty.budget import Budget, budget
from buildsite.kinds.tests.moisture_density.uncertainty.inputs import (
    NORMAL,
    ModelInputs,
)
from buildsite.kinds.tests.moisture_density.uncertainty.model import model_of
from buildsite.soil.monte_carlo import Drawn, drawn
from buildsite.soil.uncertainty import Quantity


def beside(case: Test, draws: int) -> tuple[Budget, tuple[Drawn, ...]]:
    """
    Return the budget, and how maximum [kg/m³] and optimum [%] spread when drawn.

    Readings go through the computation of the test; what is an uncertainty of the
    results themselves (choice of curve, compaction) is drawn and added to them.
    """
    made = budget(case)
    if not isinstance(made, Budget):
        raise ValueError(f"no budget to compare with: {made}")
    readings = ModelInputs(case)
    model = model_of(readings)
    idle = {
        one.quantity
        for one in made.components
        if not made.counts(one, 0) and not made.counts(one, 1)
    }
    inputs = [
        Quantity(one.quantity.value, 0.0) if one.group in idle else one.quantity
        for one in readings.inputs
    ]
    normal = [one.distribution == NORMAL for one in readings.inputs]
    count = len(inputs)
    own = [
        one
        for one in made.components
        if one.unit == "" and one.value is None and one.quantity not in idle
    ]
    for one in own:
        inputs += [Quantity(0.0, standard) for standard in one.standard]
        normal += [one.distribution == NORMAL] * len(one.standard)

    def whole(x: Sequence[float]) -> tuple[float, float]:
        density, water = model(x[:count])
        return density + fsum(x[count::2]), water + fsum(x[count + 1 :: 2])

    return made, drawn(whole, inputs, normal, made.expanded, draws)
