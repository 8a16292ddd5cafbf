"""Answers that are more than one scalar, or that add to what stands."""

import re
from collections.abc import Callable, Mapping
from contextlib import suppress
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import flow_text, quoted
from buildsite.entering.requirement_forms import REQUIREMENT_FORMS
from buildsite.kinds.bench_spec import Reading
from buildsite.kinds.sieves import sieve_name
from buildsite.record.letters import ID
from buildsite.record.messages import about_comma
from buildsite.record.reading import PLAIN
from buildsite.record.reasons import A_REASON, is_reason
from buildsite.record.typed_names import UnknownName, known_name
from buildsite.standards.soils import class_name

BLANK = "blank"
"""The answer that makes a field blank."""

A_NUMBER = re.compile(r"[0-9]")
CUSTOMER = "customer"
"""The word that says that the customer gave the value."""

BASES = ("measured", "assumed")


def test_named(reading: Reading, text: str) -> str:
    """Return the test that was meant, by number or name; else what was typed."""
    try:
        return known_name(text, reading.choices, numbered=True)
    except UnknownName:
        return text  # a test of another sample, or of none: the record's check says so


def list_text(reading: Reading, text: str, stands: Any) -> str:
    """Return a list from words separated by commas; a leading plus adds to it."""
    words = [part.strip() for part in text.removeprefix("+").split(",")]
    if reading.choices:
        words = [one for word in words for one in choices_in(reading, word)]
    before = stands if isinstance(stands, list) and text.startswith("+") else []
    return flow_text(list(dict.fromkeys(filter(None, [*before, *words]))))


def choices_in(reading: Reading, words: str) -> list[str]:
    """Return the choice that was typed, or those that were typed one after another."""
    try:
        return [known_name(words, reading.choices, numbered=True)]
    except UnknownName:
        if " " not in words:
            raise
    return [known_name(one, reading.choices, numbered=True) for one in words.split()]


def gravity_text(reading: Reading, text: str, stands: Any) -> str:
    """
    Return a specific gravity: a value with its basis, or the test that found it.

    >>> [gravity_text(Reading("", ""), one, None) for one in ("2.7 m", "HF-0109")]
    ['{value: 2.7, basis: measured}', '{test: HF-0109}']
    """
    value, *rest = text.split()
    if about_comma(value):
        raise ValueError(f"{value!r} is not a number. {about_comma(value)}")
    value, *rest = text.replace(",", " ").split()
    named = test_named(reading, value)
    if named in reading.choices or not PLAIN.fullmatch(value):
        if rest or not ID.fullmatch(named) or not A_NUMBER.search(named[1:]):
            raise ValueError(
                f"{text!r} is no specific gravity. Type 2.70 assumed, 2.70 measured, "
                "or the number of a test such as HF-0109."
            )
        return f"{{test: {named}}}"
    words = [one for one in rest if one.lower() != CUSTOMER]
    said = "".join(words[:1]).lower()
    if not said:
        raise ValueError(f"{value}, measured or assumed? Type {value} m, or {value} a.")
    bases = [one for one in BASES if one.startswith(said)]
    if len(words) > 1 or len(bases) != 1:
        raise ValueError(f"{text!r}: type measured or assumed after the value.")
    kept = dict(stands) if isinstance(stands, Mapping) else {}
    if CUSTOMER in map(str.lower, rest):
        kept["given_by"] = CUSTOMER
    more = [
        f", {name}: {kept[name]}"
        for name in ("water_temperature_c", "given_by")
        if kept.get(name) is not None
    ]
    return f"{{value: {value}, basis: {bases[0]}{''.join(more)}}}"


def remarks_text(reading: Reading, text: str, stands: Any) -> str:
    """
    Return remarks; a leading plus adds to those that stand.

    >>> remarks_text(Reading("", ""), "+stones removed", "dried in air")
    '"dried in air; stones removed"'
    """
    if text.startswith("+"):
        text = "; ".join(filter(None, (stands, text[1:].strip())))
    return quoted(text)


def rejection_text(by: str, why: str) -> str:
    """
    Return that a line is rejected, by whom and why.

    >>> rejection_text("E02", "mold was loose")
    '{by: E02, reason: mold was loose}'
    """
    if not is_reason(why):
        raise ValueError(f"{why!r} is no reason. {A_REASON}")
    return f"{{by: {by}, reason: {quoted(why)}}}"


def acceptance_text(reading: Reading, by: str, text: str) -> str:
    """
    Return that a warning is accepted, by whom and why.

    >>> bends = Reading("flag", "", choices=("curve-too-flat",))
    >>> acceptance_text(bends, "E02", "curve-too-flat: sandy soil")
    '{flag: curve-too-flat, by: E02, reason: sandy soil}'
    """
    name, _, why = text.partition(":")
    flag = known_name(name, reading.choices, numbered=True)
    if not is_reason(why):
        how = f"type the warning, a colon, and why: {flag}: …"
        raise ValueError(f"{text!r}: {how} {A_REASON}")
    return f"{{flag: {flag}, by: {by}, reason: {quoted(why.strip())}}}"


A_UNIT = r"(?P<unit>[A-Za-z]+[0-9]?/[A-Za-z]+[0-9])"
A_PEAK = re.compile(
    rf"(?P<density>[0-9.]+)( ?{A_UNIT})? (?P<water>[0-9.]+)( ?%)?(?P<why>( .*)?)"
)


def peak_text(by: str, text: str, curve: Any, unit: str) -> tuple[str, str]:
    """
    Return a curve with a peak drawn by hand, by whom and why; and the density's unit.

    >>> peak_text("E02", "122.1 lb/ft3 11.9 points 3 and 4 tie", None, "")
    ('{drawn: {maximum_dry_density: 122.1, optimum_water_content: 11.9}, by: E02, \
reason: points 3 and 4 tie}', 'lb/ft3')
    """
    stands = dict(curve) if isinstance(curve, Mapping) else {}
    form = {"form": stands["form"]} if stands.get("form") is not None else {}
    if not text:
        return (flow_text(form) if form else ""), unit
    if about_comma(text.partition(" ")[0]):
        raise ValueError(f"{text!r}: {about_comma(text.partition(' ')[0])}")
    found = A_PEAK.fullmatch(" ".join(text.split()))
    if found is None or not is_reason(found["why"]):
        raise ValueError(
            f"{text!r}: type the density, the water content, and why it was drawn: "
            f"122.1 lb/ft3 11.9 points 3 and 4 tie. {A_REASON}"
        )
    if unit and found["unit"] not in (None, unit):
        raise ValueError(f"{found['unit']}: densities of this test are in {unit}.")
    if not (unit or found["unit"]):
        raise ValueError(f"{text!r}: type the unit behind the density: 122.1 lb/ft3")
    names = ("maximum_dry_density", "optimum_water_content")
    drawn = dict(zip(names, (found["density"], found["water"]), strict=True))
    whole = {**form, "drawn": drawn, "by": by, "reason": found["why"].strip()}
    return flow_text(whole), unit or str(found["unit"])


def repeatability_text(reading: Reading, text: str) -> str:
    """
    Return the repeatability of a laboratory by one standard.

    >>> asked = Reading("", "", choices=("AASHTO T 99", "ASTM D698"))
    >>> repeatability_text(asked, "t99, A, 0.9 lb/ft3, 0.4, 12")
    '{standard: AASHTO T 99, method: A, density_unit: lb/ft3, \
maximum_dry_density: 0.9, optimum_water_content: 0.4, repeats: 12}'
    """
    name, *rest = (one.strip() for one in text.split(","))
    named = known_name(name, reading.choices)
    method = rest.pop(0) if rest and not A_NUMBER.match(rest[0]) else None
    found = A_SPREAD.fullmatch(",".join(rest))
    if found is None:
        raise ValueError(
            f"{text!r}: type standard, method, standard deviation of the density with "
            "its unit, that of the water content, and how many repeat tests, separated "
            "by commas: AASHTO T 99, A, 0.9 lb/ft3, 0.4, 12"
        )
    said = {
        "standard": named,
        "method": method,
        "density_unit": found["unit"],
        "maximum_dry_density": found["density"],
        "optimum_water_content": found["water"],
        "repeats": found["repeats"],
    }
    return flow_text({name: one for name, one in said.items() if one is not None})


A_SPREAD = re.compile(
    rf"(?P<density>[0-9.]+) ?{A_UNIT},(?P<water>[0-9.]+)(,(?P<repeats>[0-9]+))?"
)

FORMS: Mapping[str, Callable[[Reading, str, Any], str]] = {
    "list": list_text,
    "gravity": gravity_text,
    "remarks": remarks_text,
    "sieve": lambda reading, text, stands: quoted(sieve_name(text)),
    "class": lambda reading, text, stands: quoted(class_name(text)),
    **REQUIREMENT_FORMS,
}
"""How an answer is written, by what a reading takes."""


def as_on_staff_list(archive: Archive, code: str) -> str:
    """
    Return a staff code as the staff list has it: `t02` is T02.

    `02` is not: it may be a container's number, typed a question too early.
    """
    lab = archive.laboratory
    if not any(map(str.isalpha, code)):
        return code
    with suppress(UnknownName):
        return known_name(code, tuple(lab.staff) if lab is not None else ())
    return code
