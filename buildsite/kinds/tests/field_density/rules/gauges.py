"""Checks of a nuclear gauge: its counts, its rod, its offset, its leak test."""

from collections.abc import Iterator, Sequence
from math import fsum

from buildsite.kinds.field_answers import CountsOfDay, GaugeFacts
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.holes import apparatus_facts
from buildsite.kinds.tests.field_density.water import gauge_readings
from buildsite.kinds.tests.shared.completeness import is_complete
from buildsite.record.flags import Doubt, Rule, note, warning
from buildsite.record.units import from_si, to_si
from buildsite.soil.rounding import plain, round_half_even

WHERE = ("equipment", "gauge")
COUNTS_BEFORE = 4
"""Standard counts with whose mean one is compared, where no method says how many."""


def gauge_facts(case: Test) -> GaugeFacts | None:
    """Return the gauge on the day of the test."""
    facts = apparatus_facts(case.record, case.inputs)
    return facts if isinstance(facts, GaugeFacts) else None


@note("leak-test-overdue", "the gauge's licence")
def leak_test_overdue(case: Test) -> Iterator[Doubt]:
    """A gauge was used after the date on which its leak test was due."""
    facts, on = gauge_facts(case), case.record.tested.on
    due = facts.leak_test_due if facts is not None else None
    if facts is not None and due is not None and on is not None and on > due:
        yield Doubt(
            field=WHERE,
            found=f"{facts.id} on {on}, its leak test due {due}",
            expected="a leak test in date",
            mend="set the gauge aside and ask the radiation safety officer",
        )


def counts_of_day(case: Test) -> tuple[float | None, float | None]:
    """Return the standard counts of the day: as in the record, else the gauge's own."""
    gauge, facts, on = case.record.gauge, gauge_facts(case), case.record.tested.on
    stated = gauge.standard_counts if gauge is not None else None
    if stated is not None:
        density, water = stated.density, stated.water
        return (
            None if density is None else float(density),
            None if water is None else float(water),
        )
    own = [one for one in facts.counts if one.on == on] if facts is not None else []
    return (own[0].density, own[0].water) if own else (None, None)


@warning("standard-counts-missing", "the method's rule on standard counts")
def standard_counts_missing(case: Test) -> Iterator[Doubt]:
    """A gauge was used without a standard count that day."""
    if case.record.apparatus != "nuclear-gauge" or not is_complete(case):
        return
    if case.inputs.alone or gauge_facts(case) is None:
        return
    missing = [
        name
        for name, count in zip(("density", "water"), counts_of_day(case), strict=True)
        if count is None
    ]
    if missing:
        yield Doubt(
            field=("gauge", "standard_counts"),
            found=f"no standard count for {' and '.join(missing)}",
            expected="both counts, taken that day",
            mend="enter them from the gauge's log",
        )


def before(facts: GaugeFacts, case: Test) -> Sequence[CountsOfDay]:
    """Return the counts before that day, the newest first, as many as are compared."""
    on, cell = case.record.tested.on, case.cell("counts_mean_of")
    many = int(cell.si) if cell is not None else COUNTS_BEFORE
    earlier = [one for one in facts.counts if on is None or one.on < on]
    return earlier[:many] if len(earlier) >= many else ()


@warning("standard-count-out-of-limits", "the method's limits of a standard count")
def count_out_of_limits(case: Test) -> Iterator[Doubt]:
    """A standard count differs too much from the mean of the last four."""
    facts = gauge_facts(case)
    earlier = before(facts, case) if facts is not None else ()
    if facts is None or not earlier:
        return
    density, water = counts_of_day(case)
    for name, count, maker in (
        ("density", density, facts.density_limit),
        ("water", water, facts.water_limit),
    ):
        cell = case.cell(f"{name}_count_within")
        limit = maker if maker is not None else (cell.si if cell is not None else None)
        mean = fsum(getattr(one, name) for one in earlier) / len(earlier)
        if count is None or limit is None or mean <= 0:
            continue
        off = 100 * (count / mean - 1)
        if abs(off) > limit * (1 + 1e-9):
            own = maker is not None or cell is None
            yield Doubt(
                field=("gauge", "standard_counts"),
                found=f"{name} count {count:g}, {off:+.1f} % from {mean:.0f}, the mean "
                f"of the last {len(earlier)}",
                expected=f"within {limit:g} %",
                mend="repeat the count once, away from walls and other gauges; if it "
                "is outside again, take the gauge out of service",
                basis="the maker's limits" if own else cell.basis if cell else None,
            )


@warning("rod-deeper-than-lift", "the method's depth of the rod")
def rod_deeper_than_lift(case: Test) -> Iterator[Doubt]:
    """The rod of a gauge reached below the lift, or deeper than the method goes."""
    gauge, works, unit = case.record.gauge, case.record.works, case.record.units.depth
    if gauge is None or gauge.depth is None or gauge.mode == "backscatter":
        return
    lift = works.thickness_compacted if works is not None else None
    if lift is not None and gauge.depth > lift:
        yield Doubt(
            field=("gauge", "depth"),
            found=f"{gauge.depth} {unit or ''} in a lift of {lift}".replace("  ", " "),
            expected="no deeper than the lift",
            mend="test again with a shorter rod: the reading averages two lifts",
        )
    cell = case.cell("rod_deepest")
    if cell is not None and unit is not None:
        depth = to_si(gauge.depth, unit)
        most = max(cell.si, cell.also.si if cell.also is not None else 0.0)
        if depth > most * (1 + 1e-9):
            yield Doubt(
                field=("gauge", "depth"),
                found=f"{gauge.depth} {unit}",
                expected=f"at most {cell}",
                mend="check the depth of the rod",
                basis=cell.basis,
            )


@warning("backscatter-mode", "common practice")
def backscatter_mode(case: Test) -> Iterator[Doubt]:
    """The density was read in backscatter, which sees the top of the lift alone."""
    gauge = case.record.gauge
    if gauge is None or gauge.mode != "backscatter":
        return
    cell = case.cell("mode_preferred")
    yield Doubt(
        field=("gauge", "mode"),
        found="backscatter",
        expected="direct transmission",
        mend="use direct transmission wherever a rod can be set; the report states it",
        basis=cell.basis if cell is not None else None,
    )


@warning("trench-count-missing", "the method's distance to a wall")
def trench_count_missing(case: Test) -> Iterator[Doubt]:
    """A gauge near a wall or a trench face, without a trench count."""
    gauge = case.record.gauge
    if gauge is None or not gauge.near_wall or gauge.trench_count is not None:
        return
    cell = case.cell("trench_distance")
    yield Doubt(
        field=("gauge", "trench_count"),
        found="no trench count near a wall",
        expected=f"a count on the block there{f', within {cell}' if cell else ''}",
        mend="take it and correct the water, or check the water in the oven",
        basis=cell.basis if cell is not None else None,
    )


@warning("gauge-offset-unclear", "common practice")
def offset_unclear(case: Test) -> Iterator[Doubt]:
    """An offset of the water that may count twice, or that names no soil."""
    offset = case.record.gauge.offset if case.record.gauge is not None else None
    if offset is None or not offset.value:
        return
    if offset.applied is None:
        yield Doubt(
            field=("gauge", "offset", "applied"),
            found="not stated; added to the readings",
            expected="in-gauge, or here: an offset counts once",
            mend="ask the technician whether the gauge was set to it",
        )
    if offset.soil is None:
        yield Doubt(
            field=("gauge", "offset", "soil"),
            found="the soil it was found for is not stated",
            expected="its name or class: an offset holds for one soil",
            mend="state it, from the oven samples that the offset was found by",
        )


@warning("gauge-offset-of-another-soil", "common practice")
def offset_of_another_soil(case: Test) -> Iterator[Doubt]:
    """The offset of the water was found for another soil than the reference's."""
    offset = case.record.gauge.offset if case.record.gauge is not None else None
    facts = case.values.reference
    if offset is None or offset.soil is None or facts is None:
        return
    known = {facts.soil_name.casefold(), facts.soil_class.casefold()} - {""}
    if known and offset.soil.casefold() not in known:
        yield Doubt(
            field=("gauge", "offset", "soil"),
            found=f"an offset for {offset.soil}",
            expected=f"one for {facts.soil_name or facts.soil_class}",
            mend="find the offset of this soil from oven samples, and apply that",
        )


@warning("gauge-readings-apart", "the method's agreement of readings")
def readings_apart(case: Test) -> Iterator[Doubt]:
    """Readings of a gauge turned at one place differ too much."""
    unit, cell = case.record.units.density, case.cell("rotated_within")
    read = [one.wet_density for one in gauge_readings(case.record) if one.wet_density]
    if unit is None or cell is None or len(read) < 2:
        return
    apart = to_si(max(read), unit) - to_si(min(read), unit)
    if apart > cell.si * (1 + 1e-9):
        shown = plain(round_half_even(from_si(apart, cell.unit), 0))
        yield Doubt(
            field=("gauge", "readings"),
            found=f"wet densities {shown} {cell.printed.unit} apart",
            expected=f"within {cell}",
            mend="look for a void or a stone under the gauge and read again",
            basis=cell.basis,
        )


RULES: tuple[Rule[Test], ...] = (
    leak_test_overdue,
    standard_counts_missing,
    count_out_of_limits,
    rod_deeper_than_lift,
    backscatter_mode,
    trench_count_missing,
    offset_unclear,
    offset_of_another_soil,
    readings_apart,
)
