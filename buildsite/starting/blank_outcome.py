"""A record of a kind in which nothing was read yet, for a blank bench sheet."""

from typing import Any

from buildsite.archive.archive import Archive, compute_standalone
from buildsite.archive.blanks import new_record
from buildsite.kinds import kind_named
from buildsite.kinds.kind import Kind
from buildsite.kinds.outcome import Outcome
from buildsite.standards.tables import standard
from buildsite.starting.known_names import as_known

FILLERS = {"project": "blank", "sample": "blank", "on": "2000-01-01"}
"""Stand where a record must say something; a blank sheet prints none of it."""

UNIT = "compacted_unit"
"""The place in a blank that the option `unit` fills."""


def blank_outcome(name: str, options: dict[str, str], archive: Archive) -> Outcome:
    """
    Compute a record of a kind in which nothing was read yet, for its bench sheet.

    Raises
    ------
    ValueError
        If the kind has no bench, or the standard or its method is not known.
    """
    kind = kind_named(name)
    if kind is None or kind.blank is None or kind.bench is None:
        raise ValueError(f"A {name} has no bench sheet.")
    given = {
        UNIT if option == "unit" else option: options[option] for option in options
    }
    for option in ("standard", "method"):
        usual = {**defaults(kind), **FILLERS, **own_standard(kind, given, archive)}
        if option in given:
            given[option] = as_known(archive, kind, {**usual, **given}, option)
    usual = {**defaults(kind), **FILLERS, **own_standard(kind, given, archive)}
    words = {**usual, **given}
    asked = {ask.name for ask in kind.blank.asks} | set(kind.blank.places)
    extra = [option for option in given if option not in asked]
    if extra:
        option = "unit" if extra[0] == UNIT else extra[0]
        raise ValueError(f"A bench sheet of kind {name} takes no --{option}.")
    text = new_record(kind, "blank", words).text
    made, flags = compute_standalone(text.encode(), "blank.yaml")
    if made is None:
        raise ValueError(str(flags[0]))
    return made


def defaults(kind: Kind[Any, Any]) -> dict[str, str]:
    """What is taken where nothing better is known."""
    asks = kind.blank.asks if kind.blank is not None else ()
    return {"moisture_unit": "g"} | {ask.name: ask.default for ask in asks}


def own_standard(
    kind: Kind[Any, Any], given: dict[str, str], archive: Archive
) -> dict[str, str]:
    """The standard that was asked for, or that the laboratory tests by; its method."""
    lab = archive.laboratory
    usual = lab.procedures.standards if lab is not None else ()
    names = (given.get("standard", ""), *usual, defaults(kind).get("standard", ""))
    for name in names:
        known = standard(name) if name else None
        if known is not None and kind.standards_of in ("", known.test):
            method = known.method_when_none_named.value
            one = method if method in known.methods else known.methods[0]
            return {"standard": known.designation, "method": one}
    return {}
