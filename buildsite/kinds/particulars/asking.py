"""Questions about a record: all may stay blank, and a value that stands is kept."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, Literal, get_args, get_origin

from buildsite.kinds.bench_spec import Bench, Part, Reading
from buildsite.record.flags import Field


def text(name: str, words: str, takes: str = "text", unit: str = "") -> Reading:
    """Return a question for a text, a day, a staff code or a list."""
    return Reading(name, words, unit, takes=takes, needed=False)


def number(
    name: str,
    words: str,
    unit: str = "",
    unless: tuple[str, ...] = (),
    after: tuple[str, ...] = (),
) -> Reading:
    """Return a question for a number."""
    return Reading(name, words, unit, needed=False, unless=unless, after=after)


def choice(
    name: str, words: str, choices: tuple[str, ...], unless: tuple[str, ...] = ()
) -> Reading:
    """Return a question with choices."""
    return Reading(
        name, words, takes="choice", choices=choices, needed=False, unless=unless
    )


def part(title: str, at: Field, *readings: Reading) -> Part:
    """Return a part of a record."""
    return Part(title, at, readings)


GRAVITY = part(
    "Specific gravity",
    (),
    Reading(
        "specific_gravity",
        "Specific gravity",
        takes="gravity",
        of="specific-gravity",
        needed=False,
    ),
)
"""One question for what takes two fields: few keys at the bench."""

BY_TEST, MEASURED = ("test",), ("percent_retained",)


def oversize(sieve: str = "") -> Part:
    """Return the part on the oversize: by a test, else its figures."""
    return part(
        "Oversize",
        ("oversize",),
        Reading(
            "test",
            "Oversize by coarse-fraction test no.",
            takes="test",
            of="coarse-fraction",
            needed=False,
            unless=("percent_retained",),
        ),
        number("percent_retained", "Oversize: retained, dry mass", "%", BY_TEST),
        replace(
            text("sieve", "Oversize: on sieve", "sieve"), usual=sieve, after=MEASURED
        ),
        replace(
            choice(
                "bulk_basis", "Oversize: bulk specific gravity is", ("oven-dry", "SSD")
            ),
            after=MEASURED,
        ),
        number(
            "bulk_specific_gravity", "Oversize: bulk specific gravity", after=MEASURED
        ),
        number("water_content", "Oversize: water content", "%", after=MEASURED),
        number("absorption", "Oversize: absorption", "%", after=MEASURED),
        replace(
            choice("given_by", "Oversize by (blank: found here)", ("customer",)),
            after=MEASURED,
        ),
    )


def units_of(record: Any) -> Part:
    """Return the part on the units of a record, each a choice."""
    fields = type(record.units).model_fields
    return part(
        "Units",
        ("units",),
        *(
            choice(
                name, f"Unit of {name.replace('_', ' ')}", unit_names(one.annotation)
            )
            for name, one in fields.items()
        ),
    )


def unit_names(annotation: Any) -> tuple[str, ...]:
    """Return the units that a field allows, whether it may be absent or not."""
    if get_origin(annotation) is Literal:
        return get_args(annotation)
    return next(filter(None, map(unit_names, get_args(annotation))), ())


REMARKS = part("Remarks", (), text("remarks", "Remarks", "remarks"))


def chosen(parts: Iterable[Part], about: str) -> Bench:
    """
    Return the parts of a record, or only those that a word names.

    A word names a part by the beginning of its title or of a word in it, else by one of
    its fields. Of nothing by that name the bench has no parts.
    """
    every = tuple(parts)
    if not about:
        return Bench(every)
    titled = tuple(one for one in every if begins((one.title, *one.at), about))
    fields = (
        one for one in every if begins([each.name for each in one.readings], about)
    )
    return Bench(titled or tuple(fields))


def begins(names: Iterable[object], about: str) -> bool:
    """
    Return whether one of some names, or a word in it, begins so.

    >>> begins(["retained_until"], "until"), begins(["Specific gravity"], "grain")
    (True, False)
    """
    plain = [str(name).casefold() for name in names]
    plain = [name.replace("_", " ").replace(".", " ") for name in plain]
    word = about.casefold().replace("_", " ").replace("-", " ").strip()
    starts = [start for name in plain for start in (name, *name.split())]
    return any(start.startswith(word) for start in starts)
