"""The statement of uncertainty on the report, and the budget as tables."""

from collections.abc import Iterator
from decimal import ROUND_CEILING, Decimal

from buildsite.kinds.kind import Appendix
from buildsite.kinds.reporting import result_label, result_text, result_word
from buildsite.kinds.sheet import Cell, Column, Note, Row, Sheet, Table
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.uncertainty.budget import (
    RESULTS,
    Budget,
    Component,
    budget,
)
from buildsite.record.units import from_si, unit
from buildsite.soil.rounding import plain, round_significant, snap
from buildsite.standards.method import Method, Rounding

FIGURES = 3
"""Significant figures of a budget: enough to check its sums."""

VALUE_FIGURES = 5
"""Significant figures of readings."""

NOTHING = 1e-9
"""Smaller figures are rounding errors of binary floats, whatever their unit."""

DISPLAY_UNITS = {"kg": "g", "m3": "cm3", "kg/m3": "kg/m3", "%": "%", "": ""}
"""The unit in which an input is shown, by its computed unit; others unchanged."""


def rounded_up(value: float, rule: Rounding | None) -> str:
    """
    Round an uncertainty up, to the place of its reported result or to two figures.

    JCGM 100:2008, 7.2.6: up rather than to the nearest.
    """
    exact = Decimal(repr(snap(value)))
    if rule is not None and rule.step:
        step = Decimal(rule.step)
    else:
        step = Decimal(1).scaleb(exact.adjusted() - 1)
    whole = (exact / step).to_integral_value(rounding=ROUND_CEILING)
    return plain(whole * step)


def rounding_of(method: Method | None, name: str, in_unit: str) -> Rounding | None:
    """Return how the result is rounded."""
    return method.report(name, in_unit) if method is not None else None


def expanded_text(method: Method | None, name: str, value: float, shown: str) -> str:
    """Return an expanded uncertainty, in SI, as a report states it: rounded up."""
    if name == RESULTS[0]:
        number = rounded_up(from_si(value, shown), rounding_of(method, name, shown))
        return f"{number} {unit(shown).shown}"
    return f"{rounded_up(value, rounding_of(method, name, '%'))} points"


def expanded_texts(case: Test, made: Budget) -> tuple[str, str]:
    """Return both expanded uncertainties, rounded up, with their units."""
    shown = case.values.density_unit
    first, second = (
        expanded_text(case.method, name, value, shown)
        for name, value in zip(RESULTS, made.expanded, strict=True)
    )
    return first, second


def statement(case: Test) -> str:
    """Return the statement of uncertainty; empty where not required."""
    made = budget(case)
    if made is None:
        return ""
    if isinstance(made, str):
        return made
    each = ", ".join(
        f"{result_word(case.method, name, case.values.density_unit)} ± {text}"
        for name, text in zip(RESULTS, expanded_texts(case, made), strict=True)
    )
    text = f"Expanded uncertainty, k = 2, about 95 %: {each}."
    if made.missing:
        text += f" The budget is incomplete: it lacks {'; and '.join(made.missing)}."
    return text


def figure_text(value: float) -> str:
    """Write a figure of the budget; a rounding error is zero."""
    return plain(round_significant(snap(value), FIGURES)) if value > NOTHING else "0"


def reading_text(value: float) -> str:
    """
    Write a reading, without padding zeros.

    >>> reading_text(2001.0), reading_text(942.4873), reading_text(0.0)
    ('2001', '942.49', '0')
    """
    return plain(round_significant(snap(value), VALUE_FIGURES).normalize())


def keep_unit_with_number(source: str) -> str:
    r"""
    Keep a last number and its unit on one line.

    >>> keep_unit_with_number("largest error 1 g")
    'largest error 1\xa0g'
    """
    rest, _, last = source.rpartition(" ")
    return f"{rest}\u00a0{last}" if rest[-1:].isdigit() else source


def display_unit(one: Component) -> str:
    """Return the unit in which an input is shown."""
    return DISPLAY_UNITS.get(one.unit, one.unit)


def in_display_unit(value: float, one: Component) -> float:
    """Convert an input to the unit in which it is shown."""
    shown = display_unit(one)
    return value if shown == one.unit else from_si(value, shown)


def quantity_label(one: Component) -> str:
    """Return the label of a component, with its number of inputs."""
    return f"{one.quantity} ({one.count})" if one.count > 1 else one.quantity


def component_cells(
    one: Component, which: int, per: float, of: str, *, counts: bool
) -> Iterator[Cell]:
    """
    Yield the cells of a line; `per` is the result's unit `of` in SI.

    A contribution that does not count is in parentheses.
    """
    own = one.unit == "" and one.value is None  # of the result itself
    shown = "" if own else display_unit(one)
    name = f" {unit(shown).shown if shown not in ('', '%') else shown}".rstrip()
    known = reading_text(in_display_unit(one.value or 0.0, one)) + name
    standard = one.standard[which]
    yield Cell(quantity_label(one))
    yield Cell("—" if one.value is None else known)
    yield Cell(
        f"{figure_text(standard / per)} {of}"
        if own
        else f"{figure_text(in_display_unit(standard, one))}{name}"
    )
    yield Cell(one.distribution)
    change = in_display_unit(1.0, one) if not own else 1 / per
    yield Cell(figure_text(one.sensitivity[which] / per / change))
    share = figure_text(one.contribution[which] / per)
    yield Cell(share if counts else f"({share})")
    yield Cell(keep_unit_with_number(one.source))


def budget_table(case: Test, made: Budget, which: int) -> Table:
    """Return the budget of one result, in its reported unit."""
    name = RESULTS[which]
    density = case.values.density_unit
    shown = density if which == 0 else "%"
    per = 1.0 if which else 1 / from_si(1.0, density)
    of = unit(shown).shown if which == 0 else "points"
    rows = [
        Row(tuple(component_cells(one, which, per, of, counts=made.counts(one, which))))
        for one in made.components
    ]
    for label, value in (
        ("Combined standard uncertainty", made.standard[which]),
        ("Expanded uncertainty, k = 2", made.expanded[which]),
    ):
        texts = (label, "", "", "", "", figure_text(value / per), LAW)
        rows.append(Row(tuple(map(Cell, texts)), mark="sum"))
    columns = (
        Column("Quantity"),
        Column("Value", number=True),
        Column("Standard uncertainty", number=True),
        Column("Distribution"),
        Column("Sensitivity", f"{of} per unit", number=True),
        Column("Contribution", of, number=True),
        Column("Source"),
    )
    title = result_label(case.method, name, density)
    return Table(
        name,
        f"{title}, {result_text(case.results[name])}",
        columns,
        tuple(rows),
        role="more",
    )


LAW = "JCGM 100:2008, 5.1.2 and 6.2.1"

EXPLANATION = (
    "Each input is changed by its standard uncertainty, one at a time, and the test is "
    "computed again: the change of the result gives the sensitivity (JCGM 100:2008, "
    "5.1.3). A line for several inputs shows the root of the sum of their squares.",
    "Repeat tests already include what changes from one to the next: last digits, and "
    "the scatter between containers. Of these lines together and of the repeatability, "
    "the larger counts; what does not count is in parentheses. The choice of curve "
    "counts beside them, as one curve type draws all repeat tests.",
)


def appendices(case: Test) -> tuple[Appendix, ...]:
    """Return the page of the budget, where required."""
    made = budget(case)
    if made is None:
        return ()
    title = "Uncertainty budget"
    if isinstance(made, str):
        blocks: tuple[Table | Note, ...] = (Note("none", "No budget", (made,)),)
        return (Appendix("uncertainty", title, Sheet(title, "", blocks)),)
    stated = Note(
        "stated", "Statement on the report", (statement(case),), role="statement"
    )
    tables = (budget_table(case, made, 0), budget_table(case, made, 1))
    how = Note("how", "Method", EXPLANATION)
    return (Appendix("uncertainty", title, Sheet(title, "", (stated, *tables, how))),)
