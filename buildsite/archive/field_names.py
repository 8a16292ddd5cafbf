"""
Names of fields as the trade says them.

A record spells `gradation.retained_3_4_in`, `reviewed.on` and `calibrations[3].mass`;
a person reads "gradation, retained on 3/4 in", "reviewed on" and "calibration 4, mass".
"""

import re
from collections.abc import Iterator

PART = re.compile(r"(?P<name>[^\[\]]*)(?:\[(?P<index>\d+)\])?")

UNITS = re.compile(r"_(c|ml|mm|m|m3|kg|g)$")
"""Ending of a name that gives the unit: the unit stands at the value."""

SIEVES = (
    (re.compile(r"retained_(\d+)_(\d+)_in"), r"retained on \1/\2 in"),
    (re.compile(r"retained_(\d+)_(\d+)_mm"), r"retained on \1.\2 mm"),
    (re.compile(r"retained_(\d+)_mm"), r"retained on \1 mm"),
    (re.compile(r"retained_no_(\d+)"), r"retained on No. \1"),
)

NAMES = {
    "to_water_content": "down to water content",
    "max_temperature_c": "highest temperature",
    "checked_by": "entry checked by",
}

ONE = {
    "accepted": "accepted flag",
    "deviations": "departure",
    "class": "class",
    "may": "authority",
}
"""One of a list, where the list's name does not say it."""

SUBJECTS = {
    "accepted": "accepted flags",
    "calibrations": "calibration",
    "deviations": "departures",
    "entered": "who entered it",
    "points": "readings of the points",
    "reviewed": "review",
    "withdrawn": "withdrawal",
}
"""What a change was of, by the first name of its field."""


def name(part: str) -> str:
    """
    Say one name.

    >>> name("retained_3_4_in"), name("retained_37_5_mm"), name("retained_no_4")
    ('retained on 3/4 in', 'retained on 37.5 mm', 'retained on No. 4')
    >>> name("water_temperature_c"), name("container_and_dry")
    ('water temperature', 'container and dry')
    """
    if part in NAMES:
        return NAMES[part]
    for pattern, words in SIEVES:
        if pattern.fullmatch(part):
            return pattern.sub(words, part)
    return UNITS.sub("", part).replace("_", " ")


def one_of(part: str) -> str:
    """
    Say one entry of a list.

    >>> one_of("points"), one_of("check_masses"), one_of("accepted")
    ('point', 'check mass', 'accepted flag')
    """
    if part in ONE:
        return ONE[part]
    many = "es" if part.endswith("sses") else "s"
    return name(part.removesuffix(many) if not part.endswith("ss") else part)


def spoken(field: str) -> str:
    """
    Say a field as a person does, entries of lists counted from one.

    >>> spoken("points[2].container_and_dry"), spoken("reviewed.on")
    ('point 3, container and dry', 'reviewed on')
    >>> spoken("calibrations[3].on"), spoken("specific_gravity.value")
    ('calibration 4, date', 'specific gravity')
    >>> spoken("specific_gravity.water_temperature_c"), spoken("oven.in")
    ('specific gravity, water temperature', 'oven, in')
    """
    return ", ".join(_parts(field))


def _parts(field: str) -> list[str]:
    told: list[str] = []
    listed = False
    for part in field.split("."):
        found = PART.fullmatch(part)
        what, index = (found["name"], found["index"]) if found else (part, None)
        if index is not None:
            told.append(f"{one_of(what)} {int(index) + 1}")
        elif what in ("on", "by") and told and not listed:
            told[-1] += f" {what}"
        elif what == "on" and told:
            told.append("date")
        elif what != "value" or not told:
            told.append(name(what))
        listed = index is not None
    return told


def subject(field: str) -> str:
    """
    Say what a change was of.

    >>> subject("reviewed.on"), subject("address"), subject("points[2].rejected.by")
    ('review', 'address', 'readings of the points')
    """
    first = next(iter(_names(field)), field)
    return SUBJECTS.get(first, name(first))


def _names(field: str) -> Iterator[str]:
    for part in field.split("."):
        found = PART.fullmatch(part)
        yield found["name"] if found else part
