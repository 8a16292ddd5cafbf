"""A specific gravity test ready to fill in: what `new specific-gravity` writes."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from buildsite.kinds.kind import Ask, Blank

if TYPE_CHECKING:
    from buildsite.kinds.archive_context import Around


def suggest(around: "Around") -> Mapping[str, str]:
    """Suggest what can be known. Imported when it is asked: `check` never does."""
    from buildsite.kinds.tests.shared.blank import equipment, method_of, reads_to
    from buildsite.kinds.tests.specific_gravity.model import SpecificGravityTest

    fits = {"balance": reads_to(0.00001)}
    return method_of(around) | equipment(around, SpecificGravityTest.work, fits)


LINE = (
    "  - {{pycnometer: , dry_soil: , pycnometer_soil_and_water: , temperature_c: }}\n"
)

TEXT = (
    """format: 1
kind: specific-gravity
id: {id}
project: {project}
sample: {sample}
standard: {{designation: {standard}, edition: {edition}, method: {method}}}
specimen:                   # moist | oven-dry
processed_through: No. 4
prepared: {{on: , by: }}
deaired: {{by: , hours: }}    # boiling | vacuum | heat and vacuum
tested: {{on: {on}, by: {by}}}
dried: {{on: , by: }}
entered: {{by: , checked_by: }}
status: in-progress         # in-progress | complete | withdrawn
units: {{mass: g}}
equipment: {{balance: {balance}, oven: {oven}, sieve: {sieve}}}
# Grains held back on the sieve, to be put to the others by dry mass:
# coarse: {{percent_retained: , specific_gravity: , basis: }}   # apparent | oven-dry
determinations:             # dry_soil, or container, container_mass, container_and_dry
"""
    + LINE * 2
    + """remarks: ""
"""
)

BLANK = Blank(
    TEXT,
    prefix="",
    asks=(
        Ask("project", "Project"),
        Ask("sample", "Sample"),
        Ask("standard", "Standard, such as AASHTO T 100", "AASHTO T 100"),
        Ask("edition", "Edition, such as 15"),
        Ask("method", "Method; none where the standard has one alone", "none"),
        Ask("on", "Tested on (YYYY-MM-DD)"),
        Ask("by", "Tested by (staff code)"),
    ),
    places=("balance", "oven", "sieve"),
    suggest=suggest,
)
