"""Answers about what a project requires, that are more than one scalar."""

import re
from collections.abc import Callable, Mapping
from typing import Any

from buildsite.archive.blanks import flow_text
from buildsite.kinds.bench_spec import Reading
from buildsite.record.reading import CODE

NUMBER = r"[0-9]+(?:\.[0-9]+)?"

BAND = re.compile(
    r"(?P<least>[-+]?[0-9.]+)(?: to |,| )\s*(?P<most>[-+]?[0-9.]+)"
    r"\s*(?P<percent>%|percent)?(?:.*nearest (?P<nearest>[0-9.]+))?.*"
)


def band_text(reading: Reading, text: str, stands: Any) -> str:
    """
    Return a range about the optimum, in points unless percent is said.

    >>> band_text(Reading("", ""), "-2 to +2", None)
    '{from: -2, to: 2, as: points}'
    >>> band_text(Reading("", ""), "-20 20 %, to the nearest 0.5", None)
    '{from: -20, to: 20, as: percent of optimum, to_nearest: 0.5}'
    """
    found = BAND.fullmatch(text)
    if not found:
        raise ValueError(f"{text!r} is no range. Type the two limits: -2 2")
    least, most = (found[name].removeprefix("+") for name in ("least", "most"))
    unit = "percent of optimum" if found["percent"] else "points"
    kept = stands if isinstance(stands, Mapping) else {}
    nearest = found["nearest"] or kept.get("to_nearest")
    more = f", to_nearest: {nearest}" if nearest else ""
    return f"{{from: {least}, to: {most}, as: {unit}{more}}}"


DENSITY = re.compile(rf"(?P<value>{NUMBER}) ?(?P<unit>[A-Za-z]+[0-9]?/[A-Za-z]+[0-9])")


def density_text(reading: Reading, text: str, stands: Any) -> str:
    """
    Return a density with its unit, its digits as typed.

    >>> density_text(Reading("", ""), "105.0 lb/ft3", None)
    '{value: 105.0, unit: lb/ft3}'
    """
    found = DENSITY.fullmatch(text)
    if not found:
        raise ValueError(f"{text!r}: type the density and its unit: 105.0 lb/ft3")
    return f"{{value: {found['value']}, unit: {found['unit']}}}"


WAYS = ("rounded", "absolute")
CRITERIA = ("percent_compaction", "dry_density", "water_content")


def way(word: str) -> str:
    """Return rounded or absolute, by its beginning."""
    meant = [one for one in WAYS if word and one.startswith(word.lower())]
    if not meant:
        raise ValueError(f"{word!r}: type rounded or absolute (ASTM E29).")
    return meant[0]


def comparison_text(reading: Reading, text: str, stands: Any) -> str:
    """
    Return how results are compared: all in one way, or each criterion in its own.

    >>> comparison_text(Reading("", ""), "rounded", None)
    'rounded'
    >>> comparison_text(Reading("", ""), "percent rounded, water absolute", None)
    '{percent_compaction: rounded, water_content: absolute}'
    """
    parts = [part.split() for part in text.split(",")]
    if len(parts) == 1 and len(parts[0]) == 1:
        return way(parts[0][0])
    each = {}
    for words in parts:
        named = [
            one for one in CRITERIA if one.startswith("_".join(words[:-1]).lower())
        ]
        if len(words) < 2 or len(named) != 1:
            raise ValueError(
                f"{text!r}: type rounded, or absolute, or which for each: "
                "percent rounded, water absolute"
            )
        each[named[0]] = way(words[-1])
    return flow_text(each)


DECISION = re.compile(
    r"(?P<rule>[a-z]+)(?:[ ,]+(?:agreed )?(?:on )?(?P<day>[0-9]{4}-[0-9]{2}-[0-9]{2}))?"
)


def decision_text(reading: Reading, text: str, stands: Any) -> str:
    """
    Return a decision rule: simple, or guarded with the day on which it was agreed.

    >>> decision_text(Reading("", ""), "guarded, agreed on 2026-01-05", None)
    '{rule: guarded, agreed_on: 2026-01-05}'
    """
    found = DECISION.fullmatch(text.strip().lower())
    rules = ("simple", "guarded")
    meant = [one for one in rules if found and one.startswith(found["rule"])]
    if found is None or not meant:
        raise ValueError(
            f"{text!r}: type simple, or guarded and the day on which it was agreed: "
            "guarded 2026-01-05"
        )
    if meant == ["simple"]:
        return "{rule: simple}"
    if not found["day"]:
        raise ValueError(
            "A guarded decision is only for where it was agreed. Type the day: "
            "guarded 2026-01-05"
        )
    return f"{{rule: guarded, agreed_on: {found['day']}}}"


TESTS = re.compile(r"(?P<number>[0-9]+) (?:each |per |every |a )?(?P<each>\S.*)")


def required_tests_text(reading: Reading, text: str, stands: Any) -> str:
    """
    Return how many tests are required of what.

    >>> required_tests_text(Reading("", ""), "3 each lift", None)
    '{each: lift, number: 3}'
    """
    found = TESTS.fullmatch(text.strip())
    if not found:
        raise ValueError(f"{text!r}: type the number and of what: 3 each lift")
    return flow_text({"each": found["each"], "number": found["number"]})


LOT = re.compile(
    rf"\D*(?P<of>[0-9]+)\D+(?P<average>{NUMBER})(?:\D+(?P<each>{NUMBER}))?\D*"
)


def lot_text(reading: Reading, text: str, stands: Any) -> str:
    """
    Return how a lot is accepted: tests averaged, their average, and the least of each.

    >>> lot_text(Reading("", ""), "average of 4 at least 100, each 95", None)
    '{average_of: 4, average: 100, each: 95}'
    >>> lot_text(Reading("", ""), "4 100", None)
    '{average_of: 4, average: 100}'
    """
    found = LOT.fullmatch(text)
    if not found:
        raise ValueError(
            f"{text!r}: type how many tests, their average and the least of each: "
            "4 100 95"
        )
    each = f", each: {found['each']}" if found["each"] else ""
    return f"{{average_of: {found['of']}, average: {found['average']}{each}}}"


def engineers_text(reading: Reading, text: str, stands: Any) -> str:
    """
    Return engineers of record: staff codes, or a name and party after a comma.

    >>> engineers_text(Reading("", ""), "E02; R. Alder, Harbour Works", None)
    '[E02, {name: R. Alder, party: Harbour Works}]'
    """
    added = text.startswith("+")
    found: list[Any] = list(stands) if added and isinstance(stands, list) else []
    for one in text.removeprefix("+").split(";"):
        name, _, party = (part.strip() for part in one.partition(","))
        if CODE.fullmatch(name) and not party:
            found.append(name)
        elif name:
            found.append({"name": name, **({"party": party} if party else {})})
    return flow_text(found)


REQUIREMENT_FORMS: Mapping[str, Callable[[Reading, str, Any], str]] = {
    "band": band_text,
    "density": density_text,
    "comparison": comparison_text,
    "decision": decision_text,
    "tests": required_tests_text,
    "lot": lot_text,
    "engineers": engineers_text,
}
"""How an answer about a requirement is written, by what a reading takes."""
