"""Rules that records of several kinds share: standards, days and staff codes named."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from typing import Any, NamedTuple

from buildsite.kinds.kind import Case
from buildsite.record.flags import Doubt, Field, Rule, Severity
from buildsite.record.parts import StandardUsed
from buildsite.standards.tables import standard, unknown, variants


class Dated(NamedTuple):
    """Something that happened: words for it, its day if known, where that stands."""

    words: str
    on: date | None
    field: Field


def order_doubts(acts: Sequence[Dated]) -> Iterator[Doubt]:
    """Doubt each act dated before the last known one ahead of it."""
    last: Dated | None = None
    for act in acts:
        if act.on is None:
            continue
        if last is not None and last.on is not None and act.on < last.on:
            yield Doubt(
                field=act.field,
                found=f"{act.words} on {act.on}",
                expected=f"on or after {last.on}, when it was {last.words}",
                mend="look for a slip in one of the two days",
            )
        last = act


def dates_rule(check: Callable[[Any], Iterable[Doubt]]) -> Rule[Case[Any, Any]]:
    """Make the rule: one flag, whichever kind of record raises it."""
    return Rule("dates-out-of-order", Severity.ERROR, "common practice", check)


UNKNOWN_CODE_EXPECTED = "a staff code of lab.yaml"
UNKNOWN_CODE_MEND = "correct the code, or add the person to lab.yaml"


def unknown_code_rule(
    check: Callable[[Case[Any, Any]], Iterator[Doubt]],
) -> Rule[Case[Any, Any]]:
    """Make the rule: one flag, whichever kind of record raises it."""
    basis = "ISO/IEC 17025:2017, 7.5.1"
    return Rule("unknown-code", Severity.WARNING, basis, check)


StandardsNamed = Callable[[Case[Any, Any]], Iterable[tuple[Field, StandardUsed]]]
"""Each standard that a record names, with the field it stands in."""


def of_designation(used: StandardUsed, offered: str) -> tuple[str, str, str]:
    """Say what is wrong with a designation."""
    near = offered if standard(offered) is not None else None
    mend = f"did you mean {near}? " if near else ""
    return (
        used.designation,
        f"a standard that the program has rows for: {offered}",
        f"{mend}without its rows nothing of the method is checked",
    )


def of_method(used: StandardUsed, offered: str) -> tuple[str, str, str]:
    """Say what is wrong with a method's letter."""
    known = standard(used.designation)
    named = known.designation if known is not None else used.designation
    return (
        f"Method {used.method}",
        f"a method of {named}: {offered}",
        "look at the bench sheet for the letter",
    )


def of_variant(used: StandardUsed, offered: str) -> tuple[str, str, str]:
    """Say what is wrong with an agency's variant."""
    if used.variant in variants(used.designation):
        mend = "the agency does not use this method: look for the letter, or say none"
    else:
        mend = f"perhaps {offered}; say none for the standard as published"
    known = ("none", *variants(used.designation, used.method))
    expected = f"a variant of Method {used.method}: {', '.join(known)}"
    return (used.variant, expected, mend)


WORDS = {"designation": of_designation, "method": of_method, "variant": of_variant}


def is_superseded(used: StandardUsed) -> bool:
    """Whether a superseded edition is named: it may have had other methods."""
    known = standard(used.designation)
    edition = known.edition(used.edition) if known and used.edition else None
    return edition is not None and bool(edition.superseded_by)


def doubts(
    named: Iterable[tuple[Field, StandardUsed]], at: str, test: str
) -> Iterator[Doubt]:
    """Doubt each standard that is not known, if that part of its name is at fault."""
    for field, used in named:
        wrong = unknown(used.designation, used.method, used.variant, test)
        if wrong is not None and wrong[0] == at:
            found, expected, mend = WORDS[at](used, wrong[1])
            lighter = at == "method" and is_superseded(used)
            weight = Severity.WARNING if lighter else None
            yield Doubt((*field, at), found, expected, mend, severity=weight)


def standard_rules(
    named: StandardsNamed, test: str = ""
) -> tuple[Rule[Case[Any, Any]], ...]:
    """Make the three checks for a kind of record that names standards of a test."""

    def unknown_standard(case: Case[Any, Any]) -> Iterator[Doubt]:
        """A standard that the program has no rows for: nothing of it is checked."""
        yield from doubts(named(case), "designation", test)

    def unknown_method(case: Case[Any, Any]) -> Iterator[Doubt]:
        """A method that its standard does not have."""
        yield from doubts(named(case), "method", test)

    def unknown_variant(case: Case[Any, Any]) -> Iterator[Doubt]:
        """An agency's variant that is not known, or not for this method."""
        yield from doubts(named(case), "variant", test)

    return (
        Rule("unknown-standard", Severity.WARNING, METHOD_NAMED, unknown_standard),
        Rule("unknown-method", Severity.ERROR, METHOD_NAMED, unknown_method),
        Rule("unknown-variant", Severity.WARNING, METHOD_NAMED, unknown_variant),
    )


METHOD_NAMED = "ISO/IEC 17025:2017, 7.8.2.1: a report identifies its method"
