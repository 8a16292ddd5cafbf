"""Percent compaction of the tests of a zone, in order of date or by station."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from buildsite.kinds.field_control.closing import FAIL, PASS, is_first
from buildsite.kinds.field_control.results import (
    PERCENT,
    FieldTest,
    number,
)
from buildsite.kinds.field_control.scales import ends, step_of
from buildsite.kinds.sheet import Axis, Dot, Line, Plot

SORTS = {PASS: "point", FAIL: "failed"}
"""Mark of a test by its verdict; one without a verdict is hollow."""

STATION = re.compile(r"([0-9]+)\+([0-9]+)(\.[0-9]+)?$")

Placed = tuple[float, FieldTest]
"""A test at its place along the axis."""

Means = Sequence[tuple[int, float]]
"""Moving means, each at the number of its last first test, from 0."""


def station_of(test: FieldTest) -> float | None:
    """Return the station of a test, in the units of its digits after the plus."""
    return station(dict(test.position).get("station", ""))


def station(text: str) -> float | None:
    """
    Return a station as a length: the digits after the plus tell the length of one.

    >>> station("12+40"), station("1+240.5"), station("chainage 3")
    (1240.0, 1240.5, None)
    """
    found = STATION.match(text.strip())
    if found is None:
        plain = number(text)
        return float(plain) if plain is not None else None
    whole, part, rest = found.groups()
    return float(f"{int(whole) * 10 ** len(part) + int(part)}{rest or ''}")


def digits_after_plus(test: FieldTest) -> int:
    """Return how many digits a test's station has after the plus; 0 with no plus."""
    found = STATION.match(dict(test.position).get("station", "").strip())
    return len(found.group(2)) if found is not None else 0


def sort_of(test: FieldTest) -> str:
    """Return the mark of a test."""
    return SORTS.get(test.verdict, "second")


def dots(placed: Iterable[Placed]) -> list[Dot]:
    """Return the tests; those that fail are named."""
    return [
        Dot(sort_of(test), x, percent, label=test.id if test.verdict == FAIL else "")
        for x, test in placed
        if (percent := test.percent) is not None
    ]


def limits(tests: Iterable[FieldTest]) -> dict[str, float]:
    """Return the limits that the tests were judged by, as printed."""
    found: dict[str, float] = {}
    for test in tests:
        for one in test.criteria:
            value = number(one.limit)
            if one.name == PERCENT and one.side == "least" and value is not None:
                found[one.limit] = float(value)
    return dict(sorted(found.items(), key=lambda pair: pair[1]))


def percent_axis(values: Sequence[float]) -> Axis:
    """Return the axis of percent compaction, in whole percents."""
    low, high = min(values) - 0.5, max(values) + 0.5
    step = step_of(high - low, 1.0)
    return Axis("Percent compaction", "%", *ends(low, high, step), step, 0)


def words_of(placed: Sequence[Placed], how: str, asked: Mapping[str, float]) -> str:
    """Return the figure in words, for screen readers."""
    values = [one for _, test in placed if (one := test.percent) is not None]
    failing = [test.id for _, test in placed if test.verdict == FAIL]
    limit = f"; limit {', '.join(asked)} %" if asked else ""
    failed = f"; failing: {', '.join(failing)}" if failing else ""
    return (
        f"{len(values)} tests {how}, {min(values):.1f} to {max(values):.1f} % of "
        f"compaction{limit}{failed}."
    )


CAPTION = "Dots: pass. Crosses: fail, named. Squares: no verdict."


def percent_figure(
    name: str, title: str, placed: Sequence[Placed], x: Axis, how: str
) -> Plot | None:
    """Return percent compaction against a place on the axis; None with no value."""
    shown = [pair for pair in placed if pair[1].percent is not None]
    if not shown:
        return None
    asked = limits(test for _, test in shown)
    values = [test.percent or 0.0 for _, test in shown]
    return Plot(
        name=name,
        title=title,
        x=x,
        y=percent_axis([*values, *asked.values()]),
        lines=tuple(
            Line("limit", (x.low, x.high), (value, value), f"limit {text} %")
            for text, value in asked.items()
        ),
        dots=tuple(dots(shown)),
        alt=words_of(shown, how, asked),
        caption=CAPTION + rounding(shown),
    )


def rounding(placed: Iterable[Placed]) -> str:
    """Return why a test that meets its limit may lie below it, where one may."""
    ways = {one.compare for _, test in placed for one in test.criteria}
    return ROUNDED if "rounded" in ways else ""


ROUNDED = (
    " Limits as printed: what is compared is rounded to their places, so a test just "
    "outside may pass."
)


def by_date(
    zone: str, tests: Sequence[FieldTest], means: Means, window: int
) -> Plot | None:
    """
    Return percent compaction in order of date, with the moving mean of first tests.

    `means` are at the number of a first test among the first tests with a value.
    """
    placed = [(float(i), test) for i, test in enumerate(tests, start=1)]
    step = step_of(len(placed), 1.0)
    x = Axis(
        "Tests in order of date", "", 0.0, ends(0, len(placed) + 0.5, step)[1], step, 0
    )
    plot = percent_figure(
        f"percent-by-date-{slug(zone)}",
        title_of("Percent compaction by date", zone),
        placed,
        x,
        "in order of date",
    )
    if plot is None or not means:
        return plot
    first = [
        place for place, test in placed if is_first(test) and test.percent is not None
    ]
    line = Line(
        "curve",
        tuple(first[i] for i, _ in means),
        tuple(value for _, value in means),
        f"mean of last {window}",
    )
    text = f"{plot.caption} Line: mean of the last {window} first tests."
    return replace(plot, lines=(*plot.lines, line), caption=text)


def by_station(zone: str, tests: Sequence[FieldTest]) -> Plot | None:
    """Return percent compaction by station; None where fewer than two have one."""
    placed = [
        (place, test) for test in tests if (place := station_of(test)) is not None
    ]
    if len({place for place, _ in placed}) < FEWEST_STATIONS:
        return None
    places = [place for place, _ in placed]
    step = step_of(max(places) - min(places), 1.0) * 2
    low, high = ends(min(places), max(places), step)
    x = Axis(
        "Station",
        "",
        low,
        high + PAST_LAST * step,
        step,
        0,
        plus=max(map(digits_after_plus, tests)),
    )
    return percent_figure(
        f"percent-by-station-{slug(zone)}",
        title_of("Percent compaction by station", zone),
        placed,
        x,
        "by station",
    )


PAST_LAST = 0.4
"""Length of the axis beyond its last tick, whose number is wide. [steps]"""

FEWEST_STATIONS = 2
"""Stations below which there is no order along the fill."""


def title_of(what: str, zone: str) -> str:
    """Return the title of the figure of a zone."""
    return f"{what}: {zone}" if zone else what


def slug(text: str) -> str:
    """
    Return a name as part of a file's name.

    >>> slug("Upper 2 ft"), slug("")
    ('upper-2-ft', 'all')
    """
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-") or "all"
