"""Every check of a specific gravity test, by subject."""

from decimal import Decimal

from buildsite.kinds.tests.shared.record import AnyTest
from buildsite.kinds.tests.shared.rules import dates, equipment, shared
from buildsite.kinds.tests.specific_gravity.case import Test
from buildsite.kinds.tests.specific_gravity.rules import (
    method,
    pycnometers,
    readings,
    values,
)
from buildsite.record.flags import Rule


def weighed(case: AnyTest) -> dict[str, tuple[list[Decimal], str | None]]:
    """Readings of the balance, and their unit."""
    masses = []
    for one in case.record.determinations:
        masses += [one.pycnometer_mass, one.pycnometer_and_water, one.dry_soil]
        masses += [one.pycnometer_soil_and_water, *(one.container_and_dry or ())]
    known = [mass for mass in masses if mass is not None]
    return {"balance": (known, case.record.units.mass)}


RULES: tuple[Rule[Test], ...] = (
    *shared("specific-gravity"),
    dates.UNDATED,
    *equipment.rules_of(weighed, {"balance": ("resolution_mass_g",)}),
    *readings.RULES,
    *pycnometers.RULES,
    *values.RULES,
    *method.RULES,
)
