"""What a record states of the soil itself, or the test of it that it names."""

from buildsite.kinds.answers import OversizeFact, SpecificGravityFact
from buildsite.kinds.kind import Inputs
from buildsite.record.parts import Oversize, SpecificGravity


def stated_gravity(
    stated: SpecificGravity | None, id: str, inputs: Inputs
) -> SpecificGravityFact | None:
    """Return the specific gravity that a record of that id states, or its test has."""
    if stated is None:
        return None
    if stated.test is not None:
        return inputs.get(SpecificGravityFact, stated.test)
    if stated.value is None:
        return None
    return SpecificGravityFact(
        stated.value,
        stated.basis or "assumed",
        stated.water_temperature_c,
        id,
        given_by=stated.given_by or "",
    )


def stated_oversize(
    stated: Oversize | None, id: str, inputs: Inputs
) -> OversizeFact | None:
    """Return the oversize that a record of that id states, or its test has."""
    if stated is None:
        return None
    if stated.test is not None:
        return inputs.get(OversizeFact, stated.test)
    if stated.percent_retained is None:
        return None
    return OversizeFact(
        stated.sieve or "",
        stated.percent_retained,
        stated.bulk_specific_gravity,
        stated.bulk_basis,
        stated.water_content,
        stated.absorption,
        id,
        given_by=stated.given_by or "",
    )
