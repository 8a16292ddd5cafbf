"""Steps that several kinds of test share: containers, words, rounding, units."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from buildsite.kinds.kind import Case
from buildsite.kinds.reporting import (
    printed_unit,
    result_text,
    result_word,
    to_places,
)
from buildsite.kinds.sheet import Target
from buildsite.kinds.steps import Input, Line, Step, Symbol
from buildsite.kinds.tests.shared.containers import possible_masses
from buildsite.kinds.working import density_line, digits, read, step_of
from buildsite.record.flags import Field
from buildsite.record.parts import Container
from buildsite.record.units import GRAVITY, UNITS
from buildsite.soil.formulas import WATER_CONTENT, mean
from buildsite.standards.method import Method, reporting_label
from buildsite.values import dataclass

Test = Case[Any, Any]

TERMS = ("water_content", "wet_density", "dry_density")


@lru_cache(maxsize=256)  # every step of a page asks
def words_of(method: Method | None, unit: str = "kg/m3") -> Mapping[str, str]:
    """
    Return the standard's own words for the terms, in a unit, and for the mold.

    Steps are in kg/m³, where a unit weight is called a density.
    """
    found = {name.replace("_", " "): result_word(method, name, unit) for name in TERMS}
    if method is not None:
        found["mold"] = method.word("mold")
    return MappingProxyType(found)


@dataclass(frozen=True)
class Dried:
    """
    Containers of one soil: the anchor and label of their lines, and their fields.

    `places` are the decimals that the report prints.
    """

    anchor: str
    label: str
    containers: Sequence[tuple[Field, Container]]
    water_contents: Sequence[float]  # of those whose masses are possible [%]
    mean: float | None  # of them [%]
    places: int = 1


def capital(text: str) -> str:
    """Return a text with a capital."""
    return f"{text[:1].upper()}{text[1:]}"


def container_lines(dried: Dried, unit: str) -> list[Line]:
    """Return a line for each container with possible masses."""
    found = []
    usable = [
        (field, one, masses)
        for field, one in dried.containers
        if (masses := possible_masses(one)) is not None
    ]
    single = len(usable) == 1
    for i, ((field, one, masses), water) in enumerate(
        zip(usable, dried.water_contents, strict=True), 1
    ):
        which = f"container {one.container or i}"
        found.append(
            Line(
                dried.anchor if single else f"{dried.anchor}-{i}",
                ", ".join(filter(None, (dried.label, which))),
                mass_inputs(field, masses, unit),
                digits(water),
                "%",
                reported=f"{to_places(water, dried.places)} %" if single else "",
            )
        )
    return found


def mean_line(anchor: str, label: str, lines: Sequence[Line], unit: str) -> Line:
    """Return the line of a mean: its inputs are those lines, its value still blank."""
    inputs = tuple(
        Input(f"w_{i}", one.value, unit, line=one.anchor)
        for i, one in enumerate(lines, 1)
    )
    return Line(anchor, label, inputs, "", unit)


def water_content_steps(
    method: Method | None,
    density_unit: str,
    unit: str | None,
    every: Iterable[Dried],
    anchor: str = "water-content",
) -> tuple[Step, ...]:
    """Return the water content by each container, and the means of several."""
    words = words_of(method, density_unit)
    name = capital(words["water content"])
    shown = printed_unit(unit) if unit else ""
    single: list[Line] = []
    means: dict[int, list[Line]] = {}
    for dried in every:
        lines = container_lines(dried, unit or "")
        single.extend(lines)
        if len(lines) > 1 and dried.mean is not None:
            line = mean_line(dried.anchor, dried.label or "Mean", lines, "%")
            means.setdefault(len(lines), []).append(
                line._replace(
                    value=digits(dried.mean),
                    reported=f"{to_places(dried.mean, dried.places)} %",
                )
            )
    if not single:
        return ()
    masses = dict.fromkeys(("m_0", "m_1", "m_2"), shown)
    title = f"{name} by each container"
    steps = [step_of(WATER_CONTENT, anchor, title, single, masses, words)]
    for count, lines in sorted(means.items()):
        steps.append(
            Step(
                f"{anchor}-mean-{count}",
                f"{name}, mean of {count} containers",
                tuple(lines),
                "w",
                mean("w", count),
                tuple(
                    Symbol(f"w_{i}", f"by container {i} of them", "%")
                    for i in range(1, count + 1)
                ),
                "Common practice",
            )
        )
    return tuple(steps)


def rounding_note(method: Method | None, name: str, unit: str, figures: int) -> str:
    """Return how a result is rounded, with the source."""
    if method is None:
        return f"Rounded to {figures} significant figures: no standard is on file."
    rule = method.report(name, unit)
    to = (
        f"{rule.figures} significant figures"
        if rule.figures
        else (f"{rule.step} {printed_unit(unit)}".rstrip())
    )
    return f"Rounded to {to}, a half to the even digit: {rule.cell.basis}."


def rounding_row(case: Test, name: str) -> Target | None:
    """Return the row of the standard that says how a result is rounded."""
    method, unit = case.method, case.results[name].reported.partition(" ")[2]
    if method is None:
        return None
    try:
        label = reporting_label(*method.reported_as(name, unit))
    except LookupError:
        return None
    return ("cell", f"{method.designation}|{method.name}|{label}")


def method_page(method: Method | None) -> Target | None:
    """Return the page of the standard."""
    return ("method", method.designation) if method is not None else None


def unit_note(unit: str) -> tuple[str, ...]:
    """Return how a unit of density is brought to kg/m³; none where nothing is to do."""
    factor = f"{float(UNITS[unit].factor):.9g} kg/m³"
    if unit == "lb/ft3":
        return (
            f"1 lb/ft³ = 0.45359237 kg / (0.3048 m)³ = {factor}, both exact by the "
            "international agreement of 1959 (NIST SP 811, appendix B).",
        )
    if unit == "lbf/ft3":
        return (
            f"1 lbf/ft³ is the weight of 1 lb/ft³ = 0.45359237 kg / (0.3048 m)³ = "
            f"{factor} at standard gravity, {float(GRAVITY)} m/s² (NIST SP 811, "
            "appendix B).",
        )
    if unit == "kN/m3":
        return (
            f"1 kN/m³ is the weight of 1000 / {float(GRAVITY)} = "
            f"{factor} at standard gravity, {float(GRAVITY)} "
            "m/s² (3rd General Conference on Weights and Measures, 1901).",
        )
    return ()


@dataclass(frozen=True)
class Portion:
    """A container of a test with its field, its water content [%], and if it counts."""

    field: Field
    container: Any
    water_content: float | None
    rejected: bool


def portion_steps(
    method: Method | None,
    unit: str | None,
    portions: Sequence[Portion],
    made: Line,
    name: str,
    notes: tuple[str, ...] = (),
    to: Target | None = None,
) -> Iterator[Step]:
    """
    Yield the water content by each container, and the mean of those that count.

    `made` is the line of the mean, without its inputs; its anchor leads those of the
    containers.
    """
    shown = printed_unit(unit) if unit else ""
    lines, counted = [], []
    for i, one in enumerate(portions, 1):
        masses = possible_masses(one.container)
        if masses is None or one.water_content is None:
            continue
        which = f"Container {one.container.container or i}"
        line = Line(
            f"{made.anchor}-{i}",
            f"{which}, rejected" if one.rejected else which,
            mass_inputs(one.field, masses, unit or ""),
            digits(one.water_content),
            "%",
        )
        lines.append(line)
        counted.extend([] if one.rejected else [line])
    if not counted:
        return
    masses_in = dict.fromkeys(("m_0", "m_1", "m_2"), shown)
    words = words_of(method)
    title = f"{name} by each container"
    anchor = f"{made.anchor}-containers"
    yield step_of(WATER_CONTENT, anchor, title, lines, masses_in, words)
    yield mean_step(counted, made, "w", name, notes, to)


def mass_inputs(
    field: Field, masses: tuple[Decimal, Decimal, Decimal], unit: str
) -> tuple[Input, ...]:
    """Return the three masses of a container as inputs."""
    empty, wet, dry = masses
    return (
        Input("m_0", read(empty), unit, (*field, "container_mass")),
        Input("m_1", read(wet), unit, (*field, "container_and_wet")),
        Input("m_2", read(dry), unit, (*field, "container_and_dry")),
    )


def mean_step(
    lines: Sequence[Line],
    made: Line,
    symbol: str,
    name: str,
    notes: tuple[str, ...] = (),
    to: Target | None = None,
) -> Step:
    """Return the mean of some lines, or the only one of them; `made` is its line."""
    several = len(lines) > 1
    inputs = tuple(
        Input(
            f"{symbol}_{i}" if several else symbol, one.value, one.unit, line=one.anchor
        )
        for i, one in enumerate(lines, 1)
    )
    return Step(
        f"step-{made.anchor}",
        f"{name}, mean of {len(lines)}" if several else name,
        (made._replace(inputs=inputs),),
        symbol,
        mean(symbol, len(lines)) if several else symbol,
        notes=notes,
        to=to,
    )


def result_line(case: Test, name: str, symbol: str = "") -> Line:
    """Return the line of a result without its inputs: unrounded, and as reported."""
    result = case.results[name]
    text = result_text(result)
    if result.unit == "kg/m3":
        unit = result.reported.partition(" ")[2]
        return density_line(result.value, unit, Line(name, "", (), ""), reported=text)
    return Line(name, "", (), digits(result.value), result.unit, reported=text)


def rounded_as(case: Test, name: str) -> tuple[str, ...]:
    """Return how a result was rounded; nothing where no standard says it."""
    unit = case.results[name].reported.partition(" ")[2]
    if case.method is None:
        return ()
    try:
        return (rounding_note(case.method, name, unit, 0),)
    except LookupError:
        return ()
