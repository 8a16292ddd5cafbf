"""Two coarse fractions of one sample by one method, compared by repeatability."""

from collections.abc import Iterator
from functools import partial

from buildsite.kinds.kind import Compared
from buildsite.kinds.reporting import finer, gravity_result, percent_result
from buildsite.kinds.tests.coarse_fraction.compute import Test
from buildsite.kinds.tests.shared import repeats
from buildsite.kinds.tests.shared.repeats import Pair

NAMES = {"bulk_specific_gravity": "bulk", "absorption": "absorption"}
"""Results with a repeatability in the standards, and their field in `Gravities`."""


def difference_text(case: Test, name: str, value: float, more: int) -> str:
    """Write a difference as the result is reported, with so many more decimals."""
    if name == "absorption":
        reported = percent_result(name, value, case.method).reported
        return f"{finer(reported, value, more)[:-2]} points"
    return finer(gravity_result(name, value, case.method).reported, value, more)


def pairs(earlier: Test, later: Test) -> Iterator[Pair]:
    """Return each result that both tests have."""
    one, other, method = earlier.values.gravities, later.values.gravities, later.method
    if one is None or other is None:
        return
    for name, field in NAMES.items():
        yield Pair(
            label=later.word(name),
            one=getattr(one, field),
            other=getattr(other, field),
            stated=method.optional(f"repeatability_{name}") if method else None,
            difference_text=partial(difference_text, later, name),
        )


def compared(earlier: Test, later: Test) -> Compared:
    """Return the comparison of two repeat tests."""
    return repeats.compare(earlier, later, pairs(earlier, later))
