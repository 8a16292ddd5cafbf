"""A coarse fraction ready to fill in: what `new coarse-fraction` writes."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from buildsite.kinds.kind import Ask, Blank
from buildsite.kinds.sieves import same_sieve

if TYPE_CHECKING:
    from buildsite.kinds.archive_context import Around


def suggest(around: "Around") -> Mapping[str, str]:
    """Suggest what can be known. Imported when it is asked: `check` never does."""
    from buildsite.kinds.tests.coarse_fraction.model import CoarseFraction
    from buildsite.kinds.tests.shared.blank import equipment, method_of, reads_to

    sieve = around.told.get("sieve", "")
    fits = {
        "moisture_balance": reads_to(0.0001),
        "gravity_balance": reads_to(0.001),
        "sieve": lambda one: same_sieve(one.opening, sieve),
    }
    found = equipment(around, CoarseFraction.work, fits)
    return method_of(around) | found | {"sieve": "", "sieve_id": found["sieve"]}


def fraction(sieve: str) -> str:
    """A line for what one sieve holds back."""
    return (
        f"  - {{{{retained_on: {sieve}, mass: , container: , container_mass: , "
        "container_and_wet: , container_and_dry: }}\n"
    )


BLANK = Blank(
    """format: 1
kind: coarse-fraction
id: {id}
project: {project}
sample: {sample}
standard: {{designation: {standard}, edition: {edition}, method: none,
  variant: none}}
sieve: {sieve}              # what it holds back is the oversize
nominal_maximum:            # of the stones, a sieve, such as 1 in
split_masses: moist         # moist | dry: as the fractions were weighed
before_soaking:             # dried | natural
tested: {{on: {on}, by: {by}}}
dried: {{on: , by: }}
entered: {{by: , checked_by: }}
status: in-progress         # in-progress | complete | withdrawn
units: {{split: g, moisture: g, gravity: g}}
equipment: {{balance: {balance}, moisture_balance: {moisture_balance},
  gravity_balance: {gravity_balance}, oven: {oven}, sieve: {sieve_id}}}
total_mass:                 # before sieving
fractions:                  # take out the lines of sieves that were not used
"""
    + "".join(map(fraction, ("3/4 in", "3/8 in", "No. 4", "pan")))
    + """soak: {{in: , out: , water_temperature_c: }}   # in, out: YYYY-MM-DDTHH:MM
specimens:
  - {{retained_on: {sieve}, surface_dry: , in_water: , oven_dry: }}
oven: {{in: , out: , temperature_c: }}
remarks: ""
""",
    prefix="",
    asks=(
        Ask("project", "Project"),
        Ask("sample", "Sample"),
        Ask("standard", "Standard, such as AASHTO T 85", "AASHTO T 85"),
        Ask("edition", "Edition, such as 22 or 12(2021)"),
        Ask("sieve", "Oversize sieve", "No. 4", ("3/4 in", "3/8 in", "No. 4")),
        Ask("on", "Sieved on (YYYY-MM-DD)"),
        Ask("by", "Sieved by (staff code)"),
    ),
    places=("balance", "moisture_balance", "gravity_balance", "oven", "sieve_id"),
    suggest=suggest,
)
