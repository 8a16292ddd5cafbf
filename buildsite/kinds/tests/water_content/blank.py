"""A water content ready to fill in: what `new water-content` writes."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from buildsite.kinds.kind import Ask, Blank

if TYPE_CHECKING:
    from buildsite.kinds.archive_context import Around


def suggest(around: "Around") -> Mapping[str, str]:
    """Suggest what can be known. Imported when it is asked: `check` never does."""
    from buildsite.kinds.tests.shared.suggest import equipment, method_of, reads_to
    from buildsite.kinds.tests.water_content.model import WaterContent

    fine = {"moisture_balance": reads_to(0.0001)}
    return method_of(around) | equipment(around, WaterContent.work, fine)


CONTAINER = (
    "  - {{container: , container_mass: , container_and_wet: , container_and_dry: }}\n"
)

BLANK = Blank(
    """format: 1
kind: water-content
id: {id}
project: {project}
sample: {sample}
standard: {{designation: {standard}, edition: {edition}, method: {method},
  variant: none}}
largest_particle:           # the finest sieve that all of it passes, such as No. 4
left_out:                   # material left out of the specimen, if any
tested: {{on: {on}, by: {by}}}
dried: {{on: , by: }}
entered: {{by: , checked_by: }}
status: in-progress         # in-progress | complete | withdrawn
units: {{moisture: g}}
equipment: {{moisture_balance: {moisture_balance}, oven: {oven}}}
containers:
"""
    + CONTAINER
    + """oven: {{in: , out: , temperature_c: }}   # in, out: YYYY-MM-DDTHH:MM
remarks: ""
""",
    prefix="",
    asks=(
        Ask("project", "Project"),
        Ask("sample", "Sample"),
        Ask("standard", "Standard, such as AASHTO T 265", "AASHTO T 265"),
        Ask("edition", "Edition, such as 22 or 12(2021)"),
        Ask("method", "Method (A or B of ASTM D2216; none: T 265 has one)", "none"),
        Ask("on", "Weighed wet on (YYYY-MM-DD)"),
        Ask("by", "Weighed wet by (staff code)"),
    ),
    places=("moisture_balance", "oven"),
    suggest=suggest,
)
