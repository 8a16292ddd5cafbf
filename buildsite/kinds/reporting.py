"""Reported texts of SI values, rounded once, by the standard's own row."""

from collections.abc import Iterable, Mapping
from decimal import Decimal, InvalidOperation
from math import ceil, log10

from buildsite.kinds.kind import Result
from buildsite.record.reading import resolution
from buildsite.record.units import UNITS, from_si, to_si, unit
from buildsite.soil.rounding import (
    plain,
    round_half_even,
    round_significant,
    round_to_step,
    snap,
)
from buildsite.standards.method import Method, Rounding

MINUS = "\N{MINUS SIGN}"


def rounded(value: float, rule: Rounding) -> str:
    """
    Return a value rounded by the standard: to a step, or to significant figures.

    A step of 0.5 keeps its one place: 121.0, not 121.
    """
    if rule.figures is not None:
        return plain(round_significant(snap(value), rule.figures))
    step = Decimal(rule.step)
    return plain(round_half_even(round_to_step(snap(value), step), rule.places))


def reported_number(
    name: str, value: float, unit_name: str, method: Method | None, figures: int
) -> str:
    """Return a value rounded by the method, else to significant figures."""
    if method is not None:
        return rounded(value, method.report(name, unit_name))
    return plain(round_significant(snap(value), figures))


def density_result(
    name: str, value: float, method: Method | None, unit_name: str
) -> Result:
    """Return a density in a unit, to the place required by the method."""
    shown = from_si(value, unit_name)
    text = reported_number(name, shown, unit_name, method, UNRULED_FIGURES)
    return Result(value, "kg/m3", f"{text} {unit_name}")


def readable_text(reported: str) -> str:
    """
    Return a reported text as printed: lb/ft³ for lb/ft3, a minus for a hyphen.

    >>> readable_text("121.4 lb/ft3"), readable_text("-0.7 points")
    ('121.4 lb/ft³', '−0.7 points')
    """
    number, _, name = reported.partition(" ")
    number = number.replace("-", MINUS)
    return f"{number} {unit(name).shown if name in UNITS else name}".rstrip()


Spoken = Method | None
"""The standard whose terms are used; neutral terms where there is none."""

WEIGHTS = {"lb/ft3": "lbf/ft3"}
"""Unit of force for the same figure, where a standard's term is unit weight."""

MASSES = ("kg/m3", "Mg/m3", "g/cm3")
"""Units of density only: pounds are written for a unit weight too."""

OF_MASS = (*MASSES, *(UNITS[name].shown for name in MASSES))
"""The same, also as printed."""


def speaks_of_weight(method: Method | None) -> bool:
    """Whether the standard's term is unit weight, not density."""
    return method is not None and "weight" in method.word("dry_density")


def fitting_unit(asked: str, method: Method | None) -> str:
    """Return the unit to report in: pounds are of force for a unit weight."""
    return WEIGHTS.get(asked, asked) if speaks_of_weight(method) else asked


def result_word(method: Method | None, name: str, unit_name: str) -> str:
    """
    Return the standard's term for a result, else the neutral one.

    A unit weight in kilograms or grams is a density, and is called one: modified
    maximum dry density, beside modified optimum water content.
    """
    if name == DEVIATION:
        return f"{result_word(method, 'water_content', unit_name)} {FROM_OPTIMUM}"
    neutral = result_name(name)
    if method is None:
        return neutral
    term = method.word(name)
    if term == name.replace("_", " "):  # the standard has no term of its own
        return neutral
    return term.replace("unit weight", "density") if unit_name in OF_MASS else term


def reported_word(method: Method | None, name: str, text: str) -> str:
    """Return the term for a result as reported in `text`, which tells its unit."""
    return result_word(method, name, text.partition(" ")[2])


def result_label(method: Method | None, name: str, unit_name: str) -> str:
    """Return a result's word with a capital, as a label."""
    text = result_word(method, name, unit_name)
    return text[:1].upper() + text[1:]


DEVIATION, FROM_OPTIMUM = "water_content_deviation", "from optimum"
"""How far the water content of a field test is off the optimum, and its words."""

SHORT = {"ssd": "SSD"}
"""Parts of a result's name written in capitals."""


def result_name(name: str) -> str:
    """
    Return a result's name as text.

    >>> result_name("ssd_bulk_specific_gravity")
    'SSD bulk specific gravity'
    >>> result_name("water_content_deviation")
    'water content from optimum'
    """
    if name == DEVIATION:
        return f"water content {FROM_OPTIMUM}"
    return " ".join(SHORT.get(part, part) for part in name.split("_"))


def result_text(result: Result) -> str:
    """Return the reported text of a result with its unit as printed."""
    return readable_text(result.reported)


def percent_result(name: str, value: float, method: Method | None) -> Result:
    """Return a result in percent, to the place required by the method."""
    return Result(value, "%", f"{reported_number(name, value, '%', method, 3)} %")


def gravity_result(name: str, value: float, method: Method | None) -> Result:
    """Return a specific gravity, to the place required by the method."""
    text = reported_number(name, value, "", method, UNRULED_FIGURES)
    return Result(value, "", text)


UNRULED_FIGURES = 4
"""Figures where the method is not on file: common practice."""

POINT_PLACES = {"kg/m3": 0, "Mg/m3": 3, "lb/ft3": 1, "lbf/ft3": 1, "kN/m3": 2}
"""Decimals of a point's density in a table, one finer than reports commonly ask."""


def point_density(value: float | None, unit_name: str) -> str:
    """Return a point's density, for a table."""
    if value is None:
        return "—"
    shown = from_si(value, unit_name)
    return plain(round_half_even(snap(shown), POINT_PLACES[unit_name]))


def gram_places(readings: Iterable[Decimal | None], unit_name: str | None) -> int:
    """
    Return the decimals of a gram to which masses were read.

    >>> gram_places([Decimal("4.36"), Decimal("5.1")], "kg")
    0
    >>> gram_places([Decimal("186.0"), None], "g")
    1
    """
    read = [one for one in readings if one is not None]
    if unit_name is None or not read:
        return 0
    step = to_si(resolution(read), unit_name) * 1000
    return max(0, ceil(-log10(step) - 1e-9))


def to_places(value: float | None, places: int) -> str:
    """A number to some places, for a table; a dash where there is none."""
    return "—" if value is None else plain(round_half_even(snap(value), places))


def grams(mass: float | None, places: int) -> str:
    """
    Return a mass in grams to some places, for a table.

    >>> grams(0.0431, 1), grams(None, 1)
    ('43.1', '—')
    """
    return to_places(None if mass is None else mass * 1000, places)


def difference_of(old: str, new: str) -> str:
    """
    Return the difference of two reported values of one unit.

    >>> difference_of("121.4 lb/ft3", "121.9 lb/ft3")
    '+0.5 lb/ft³'
    >>> difference_of("13 percent", "1.3 lb/ft3")
    ''

    Figures in lb/ft³ and lbf/ft³ are numerically equal, so these may be subtracted.

    >>> difference_of("108.7 lb/ft3", "108.0 lbf/ft3")
    '−0.7 lbf/ft³'
    """
    (before, _, was), (after, _, unit) = old.partition(" "), new.partition(" ")
    if unit != was and not is_unit_renamed(was, unit):
        return ""
    try:
        gap = Decimal(after) - Decimal(before)
    except InvalidOperation:
        return ""
    return f"{gap:+f} {printed_unit(unit)}".replace("-", "−").rstrip()


def finer(reported: str, value: float, more: int) -> str:
    """
    Return a reported text with more decimals of its value, in the same unit.

    >>> finer("2.2 lb/ft3", 2.2436, 1), finer("2.2 lb/ft3", 2.2436, 0)
    ('2.24 lb/ft3', '2.2 lb/ft3')
    """
    if not more:
        return reported
    number, space, unit_name = reported.partition(" ")
    return to_places(value, len(number.partition(".")[2]) + more) + space + unit_name


def in_points(difference: str) -> str:
    """
    Return a difference for a reader: that of two percentages is in points.

    >>> in_points("−0.5 %"), in_points("+1 %"), in_points("−0.7 lbf/ft³")
    ('−0.5 points', '+1 point', '−0.7 lbf/ft³')
    """
    number, percent, rest = difference.partition(" %")
    if not percent or rest:
        return difference
    return f"{number} point{'' if number[1:] == '1' else 's'}"


def is_unit_renamed(old: str, new: str) -> bool:
    """
    Whether two units, of a mass and of its weight, give the same figure.

    >>> is_unit_renamed("lbf/ft3", "lb/ft3"), is_unit_renamed("kg/m3", "kN/m3")
    (True, False)
    """
    return new == WEIGHTS.get(old) or old == WEIGHTS.get(new)


def same_figure(old: str, new: str) -> bool:
    """
    Whether two reported texts differ at most in what a unit is called.

    >>> same_figure("108.7 lb/ft3", "108.7 lbf/ft3"), same_figure("8.7 %", "8.7 %")
    (True, True)
    >>> same_figure("108.7 lb/ft3", "108.0 lbf/ft3")
    False
    """
    (was, _, before), (now, _, after) = old.partition(" "), new.partition(" ")
    return was == now and (before == after or is_unit_renamed(before, after))


def printed_unit(unit: str) -> str:
    """Return a unit as printed."""
    return UNITS[unit].shown if unit in UNITS else unit


def unit_renamed(old: Mapping[str, str], new: Mapping[str, str]) -> str:
    """
    Return the note that results changed between density and unit weight, if they did.

    >>> unit_renamed({"a": "108.7 lb/ft3"}, {"a": "108.0 lbf/ft3"})
    'Now reported as dry unit weight; lbf/ft³ and lb/ft³ are numerically equal.'
    """
    for name in sorted(old.keys() & new.keys()):
        was, unit = (text.partition(" ")[2] for text in (old[name], new[name]))
        if is_unit_renamed(was, unit):
            term = "dry density" if unit in WEIGHTS else "dry unit weight"
            units = f"{printed_unit(unit)} and {printed_unit(was)}"
            return f"Now reported as {term}; {units} are numerically equal."
    return ""
