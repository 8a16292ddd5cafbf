"""Specimens of one size, weighed side by side: how far apart they may come out."""

from collections.abc import Callable, Iterator

from buildsite.kinds.reporting import shown_places
from buildsite.kinds.tests.coarse_fraction.case import Test
from buildsite.kinds.tests.coarse_fraction.particles import Gravities, by_size
from buildsite.kinds.tests.shared.repeats import limit
from buildsite.record.flags import Doubt, Rule, Severity

OF_SEVERAL = {2: 2.8, 3: 3.3, 4: 3.6, 5: 3.9}
"""Range that so many results of one operator may have, over their standard deviation:
ISO 5725-6:1994, table 1, and ASTM C670 (from memory). Of more, that of five stands."""

JUDGED: tuple[tuple[str, str, Callable[[Gravities], float], int], ...] = (
    ("bulk_specific_gravity", "", lambda one: one.bulk, 3),
    ("absorption", " %", lambda one: one.absorption, 2),
)
"""Result, its unit, where it stands, and decimals to show."""


def specimens_disagree(case: Test) -> Iterator[Doubt]:
    """Specimens of one size farther apart than the method's repeatability allows."""
    if case.method is None:
        return
    for group in by_size(case.values.stones, case.values.opening_mm).values():
        found = [one.found for one in group if one.found is not None]
        if len(found) < 2:
            continue
        for name, unit, of, places in JUDGED:
            cell = case.method.optional(f"repeatability_{name}")
            if cell is None:
                continue
            low, *_, high = sorted(map(of, found))
            several = OF_SEVERAL[min(len(found), max(OF_SEVERAL))] / OF_SEVERAL[2]
            most = limit(cell, (low + high) / 2) * several
            if high - low > most * (1 + 1e-9):
                yield Doubt(
                    field=("specimens",),
                    found=f"{case.method.word(name)} {shown_places(low, places)} to "
                    f"{shown_places(high, places)}{unit}",
                    expected=f"{len(found)} specimens of one size at most "
                    f"{shown_places(most, places)}{unit} apart",
                    mend="look for air under the stones, a wet surface or a slip; "
                    "reject the one that went wrong and say why, or test another",
                    basis=cell.basis,
                )


RULES: tuple[Rule[Test], ...] = (
    Rule(
        "specimens-disagree",
        Severity.WARNING,
        "the method's repeatability",
        specimens_disagree,
    ),
)
