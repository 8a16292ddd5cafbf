"""Checks of what a laboratory chose where the standards leave it a choice."""

from collections.abc import Iterator
from typing import Any

from buildsite.kinds.kind import Case
from buildsite.record.flags import Doubt, Rule, warning

USUAL_LEAST = (1.0, 10.0)
"""Least oversize to correct for: 5 % by AASHTO T 99 and ASTM D4718, 10 % by some
agencies (Arizona 227d, Virginia). [%]"""


@warning("oversize-least-unusual", "AASHTO T 99-19, 1.4; ARIZ 227d (November 2016)")
def oversize_least_unusual(case: Case[Any, None]) -> Iterator[Doubt]:
    """The least oversize to correct for is far from that of any standard."""
    least, (low, high) = case.record.procedures.oversize_least_percent, USUAL_LEAST
    if least is not None and least != 0 and not low <= float(least) <= high:
        yield Doubt(
            field=("procedures", "oversize_least_percent"),
            found=f"{least} %",
            expected=f"{low:g} to {high:g} %, or 0 to correct for any oversize",
            mend="check the decimal point and that it is a percent: less oversize than "
            "this is corrected for in no test of the laboratory",
        )


RULES: tuple[Rule[Case[Any, None]], ...] = (oversize_least_unusual,)
