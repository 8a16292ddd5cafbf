"""
How well one point leads to a curve of a family: docs/one-point.md.

Write it again with `python -m tests.soil.one_point_evidence`; a test checks it is
current.
"""

from collections.abc import Iterator, Sequence
from functools import cache
from itertools import pairwise
from math import fsum
from pathlib import Path
from random import Random
from typing import NamedTuple

from buildsite.soil.curves.family import (
    LEAST,
    MOST,
    ON_CURVE,
    SAME_RESULT,
    TYPICAL_DENSITY,
    TYPICAL_WATER,
    Found,
    Member,
    Refused,
    find,
)
from tests.soil.curve_evidence import table
from tests.soil.family_sets import (
    FAMILY,
    MADE_UP,
    Tested,
    demo,
    laboratory,
    published,
)
from tests.soil.known_peaks import DENSITY_SCATTER, WATER_READ, Truth, rms
from tests.soil.one_point_rules import RULES, by_rule

PAGE = Path(__file__).parents[2] / "docs" / "one-point.md"
WORDS = Path(__file__).with_name("one_point_words.md")
TRIALS = 60
BANDS = (80, 85, 90, 95, 100)


class Trial(NamedTuple):
    """A point of a curve that was left out, and what the others make of it."""

    left_out: Tested
    water: float
    density: float
    percent: float  # of its own optimum
    result: Found | Refused

    @property
    def errors(self) -> tuple[float, float] | None:
        """Errors of density, % of it, and of optimum, points; None if refused."""
        if isinstance(self.result, Refused):
            return None
        own, other = self.left_out.member, self.result.curve
        return 100 * (other.peak / own.peak - 1), other.optimum - own.optimum


def left_out(family: Sequence[Tested]) -> Iterator[Trial]:
    """Leave each curve out, and look for it again from each of its own points."""
    for one in family:
        others = [other.member for other in family if other is not one]
        for water, density in one.points:
            percent = 100 * water / one.member.optimum
            if round(percent) >= LEAST:
                result = find(others, water, density)
                yield Trial(one, water, density, percent, result)


def is_dry(trial: Trial) -> bool:
    """Whether a point is where T 272 wants it: on the dry side of its own optimum."""
    return round(trial.percent) <= MOST


def families() -> dict[str, tuple[Tested, ...]]:
    """Published and demo sets, by title."""
    return {"published": published(), **demo()}


def trials_table(family: Sequence[Tested]) -> str:
    """List every dry-side point of a family's curves, each left out."""
    rows = []
    for trial in left_out(family):
        if not is_dry(trial):
            continue
        own = trial.left_out.member
        rows.append(
            [
                own.id,
                f"{own.peak:.0f} at {own.optimum:.1f}",
                f"{trial.density:.0f} at {trial.water:.1f}",
                f"{trial.percent:.0f}",
                *found_cells(trial),
            ]
        )
    head = ["left out", "its peak", "point", "% of its optimum", "found", "peak found"]
    return table([*head, "error of maximum, %", "of optimum, points"], rows)


def found_cells(trial: Trial) -> list[str]:
    """Write what was found, and its errors."""
    result = trial.result
    if isinstance(result, Refused):
        return [f"refused: `{result.reason}`", "", "", ""]
    where = ("on " if result.rule == "on-member" else "") + " / ".join(result.members)
    density, water = trial.errors or (0.0, 0.0)
    peak = f"{result.curve.peak:.0f} at {result.curve.optimum:.1f}"
    return [where, peak, f"{density:+.1f}", f"{water:+.1f}"]


def sums(errors: Sequence[tuple[float, float]]) -> list[str]:
    """Write bias, root mean square and worst of density, then of optimum."""
    cells = []
    for values in zip(*errors, strict=True):
        bias = round(fsum(values) / len(values), 2) + 0.0
        cells.append(f"{bias:+.2f}, {rms(values):.2f}, {max(map(abs, values)):.2f}")
    return cells or ["", ""]


def sides_table() -> str:
    """Sum up dry-side and wet-side points of every set."""
    rows = []
    for title, family in families().items():
        every = [*left_out(family)]
        for side, wanted in (("dry", True), ("wet", False)):
            some = [trial for trial in every if is_dry(trial) is wanted]
            good = [trial.errors for trial in some if trial.errors]
            refused = len(some) - len(good)
            row = [title, side, str(len(some)), str(refused), *sums(good)]
            rows.append(row)
    head = ["sets", "side of its own optimum", "points", "refused"]
    return table([*head, "maximum, %: bias, rms, worst", "optimum, points"], rows)


class Made(NamedTuple):
    """One trial of a made-up family: the truth, the members and the point."""

    truth: Truth
    members: list[Member]
    water: float
    density: float

    def errors(self, curve: Member) -> tuple[float, float]:
        """Errors of a curve that was found."""
        _, water, density = self.truth
        return 100 * (curve.peak / density - 1), curve.optimum - water


@cache
def made_up(scale: float, band: tuple[float, float]) -> tuple[Made, ...]:
    """Make soils within two families, and a point of each in a band of its optimum."""
    return tuple(_made_up(scale, band))


def _made_up(scale: float, band: tuple[float, float]) -> Iterator[Made]:
    """Make them one after the other, by chance."""
    chance = Random(272)  # noqa: S311  # a seed for trials, no secret
    for soil_of, members_at in MADE_UP.values():
        for _ in range(TRIALS // 2):
            tests = (laboratory(soil_of(at), chance, scale) for at in members_at)
            members = [test.member for test in tests if test is not None]
            truth = soil_of(chance.uniform(members_at[0], members_at[-1]))
            line, optimum, _ = truth
            water = optimum * chance.uniform(*band) / 100
            density = line(water) * (1 + scale * chance.gauss(0, DENSITY_SCATTER))
            read = water + scale * chance.gauss(0, WATER_READ)
            # The wet density stands; a wrong water content makes a wrong dry density.
            dry = density * (1 + water / 100) / (1 + read / 100)
            yield Made(truth, members, read, dry)


def bands_table() -> str:
    """List errors in made-up families by how dry the point is."""
    rows = []
    for scale, words in ((0.0, "exact"), (1.0, "as in real tests")):
        for band in [*pairwise(BANDS), (100, 110)]:
            good, refused = [], 0
            for made in made_up(scale, band):
                result = find(made.members, made.water, made.density)
                if isinstance(result, Refused):
                    refused += 1
                else:
                    good.append(made.errors(result.curve))
            share = f"{100 * refused / TRIALS:.0f}"
            rows.append([words, "{} to {}".format(*band), share, *sums(good)])
    head = ["readings", "point, % of its optimum", "refused, %"]
    return table([*head, "maximum, %: bias, rms, worst", "optimum, points"], rows)


def rules_table() -> str:
    """Compare the rule with others: published, demo and made-up points."""
    rows = []
    for title in RULES:
        good: list[tuple[float, float]] = []
        for family in families().values():
            for trial in filter(is_dry, left_out(family)):
                others = [one.member for one in family if one is not trial.left_out]
                curve = by_rule(title, others, trial.water, trial.density)
                if curve is not None and trial.errors:
                    own = trial.left_out.member
                    ratio = 100 * (curve.peak / own.peak - 1)
                    good.append((ratio, curve.optimum - own.optimum))
        exact = []
        for made in made_up(0.0, (80, 100)):
            curve = by_rule(title, made.members, made.water, made.density)
            if curve is not None:
                exact.append(made.errors(curve))
        cells = (*sums(good), *sums(exact))
        rows.append([title, *cells])
    head = ["shape between two members", "sets: maximum, %", "optimum, points"]
    return table([*head, "made up, exact: maximum, %", "optimum, points"], rows)


def page() -> str:
    """Put the page together from its words and its tables."""
    return WORDS.read_text(encoding="utf-8").format(
        least=f"{LEAST:g}",
        most=f"{MOST:g}",
        on_curve=f"{100 * ON_CURVE:g} %",
        typical_density=f"{TYPICAL_DENSITY:g}",
        typical_water=f"{TYPICAL_WATER:g}",
        same=f"{100 * SAME_RESULT:g} %",
        family=trials_table(demo()[FAMILY]),
        published=trials_table(published()),
        standard=trials_table(demo()["demo, standard effort"]),
        modified=trials_table(demo()["demo, modified effort"]),
        sides=sides_table(),
        bands=bands_table(),
        rules=rules_table(),
        trials=TRIALS,
        density_scatter=f"{100 * DENSITY_SCATTER:g} %",
        water_read=f"{WATER_READ:g}",
    )


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
