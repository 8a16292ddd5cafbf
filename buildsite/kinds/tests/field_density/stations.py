"""Stations along a line: 12+40 is 12 whole stations and 40."""

import re
from collections.abc import Sequence
from decimal import Decimal

STATION = re.compile(r"([0-9]+)\+([0-9]+)(\.[0-9]+)?")
LIKE_A_STATION = re.compile(r"\s*[0-9][0-9OolI]*\s*[+,.]\s*[0-9OolI]")


def along(station: str) -> tuple[Decimal, int, int] | None:
    """
    Return the distance of a station, the digits of a whole one, and its decimals.

    >>> along("12+40"), along("0+250.5"), along("gate")
    ((Decimal('1240'), 2, 0), (Decimal('250.5'), 3, 1), None)
    """
    found = STATION.fullmatch(station.replace(" ", ""))
    if found is None:
        return None
    whole, part, decimals = found[1], found[2], found[3] or ""
    return Decimal(whole + part + decimals), len(part), max(len(decimals) - 1, 0)


def is_mistyped(station: str) -> bool:
    """
    Whether a text with a plus between digits is no station: a letter O for a zero.

    A place may have a name instead.

    >>> is_mistyped("12+4O"), is_mistyped("12+40"), is_mistyped("ramp + 3")
    (True, False, False)
    """
    return LIKE_A_STATION.match(station) is not None and along(station) is None


def station_at(distance: Decimal, digits: int, decimals: int) -> str:
    """
    Return the station at a distance.

    >>> station_at(Decimal("1290"), 2, 0), station_at(Decimal("75.5"), 3, 1)
    ('12+90', '0+075.5')
    """
    whole, part = divmod(distance, Decimal(10) ** digits)
    width = digits + (decimals + 1 if decimals else 0)
    return f"{whole:f}+{part:0{width}.{decimals}f}"


def next_station(latest: Sequence[str]) -> str:
    """
    Return the station after the latest ones, the last first, by the same step.

    Blank where there is no step: fewer than two, or two at one place.

    >>> next_station(["12+90", "12+40"]), next_station(["12+40"])
    ('13+40', '')
    """
    places = [place for one in latest[:2] if (place := along(one)) is not None]
    if len(places) < 2 or places[0][1] != places[1][1]:
        return ""
    (last, digits, decimals), (before, _, others) = places
    step = last - before
    if not step or last + step < 0:
        return ""
    return station_at(last + step, digits, max(decimals, others))
