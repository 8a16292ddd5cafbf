"""
Names, units and values of fields in the words of the trade.

`gradation.retained_3_4_in`, `reviewed.on` and `calibrations[3].mass` are displayed as
"gradation, retained on 3/4 in", "reviewed on" and "calibration 4, mass".
"""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from buildsite.kinds import kind_named
from buildsite.kinds.reporting import Spoken, result_word, to_places
from buildsite.record.compose import Tree
from buildsite.record.flags import field_path
from buildsite.record.units import UNITS, from_si

PART = re.compile(r"(?P<name>[^\[\]]*)(?:\[(?P<index>\d+)\])?")

UNIT_ENDING = re.compile(r"_(c|ml|mm|m|m3|kg|g)$")
"""Ending of a name that gives the unit: the unit is shown with the value."""

SIEVES = (
    (re.compile(r"retained_(\d+)_(\d+)_in"), r"retained on \1/\2 in"),
    (re.compile(r"retained_(\d+)_(\d+)_mm"), r"retained on \1.\2 mm"),
    (re.compile(r"retained_(\d+)_mm"), r"retained on \1 mm"),
    (re.compile(r"retained_no_(\d+)"), r"retained on No. \1"),
)

NAMES = {
    "moisture_balance": "balance for containers",
    "max_temperature_c": "highest temperature",
    "checked_by": "entry checked by",
}

PLACES = (("curve.drawn", "drawn_curve"), ("curve.form", "curve_type"))
"""Fields displayed under another name, with all that is inside."""

TERMS = re.compile(r"(to_)?(water_content|optimum_\w+|(maximum_)?dry_density)")
"""Names for which each standard has a term."""

ONE = {
    "accepted": "accepted flag",
    "deviations": "departure",
    "class": "class",
    "may": "authority",
}
"""Name of one entry of a list, if not the singular of the list's name."""

SUBJECTS = {
    "accepted": "accepted flags",
    "calibrations": "calibration",
    "deviations": "departures",
    "entered": "who entered it",
    "points": "readings of the points",
    "reviewed": "review",
    "withdrawn": "withdrawal",
}
"""Subject of a change, by the first name of its field."""


def name(part: str, method: Spoken = None, unit: str = "") -> str:
    """
    Return one name in words, those of a standard if it is given.

    >>> name("retained_3_4_in"), name("retained_37_5_mm"), name("retained_no_4")
    ('retained on 3/4 in', 'retained on 37.5 mm', 'retained on No. 4')
    >>> name("water_temperature_c"), name("container_and_dry")
    ('water temperature', 'container and dry')
    """
    if part in NAMES:
        return NAMES[part]
    if method is not None and (term := TERMS.fullmatch(part)):
        lead = term[1] or ""
        return lead.replace("_", " ") + result_word(method, term[2], unit)
    for pattern, words in SIEVES:
        if pattern.fullmatch(part):
            return pattern.sub(words, part)
    return UNIT_ENDING.sub("", part).rstrip("_").replace("_", " ")


def one_of(part: str) -> str:
    """
    Return the name of one entry of a list.

    >>> one_of("points"), one_of("check_masses"), one_of("measured_temperatures_c")
    ('point', 'check mass', 'measured temperature')
    """
    if part in ONE:
        return ONE[part]
    part = UNIT_ENDING.sub("", part)
    many = "es" if part.endswith("sses") else "s"
    return name(part.removesuffix(many) if not part.endswith("ss") else part)


def spoken(field: str, method: Spoken = None, unit: str = "") -> str:
    """
    Return a field in words, entries of lists counted from one.

    A field of a test is in the terms of its standard, for its unit.

    >>> spoken("points[2].container_and_dry"), spoken("reviewed.on")
    ('point 3, container and dry', 'reviewed on')
    >>> spoken("calibrations[3].on"), spoken("specific_gravity.value")
    ('calibration 4, date', 'specific gravity')
    >>> spoken("specific_gravity.water_temperature_c"), spoken("oven.in")
    ('specific gravity, water temperature', 'oven, in')
    >>> spoken("curve.form"), spoken("curve.drawn.maximum_dry_density")
    ('curve type', 'drawn curve, maximum dry density')
    """
    for place, other in PLACES:
        if field == place or field.startswith(f"{place}."):
            field = other + field.removeprefix(place)
    return ", ".join(_parts(field, method, unit))


def _parts(field: str, method: Spoken, unit: str) -> list[str]:
    words: list[str] = []
    listed = False
    for part in field.split("."):
        found = PART.fullmatch(part)
        what, index = (found["name"], found["index"]) if found else (part, None)
        if index is not None:
            words.append(f"{one_of(what)} {int(index) + 1}")
        elif what in ("on", "by") and words and not listed:
            words[-1] += f" {what}"
        elif what == "on" and words:
            words.append("date")
        elif what != "value" or not words:
            words.append(name(what, method, unit))
        listed = index is not None
    return words


def subject(field: str) -> str:
    """
    Return the subject of a change.

    >>> subject("reviewed.on"), subject("address"), subject("points[2].rejected.by")
    ('review', 'address', 'readings of the points')
    """
    first = next(iter(_names(field)), field)
    return SUBJECTS.get(first, name(first))


def _names(field: str) -> Iterator[str]:
    for part in field.split("."):
        found = PART.fullmatch(part)
        yield found["name"] if found else part


OF_UNITS = (
    (re.compile(r"(mold_and_wet_soil|mold_mass|specimen_mass)"), "compacted"),
    (re.compile(r"container(_mass|_and_wet|_and_dry)"), "moisture"),
    (re.compile(r"(wet_density|dry_density|maximum_dry_density)"), "density"),
    (re.compile(r"(mold_volume|volume)"), "volume"),
    (re.compile(r"(mass|empty_with_plates|full_with_plates)"), "mass"),
    (re.compile(r"(diameters|heights)"), "length"),
)
"""Readings by the line of `units` that gives their unit; a kind may have its own."""


IN_NAME = (
    (re.compile(r".*_ml"), "mL"),
    (re.compile(r"(.*_)?(temperature_c|_c)"), "°C"),
    (re.compile(r"(.*_)?(water_content|percent_retained|percent)"), "%"),
    (re.compile(r"retained_.*|absorption"), "%"),
)


def unit_of(tree: Tree, field: tuple[str | int, ...]) -> str:
    """
    Return the unit of a reading, as its record states it.

    >>> unit_of({"units": {"moisture": "g"}}, ("points", 1, "container_and_dry"))
    'g'
    >>> unit_of({}, ("points", 1, "water_added_ml"))
    'mL'
    """
    name = next((part for part in reversed(field) if isinstance(part, str)), "")
    written = tree.get("units")
    units = written if isinstance(written, dict) else {}
    kind = kind_named(str(tree.get("kind")))
    own = kind.units.get(name) if kind is not None else None
    lines = [line for pattern, line in OF_UNITS if pattern.fullmatch(name)]
    for line in [own] if own is not None else lines:
        if isinstance(units.get(line), str):
            unit = str(units[line])
            return UNITS[unit].shown if unit in UNITS else unit
    return next((unit for pattern, unit in IN_NAME if pattern.fullmatch(name)), "")


def with_unit(text: str, unit: str) -> str:
    """
    Return a number, or several, with the unit; words without.

    >>> with_unit("8.64", "lb"), with_unit("101.6, 101.7", "mm"), with_unit("dry", "g")
    ('8.64 lb', '101.6, 101.7 mm', 'dry')
    """
    number = re.fullmatch(r"-?[0-9.]+(, -?[0-9.]+)*", text)
    return f"{text} {unit}" if unit and number else text


IN_UNITS = (("_m3", "cm3", 1), ("_kg", "g", 1), ("_m", "mm", 2))
"""Ending of a field in SI, the unit it is shown in, and decimals."""


def in_unit(way: tuple[str | int, ...], old: Any, new: Any) -> tuple[str, str, str]:
    """
    Return a field of an answer in words, with its old and new values.

    >>> in_unit(("volume_m3",), 0.0009452, 0.0009519)
    ('volume', '945.2 cm³', '951.9 cm³')
    >>> in_unit(("specific_gravity", "value"), "2.69", "2.71")
    ('specific gravity', '2.69', '2.71')
    >>> in_unit(("specific_gravity", "water_temperature_c"), None, "22")
    ('specific gravity, water temperature', '', '22 °C')
    >>> in_unit(("percent",), "95.0 %", "93.9 %")
    ('percent', '95.0 %', '93.9 %')
    """
    name = field_path(way)
    for ending, unit, places in IN_UNITS:
        if name.endswith(ending):
            return (spoken(name), *measured(old, new, unit, places))
    shown = unit_of({}, way)
    before, after = (
        with_unit(text, shown) if text else "" for text in map(in_text, (old, new))
    )
    return spoken(name), before, after


MOST_PLACES = 6


def measured(old: Any, new: Any, unit: str, places: int) -> tuple[str, str]:
    """Return two lengths, masses or volumes to as many places as distinguish them."""
    pair = [None if value is None else from_si(value, unit) for value in (old, new)]
    texts = [to_places(value, places) for value in pair]
    while texts[0] == texts[1] and places < MOST_PLACES:
        places += 1
        texts = [to_places(value, places) for value in pair]
    shown = UNITS[unit].shown
    before, after = (
        "" if value is None else f"{text} {shown}"
        for value, text in zip(pair, texts, strict=True)
    )
    return before, after


def in_text(value: Any) -> str:
    """Return a plain value on one line; empty if absent."""
    if value is None:
        return ""
    if isinstance(value, Mapping):
        parts = (f"{spoken(str(k))} {in_text(v)}" for k, v in value.items() if v)
        return ", ".join(parts)
    if isinstance(value, list | tuple):
        return ", ".join(in_text(one) for one in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
