"""Published beside computed, and what a careful reader concludes."""

from collections.abc import Callable, Mapping
from enum import StrEnum
from typing import Any

from buildsite.record.flags import Field, Flag, Severity
from buildsite.soil.rounding import round_half_even
from buildsite.validation import (
    compaction_tests,
    field_tests,
    formulas,
    monte_carlo,
    other_tests,
)
from buildsite.validation.examples import (
    NONE,
    Example,
    Expected,
    Recomputed,
    examples,
)
from buildsite.values import dataclass

RECOMPUTE: dict[str, Callable[[Example], Recomputed]] = {
    "b01": compaction_tests.corrected_for_gravel,
    "b02": compaction_tests.dry_soil,
    "b03": compaction_tests.compaction,
    "b04": compaction_tests.printed_parabola,
    "b05": compaction_tests.compaction,
    "b06": compaction_tests.field_air_voids,
    "b07": formulas.zero_air_voids,
    "b08": formulas.added_water,
    "b09": formulas.whole_soil,
    "b11": compaction_tests.first_wet_density,
    "b12": formulas.efforts,
    "b14": compaction_tests.inconsistent,
    "b15": compaction_tests.filled_with_water,
    "b16": compaction_tests.cylinder,
    "b17": compaction_tests.drive_cylinders,
    "b18": compaction_tests.compaction,
    "b19": formulas.with_oversize,
    "b20": formulas.without_oversize,
    "c01": other_tests.coarse_particles,
    "c02": other_tests.coarse_particles,
    "c03": other_tests.coarse_particles,
    "c04": other_tests.coarse_particles,
    "c05": other_tests.sizes_together,
    "c06": other_tests.sieve_split,
    "d01": field_tests.sand_cone,
    "d02": field_tests.sand_cone,
    "d03": field_tests.sand_cone,
    "d04": field_tests.sand_cone,
    "d05": field_tests.sand_cone,
    "d06": field_tests.target,
    "d07": field_tests.water_window,
    "g01": other_tests.specific_gravity,
    "g02": other_tests.specific_gravity,
    "j01": formulas.end_gauge,
    "j02": monte_carlo.budget_of_a_test,
    "m01": other_tests.water_contents,
    "m02": other_tests.water_contents,
    "m03": other_tests.water_contents,
    "m04": other_tests.water_contents,
    "m05": other_tests.water_contents,
    "r01": formulas.repeatability,
    "w01": formulas.water,
    "w02": formulas.water,
}
"""How each example is computed: as records, else by its formula."""


class Verdict(StrEnum):
    """What becomes of a figure or of a flag."""

    AGREES = "agrees"
    DIFFERS = "differs"
    SLIP = "slip"  # the printed figure is off, the mended one agrees
    NO_SLIP = "no slip"  # the printed figure was called a slip, and agrees
    RAISED = "raised"
    NOT_RAISED = "not raised"
    SILENT = "silent"  # a flag that must not be raised is not
    FALSE_ALARM = "false alarm"

    @property
    def good(self) -> bool:
        """Whether the program does as it should."""
        return self in GOOD


GOOD = (Verdict.AGREES, Verdict.SLIP, Verdict.RAISED, Verdict.SILENT)


@dataclass(frozen=True)
class Row:
    """One published figure beside what was computed, both in the printed unit."""

    quantity: str
    column: str  # the quantity without the number of the point
    unit: str
    published: str
    computed: str  # rounded as printed
    value: float | None  # unrounded
    tolerance: str
    because: str
    verdict: Verdict
    mended: str | None  # what follows where the printed figure does not
    slip: str


@dataclass(frozen=True)
class FlagRow:
    """One flag that must be raised, or must not be, and whether it was."""

    flag: str
    points: tuple[int, ...]
    verdict: Verdict


@dataclass(frozen=True)
class Comparison:
    """One example, recomputed."""

    example: Example
    rows: tuple[Row, ...]
    flags: tuple[FlagRow, ...]

    @property
    def good(self) -> bool:
        """Whether nothing differs and every flag is as it should be."""
        return all(found.good for found in self.verdicts)

    @property
    def verdicts(self) -> tuple[Verdict, ...]:
        """Of every figure, then of every flag."""
        return (
            *(row.verdict for row in self.rows),
            *(row.verdict for row in self.flags),
        )


EFFORT_UNITS = {
    "ft_lbf_ft3": "ft-lbf/ft3",
    "kN_m_m3": "kN-m/m3",
    "ft_lbf_in3": "ft-lbf/in3",
}


def unit_of(example: Example, way: Field) -> str:
    """Unit of a figure: of its own name, else of its quantity in the example."""
    name = next(str(part) for part in reversed(way) if not str(part).isdigit())
    if name in example.units:
        return example.units[name]
    if name in EFFORT_UNITS:
        return EFFORT_UNITS[name]
    if name == "sand_density_g_cm3":
        return "g/cm3"
    if name == "water_to_add":
        return example.units["water"]
    if name in PERCENTS or "water_content" in name:
        return "%"
    for ending, quantity in ENDINGS.items():
        if ending in name:
            return example.units[quantity]
    return ""


PERCENTS = (
    "absorption",
    "field_air_voids",
    "last_loss",
    "percent_compaction",
    "percent_retained",
)
ENDINGS = {
    "density": "density",
    "volume": "volume",
    "soil": "mass",
    "sand_in": "mass",
    "uncertainty": "uncertainty",
}


def figure_name(way: Field) -> str:
    """
    Say which figure it is; members of a list are counted from 1.

    >>> figure_name(("dry_density", 2))
    'dry density 3'
    >>> figure_name(("D698 4 in", "kN_m_m3"))
    'D698 4 in'
    """
    parts = [
        str(part + 1) if isinstance(part, int) else part.replace("_", " ")
        for part in way
        if part not in EFFORT_UNITS
    ]
    return " ".join(parts).removesuffix(" g cm3")


def row_of(example: Example, way: Field, printed: str, value: float | None) -> Row:
    """Compare one figure."""
    tolerance, mended = example.tolerance(way), example.mended(way)
    return Row(
        quantity=figure_name(way),
        column=figure_name(tuple(part for part in way if isinstance(part, str))),
        unit=unit_of(example, way),
        published=printed,
        computed=NONE if value is None else str(rounded(value, example.places(way))),
        value=value,
        tolerance=example.tolerance_text(way),
        because=example.because(way),
        verdict=verdict(printed, mended, value, float(tolerance)),
        mended=mended,
        slip=example.slip(way) if mended is not None else "",
    )


MOST_PLACES = 10


def rounded(value: float, places: int) -> Any:
    """Round as printed, to no more decimals than a table has room for."""
    return round_half_even(value, min(places, MOST_PLACES))


def verdict(
    printed: str, mended: str | None, value: float | None, tolerance: float
) -> Verdict:
    """
    Judge a figure.

    >>> verdict("17.39", "17.58", 17.582, 0.005)
    <Verdict.SLIP: 'slip'>
    >>> verdict("1.65", "none", None, 0.01)
    <Verdict.SLIP: 'slip'>
    """
    if mended is None:
        near = agrees(printed, value, tolerance)
        return Verdict.AGREES if near else Verdict.DIFFERS
    if agrees(printed, value, tolerance):
        return Verdict.NO_SLIP
    return Verdict.SLIP if agrees(mended, value, tolerance) else Verdict.DIFFERS


def agrees(wanted: str, value: float | None, tolerance: float) -> bool:
    """Whether a value is within a tolerance of what is wanted."""
    if wanted == NONE or value is None:
        return wanted == NONE and value is None
    # The play is for the last bit of a binary float, not for the soil.
    return abs(value - float(wanted)) <= tolerance * (1 + 1e-9)


def value_at(tree: Any, way: Field) -> float | None:
    """Find the computed figure that answers a printed one."""
    for part in way:
        if tree is None:
            return None
        tree = tree[part]
    return None if tree is None else float(tree)


def flagged_points(flags: tuple[Flag, ...], name: str) -> tuple[int, ...]:
    """Points that carry a flag, counted from 1."""
    found = {
        int(flag.field[1]) + 1
        for flag in flags
        if flag.flag == name and flag.field[:1] == ("points",) and len(flag.field) > 1
    }
    return tuple(sorted(found))


def flag_row(expected: Expected, flags: tuple[Flag, ...], *, raised: bool) -> FlagRow:
    """
    Say whether a flag is as it should be: there, at just those points; or not.

    A note is for the laboratory alone and does not count: the flag has to be seen.
    """
    flags = tuple(flag for flag in flags if flag.severity is not Severity.NOTE)
    there = any(flag.flag == expected.flag for flag in flags)
    if not raised:
        verdict = Verdict.FALSE_ALARM if there else Verdict.SILENT
        return FlagRow(expected.flag, (), verdict)
    right = there and (
        not expected.points or flagged_points(flags, expected.flag) == expected.points
    )
    return FlagRow(
        expected.flag, expected.points, Verdict.RAISED if right else Verdict.NOT_RAISED
    )


def compare_example(example: Example) -> Comparison:
    """Recompute one example and compare every figure and flag."""
    made = RECOMPUTE[example.id](example)
    rows = tuple(
        row_of(example, way, printed, value_at(made.figures, way))
        for way, printed in example.figures()
    )
    flags = [flag_row(e, made.flags, raised=True) for e in example.expected("raises")]
    flags += [flag_row(e, made.flags, raised=False) for e in example.expected("silent")]
    return Comparison(example, rows, tuple(flags))


def compare_examples(ids: tuple[str, ...] = ()) -> tuple[Comparison, ...]:
    """Recompute the examples named, or all."""
    return tuple(compare_example(one) for one in examples() if not ids or one.id in ids)


def count_verdicts(everything: tuple[Comparison, ...]) -> Mapping[Verdict, int]:
    """How often each verdict was given, every verdict named."""
    found = [verdict for one in everything for verdict in one.verdicts]
    return {verdict: found.count(verdict) for verdict in Verdict}
