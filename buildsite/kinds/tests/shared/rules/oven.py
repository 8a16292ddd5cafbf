"""Checks of oven drying: time, dates, temperature."""

import re
from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta

from buildsite.kinds.limits import ORGANIC
from buildsite.kinds.tests.shared.columns import LinesOf, read_in
from buildsite.kinds.tests.shared.completeness import sample_of
from buildsite.kinds.tests.shared.record import (
    AnyTest,
    act_of,
    acts_at_lines,
    ovens_at_lines,
    tested_on,
)
from buildsite.record.flags import Doubt, Field, Rule, Severity, error, warning
from buildsite.record.parts import Oven
from buildsite.values import dataclass

Check = Callable[[AnyTest], Iterator[Doubt]]

OVEN_LEAST_H = 12.0
"""Least time where the method's row has none: common practice."""


def moment_doubts(
    first: tuple[str, datetime | None], then: tuple[str, datetime | None], field: Field
) -> Iterator[Doubt]:
    """Doubt a time before that of the step ahead of it."""
    (before, start), (after, end) = first, then
    if start is not None and end is not None and end < start:
        yield Doubt(
            field=field,
            found=f"{after} at {end:%Y-%m-%dT%H:%M}",
            expected=f"at or after {start:%Y-%m-%dT%H:%M}, when it was {before}",
            mend="check for interchanged times, or a wrong date",
        )


@dataclass(frozen=True)
class Drying:
    """
    One drying: that of the test, or of a line that was dried by itself.

    `line` is its index, None for the test; `start` the day on which the soil was
    tested, `end` that on which it was weighed dry.
    """

    field: Field
    oven: Oven
    line: int | None
    start: date | None
    end: date | None


def dryings(case: AnyTest) -> Iterator[Drying]:
    """Return the drying of the test, and those of its lines."""
    record = case.record
    dried, tested = act_of(record, "dried"), tested_on(record)
    end = dried.on if dried is not None else None
    if record.oven is not None:
        yield Drying(("oven",), record.oven, None, tested, end)
    made, last = dict(acts_at_lines(record)), dict(acts_at_lines(record, "dried"))
    for i, oven in ovens_at_lines(record):
        start = (made[i].on if i in made else None) or tested
        end = last[i].on if i in last else None
        yield Drying((record.work.lines, i, "oven"), oven, i, start, end)


def oven_hours(case: AnyTest) -> Iterator[Doubt]:
    """Doubt soil that came out of the oven before it went in."""
    for one in dryings(case):
        yield from moment_doubts(
            ("put into the oven", one.oven.in_),
            ("taken out of the oven", one.oven.out),
            (*one.field, "out"),
        )


@error("oven-on-another-day", "common practice")
def oven_on_another_day(case: AnyTest) -> Iterator[Doubt]:
    """Soil was in the oven before the date of the test, or after that of drying."""
    for one in dryings(case):
        oven, start, end = one.oven, one.start, one.end
        if oven.in_ is not None and start is not None and oven.in_.date() < start:
            yield Doubt(
                field=(*one.field, "in"),
                found=f"in on {oven.in_.date()}",
                expected=f"on or after {start}, when the soil was "
                f"{case.record.work.act}",
                mend="correct one of the two dates",
            )
        if oven.out is not None and end is not None and oven.out.date() > end:
            yield Doubt(
                field=(*one.field, "out"),
                found=f"out on {oven.out.date()}",
                expected=f"on or before {end}, when the soil was weighed dry",
                mend="correct one of the two dates",
            )


def hours_text(span: timedelta) -> str:
    """
    Return a time span in hours and minutes.

    >>> hours_text(timedelta(hours=15, minutes=5))
    '15 h 05 min'
    """
    minutes = int(span.total_seconds() // 60)
    return f"{minutes // 60} h {minutes % 60:02} min"


WeighedAgain = Callable[[AnyTest, Drying], bool]
"""Whether all that was dried together was weighed dry more than once."""


def all_weighed_again(lines: LinesOf, name: str) -> WeighedAgain:
    """Return the test of whether every line that counts was weighed more than once."""

    def weighed_again(case: AnyTest, drying: Drying) -> bool:
        counted = [line for line in lines(case.record) if not line.rejected]
        return bool(counted) and all(
            len(read_in(line.part, name)) > 1 for line in counted
        )

    return weighed_again


def too_short(weighed_again: WeighedAgain, name: str) -> Check:
    """Return the check of the drying time; `name` is the field of the dry masses."""

    def drying_too_short(case: AnyTest) -> Iterator[Doubt]:
        """Soil was dried for too short a time, and not weighed to constant mass."""
        cell = case.cell("oven_least")
        least = cell.si if cell is not None else OVEN_LEAST_H
        for one in dryings(case):
            oven = one.oven
            if oven.in_ is None or oven.out is None or weighed_again(case, one):
                continue
            span = oven.out - oven.in_
            if timedelta(0) <= span < timedelta(hours=least):
                yield Doubt(
                    field=(*one.field, "out"),
                    found=f"{hours_text(span)} in the oven",
                    expected=f"at least {least:g} h, or successive dry masses",
                    mend="dry it again, weigh after an hour or more, and enter "
                    f"{name} as a list",
                    basis=cell.basis if cell is not None else None,
                )

    return drying_too_short


@warning("oven-temperature-out-of-range", "the method's oven temperature")
def oven_temperature(case: AnyTest) -> Iterator[Doubt]:
    """The oven was hotter or cooler than the method requires."""
    method = case.method
    for one in dryings(case):
        heat = one.oven.temperature_c
        if heat is None or method is None:
            continue
        cell = method.cell("oven")
        if changes_when_hot(case) is not None and float(heat) <= GENTLE_C:
            continue  # such soil is dried cooler on purpose
        if not method.oven_low_c <= float(heat) <= method.oven_high_c:
            yield Doubt(
                field=(*one.field, "temperature_c"),
                found=f"{heat} °C",
                expected=str(cell),
                mend="dry again if it was cooler; if hotter, test a fresh specimen, "
                "since more than water is driven off",
                basis=cell.basis,
            )


GENTLE_C = 65.0
"""Highest temperature at which soil that heat changes is dried: 60 °C, with 5 of play.
ASTM D2216 and AASHTO T 265, notes on gypsum and organic soil (from memory)."""

CHANGED_BY_HEAT = re.compile(r"\b(gyps\w*|organic|peat\w*)\b", re.IGNORECASE)
"""Words in the name of a soil that loses more than water at 110 °C."""


def changes_when_hot(case: AnyTest) -> str | None:
    """
    Return the soil of a test in words, where heat drives off more than its water.

    >>> [bool(CHANGED_BY_HEAT.search(name)) for name in ("gypsum", "inorganic silt")]
    [True, False]
    """
    sample = sample_of(case)
    if sample is None:
        return None
    if sample.soil_class.upper() in ORGANIC:
        return sample.soil_name or sample.soil_class
    return sample.soil_name if CHANGED_BY_HEAT.search(sample.soil_name) else None


@warning("dried-too-hot-for-soil", "ASTM D2216-19, scope: gypsum and organic soil")
def dried_too_hot_for_soil(case: AnyTest) -> Iterator[Doubt]:
    """Gypsum or organic soil dried at 110 °C, which drives off more than water."""
    soil = changes_when_hot(case)
    for one in dryings(case) if soil is not None else ():
        hot = one.oven.temperature_c
        if hot is None and case.cell("oven") is None:
            continue
        if hot is not None and float(hot) <= GENTLE_C:
            continue
        stated = (
            f"{hot} °C" if hot is not None else f"{case.cell('oven')}, the method's"
        )
        yield Doubt(
            field=(*one.field, "temperature_c") if hot is not None else one.field,
            found=f"{stated}, for {soil}",
            expected="about 60 °C: at 110 °C gypsum loses water of its crystals, and "
            "organic matter decomposes",
            mend="dry a specimen at 60 °C to constant mass and compare; state the "
            "temperature, or accept the flag if they agree",
        )


def rules_of(
    weighed_again: WeighedAgain, name: str, more_hours: Check | None = None
) -> tuple[Rule[AnyTest], ...]:
    """
    Return the checks of an oven for a kind whose record has one.

    `weighed_again` tells whether everything was weighed dry more than once, `name` is
    the field of the dry masses, `more_hours` a further check of times.
    """

    def hours_out_of_order(case: AnyTest) -> Iterator[Doubt]:
        """A time is before that of an earlier step."""
        if more_hours is not None:
            yield from more_hours(case)
        yield from oven_hours(case)

    return (
        Rule(
            "hours-out-of-order", Severity.ERROR, "common practice", hours_out_of_order
        ),
        oven_on_another_day,
        Rule(
            "drying-too-short",
            Severity.WARNING,
            "common practice",
            too_short(weighed_again, name),
        ),
        oven_temperature,
        dried_too_hot_for_soil,
    )
